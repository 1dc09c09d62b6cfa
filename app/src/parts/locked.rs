//! Whether what is shown may only be looked at: every entry is disabled then.

use leptos::prelude::*;
use std::cell::Cell;

thread_local! {
    static LOCKED: Cell<Option<Signal<bool>>> = const { Cell::new(None) };
}

/// Has the entries of the whole page follow this.
pub fn lock_by(locked: Signal<bool>) {
    LOCKED.set(Some(locked));
}

/// Whether entries are disabled, tracked.
pub fn is_locked() -> bool {
    LOCKED.get().is_some_and(|locked| locked.get())
}
