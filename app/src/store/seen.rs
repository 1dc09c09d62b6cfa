//! The entries of the local storage as this window read or wrote them last.

use std::cell::RefCell;

thread_local! {
    static SEEN: RefCell<Vec<(u32, Seen)>> = const { RefCell::new(Vec::new()) };
}

/// An entry as it is known.
#[derive(Clone)]
pub(super) struct Seen {
    /// Its text.
    pub(super) text: String,
    /// The stamp of the save that it is.
    pub(super) stamp: f64,
    /// Which text of a version without stamps it was made of; 0 if of none.
    pub(super) base: u32,
    /// When this window wrote it, and when it put an earlier one beside it last, ms of the page's own time, which no
    /// clock sets back; minus infinity if it did not.
    pub(super) written_ms: f64,
    pub(super) good_ms: f64,
}

/// The entry of a car.
pub(super) fn of(id: u32) -> Option<Seen> {
    SEEN.with_borrow(|all| {
        let mut all = all.iter();
        all.find(|(of, _)| *of == id).map(|(_, seen)| seen.clone())
    })
}

/// The text of every entry.
pub(super) fn texts() -> Vec<(u32, String)> {
    let text = |(id, seen): &(u32, Seen)| (*id, seen.text.clone());
    SEEN.with_borrow(|all| all.iter().map(text).collect())
}

/// Notes the entry of a car, or that it has none.
pub(super) fn note(id: u32, now: Option<Seen>) {
    SEEN.with_borrow_mut(|seen| {
        seen.retain(|(of, _)| *of != id);
        seen.extend(now.map(|now| (id, now)));
    });
}
