//! A piece of a page that follows signals.

use crate::browser;
use leptos::prelude::*;
use std::cell::Cell;
use std::time::Duration;

/// Draws again whenever a signal read in `view` changes.
///
/// A closure put into a view as it is brings its own copy of everything that draws and redraws
/// it, some kilobytes each. Behind a box all share one.
pub fn live(view: impl Fn() -> AnyView + Send + 'static) -> AnyView {
    let boxed: Box<dyn Fn() -> AnyView + Send> = Box::new(view);
    boxed.into_any()
}

/// Text that follows a signal.
pub fn live_text(text: impl Fn() -> String + Send + Sync + 'static) -> AnyView {
    Signal::derive(text).into_any()
}

/// Pieces one after the other, of one type for all: each tuple of pieces would bring its own code.
pub fn all(pieces: impl Into<Vec<AnyView>>) -> AnyView {
    let pieces: Vec<AnyView> = pieces.into();
    pieces.into_any()
}

/// One piece of a page, not made yet.
pub type Piece = Box<dyn Fn() -> AnyView + Send>;

/// A piece of a page that is made when its turn comes.
pub fn piece(view: impl Fn() -> AnyView + Send + 'static) -> Piece {
    Box::new(view)
}

/// Marks the root element as long as something of the page is still to come.
pub struct Unfinished;

thread_local! {
    static UNFINISHED: Cell<u32> = const { Cell::new(0) };
}

impl Unfinished {
    fn count(change: impl FnOnce(u32) -> u32) {
        let count = change(UNFINISHED.get());
        UNFINISHED.set(count);
        browser::mark(browser::UNFINISHED, count > 0);
    }

    /// Until it is dropped.
    pub fn new() -> Self {
        Self::count(|count| count + 1);
        Self
    }
}

impl Drop for Unfinished {
    fn drop(&mut self) {
        Self::count(|count| count - 1);
    }
}

/// Pieces one after the other: the first ones at once, each later one in a turn of its own, so that a touch need not wait
/// for what is out of sight yet. All at once where the hash leads to one field, which is to be found.
pub fn in_turns(at_once: usize, pieces: impl Into<Vec<Piece>>) -> AnyView {
    let pieces: Vec<Piece> = pieces.into();
    let count = pieces.len();
    let made = RwSignal::new(if browser::leads_to_field() {
        count
    } else {
        at_once
    });
    if made.get_untracked() < count {
        make_next(made, count, StoredValue::new(Some(Unfinished::new())));
    }
    let later = |(place, piece): (usize, Piece)| {
        let is_due = Memo::new(move |_| place < made.get());
        live_option(move || is_due.get().then(&piece))
    };
    all(pieces
        .into_iter()
        .enumerate()
        .map(later)
        .collect::<Vec<_>>())
}

fn make_next(made: RwSignal<usize>, count: usize, unfinished: StoredValue<Option<Unfinished>>) {
    let next = move || {
        // Gone with its page.
        if made.try_update(|made| *made += 1).is_none() {
            return;
        }
        if made.get_untracked() < count {
            make_next(made, count, unfinished);
        } else {
            unfinished.set_value(None);
        }
    };
    set_timeout(next, Duration::ZERO);
}

/// Pieces that stay in the document as long as their place does, and are made anew when it comes back.
pub fn places(places: Signal<Vec<usize>>, view: Callback<usize, AnyView>) -> AnyView {
    view! { <For each=move || places.get() key=|place| *place children=move |place| view.run(place) /> }
        .into_any()
}

/// As [`live`], for what is not always there.
pub fn live_option(view: impl Fn() -> Option<AnyView> + Send + 'static) -> AnyView {
    boxed_option(Box::new(view))
}

/// Boxed before it is wrapped, so that the wrapping is there once for all.
fn boxed_option(view: Box<dyn Fn() -> Option<AnyView> + Send>) -> AnyView {
    live(move || view().into_any())
}
