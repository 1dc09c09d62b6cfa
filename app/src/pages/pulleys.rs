//! Which pulley? The one on the car against the one to try.

mod boards;
mod graph;
mod more;
mod questions;
pub mod tables;
mod ways;
mod window;

pub use graph::{Reading, Readings, plot};
pub use more::lines;

use super::{Desk, missing, stale, trying};
use crate::parts::empty::empty;
use crate::parts::live::live;
use crate::parts::strip::stale_strip;
use crate::shell::route::Route;
use crate::store::Store;
use crate::words::{pulleys as words, share};
use laneside_core::resolve::Unresolved;
use leptos::prelude::*;

/// The page's body.
pub fn page(desk: Desk) -> AnyView {
    let store = desk.store;
    let needs = Memo::new(move |_| needs(store));
    live(move || match needs.get() {
        Some(needs) => empty(
            words::answers(),
            needs,
            words::enter(),
            missing::way(&untrack(|| missing::missing(store))),
        ),
        None => whole(desk),
    })
}

/// What is needed before anything can be shown; `None` when nothing is.
fn needs(store: Store) -> Option<String> {
    let Some(answer) = store.answer() else {
        return Some(words::needs_car().to_owned());
    };
    match &answer.study {
        Ok(_) => None,
        Err(Unresolved::Blanks(_)) => Some(words::needs(&missing::named(store))),
        Err(Unresolved::Curve(_)) => Some(words::needs(&[words::output_axis()])),
    }
}

fn whole(desk: Desk) -> AnyView {
    let store = desk.store;
    let settled = super::sweep::settled(store);
    // What is read and not watched follows once an entry has settled, so that the chart is drawn first.
    let calm = Signal::derive(move || settled.get().or_else(|| untrack(|| store.answer())));
    view! {
        {stale_strip(stale(desk.store))}
        <div class="trying">{trying(desk)}</div>
        {boards::boards(desk)}
        {graph::graph(desk)}
        {ways::ways(desk, settled)}
        {window::ruler(calm)}
        {window::ranking(desk, settled)}
        {tables::speeds(calm)}
        {tables::balance(calm)}
        {more::more(calm)}
        {more::crank(desk)}
        {more::working(settled)}
        <p class="actions"><a class="button" href=Route::HandOn.href()>{share::share()}</a></p>
    }
    .into_any()
}
