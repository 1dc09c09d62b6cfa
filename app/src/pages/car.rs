//! What have I got? Everything that is kept of a car, editable in place.

mod alternator;
mod assumed;
mod drive;
mod engine;
mod group;
mod loads;
mod phases;

use super::{Desk, stale};
use crate::parts::empty::empty;
use crate::parts::live::{live, live_option};
use crate::parts::strip::stale_strip;
use crate::shell::route::Route;
use crate::words::{car as words, names};
use laneside_core::resolve::blanks;
use leptos::prelude::*;

/// The page's body.
pub fn page(desk: Desk) -> AnyView {
    let store = desk.store;
    // Made anew for every car that is opened, so that nothing of the one before stays about.
    let open = Memo::new(move |_| store.open_id());
    live(move || {
        if open.get().is_some() {
            whole(desk)
        } else {
            empty(
                words::ANSWERS,
                words::NEEDS,
                words::ENTER,
                Route::Board.href(),
            )
        }
    })
}

fn whole(desk: Desk) -> AnyView {
    let store = desk.store;
    let is_invented = store.with_car(|car| car.invented).unwrap_or_default();
    view! {
        {stale_strip(stale(store))}
        {is_invented.then(|| group::note(words::INVENTED))}
        {missing(desk)}
        {assumed::assumed(desk)}
        {drive::drive(desk)}
        {engine::engine(desk)}
        {alternator::alternator(desk)}
        {loads::loads(desk)}
        {phases::phases(desk)}
    }
    .into_any()
}

/// What is still blank, with the way to the board.
fn missing(desk: Desk) -> AnyView {
    let missing = Memo::new(move |_| {
        desk.store
            .with_car(|car| {
                blanks(car)
                    .into_iter()
                    .map(names::blank)
                    .collect::<Vec<_>>()
            })
            .unwrap_or_default()
    });
    live_option(move || {
        let missing = missing.get();
        (!missing.is_empty()).then(|| {
            view! {
                <div class="empty">
                    <p class="answers">{words::blanks(&missing)}</p>
                    <a class="button" href=Route::Board.href()>
                        {words::TO_BOARD}
                    </a>
                </div>
            }
            .into_any()
        })
    })
}
