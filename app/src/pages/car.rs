//! What have I got? Everything that is kept of a car, editable in place.

mod alternator;
mod assumed;
pub(super) mod battery;
mod drive;
mod engine;
pub(super) mod group;
mod loads;
mod phases;
mod wiring;

pub use assumed::lines as assumed_lines;

use super::{Desk, missing, shown_car, stale, trying};
use crate::parts::empty::empty;
use crate::parts::live::{all, in_turns, live, live_option, piece};
use crate::parts::strip::stale_strip;
use crate::shell::route::Route;
use crate::store::ShownCar;
use crate::words::car as words;
use leptos::prelude::*;

/// What is in sight when the page opens.
const AT_ONCE: usize = 5;

/// The page's body.
pub fn page(desk: Desk) -> AnyView {
    let store = desk.store;
    let shown = shown_car(store);
    live(move || match shown.get() {
        ShownCar::Own(_) | ShownCar::Received(..) => whole(desk),
        ShownCar::None => empty(
            words::answers(),
            words::needs(),
            words::enter(),
            Route::Board.href(),
        ),
    })
}

fn whole(desk: Desk) -> AnyView {
    let store = desk.store;
    let is_invented = untrack(|| store.with_car(|car| car.invented)).unwrap_or_default();
    in_turns(
        AT_ONCE,
        [
            piece(move || stale_strip(stale(store))),
            piece(move || trying(desk)),
            piece(move || {
                all(is_invented
                    .then(|| group::note(words::invented()))
                    .into_iter()
                    .collect::<Vec<_>>())
            }),
            piece(move || still_missing(desk)),
            piece(move || assumed::assumed(desk)),
            piece(move || drive::drive(desk)),
            piece(move || engine::engine(desk)),
            piece(move || alternator::alternator(desk)),
            piece(move || battery::battery(desk)),
            piece(move || wiring::wiring(desk)),
            piece(move || loads::loads(desk)),
            piece(move || phases::phases(desk)),
        ],
    )
}

/// What is still blank, with the way to it: the board, or the field if the board does not ask for it.
fn still_missing(desk: Desk) -> AnyView {
    let missing = Memo::new(move |_| missing::missing(desk.store));
    live_option(move || {
        let missing = missing.get();
        if missing.is_empty() {
            return None;
        }
        let href = missing::way(&missing);
        let named = untrack(|| missing::named(desk.store));
        let view = view! {
            <div class="empty">
                <p class="answers">{words::blanks(&named)}</p>
                <a class="button" href=href>
                    {words::to_blanks()}
                </a>
            </div>
        };
        Some(view.into_any())
    })
}
