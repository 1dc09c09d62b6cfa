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

use super::{Desk, missing, shown_car, stale, trying};
use crate::parts::empty::empty;
use crate::parts::live::{in_turns, live, piece};
use crate::parts::strip::stale_strip;
use crate::shell::route::Route;
use crate::store::Store;
use crate::words::{pulleys as words, share};
use laneside_core::resolve::Unresolved;
use leptos::prelude::*;

/// What is in sight when the page opens.
const AT_ONCE: usize = 3;

/// The page's body.
pub fn page(desk: Desk) -> AnyView {
    let store = desk.store;
    let needs = Memo::new(move |_| needs(store));
    let shown = shown_car(store);
    live(move || {
        shown.with(|_| ());
        match needs.get() {
            Some(needs) => empty(
                words::answers(),
                needs,
                words::enter(),
                missing::way(&untrack(|| missing::missing(store))),
            ),
            None => whole(desk),
        }
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
    // What is read and not watched follows once an entry has settled, so that the chart is drawn first.
    let settled = super::sweep::settled(store);
    in_turns(
        AT_ONCE,
        [
            piece(move || stale_strip(stale(store))),
            piece(move || view! { <div class="trying">{trying(desk)}</div> }.into_any()),
            piece(move || boards::boards(desk)),
            piece(move || graph::graph(desk)),
            piece(move || ways::ways(desk, settled)),
            piece(move || window::ruler(settled)),
            piece(move || window::ranking(desk, settled)),
            piece(move || tables::speeds(settled)),
            piece(move || tables::balance(settled)),
            piece(move || more::more(settled)),
            piece(move || more::crank(desk)),
            piece(move || more::working(settled)),
            piece(|| {
                view! { <p class="actions"><a class="button" href=Route::HandOn.href()>{share::share()}</a></p> }
                    .into_any()
            }),
        ],
    )
}
