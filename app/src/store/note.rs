//! What is remembered with a car about its logs: where its kept passes lie, and which column of its logger was
//! confirmed as which channel.

use super::{Store, disk};
use leptos::prelude::*;
use serde::{Deserialize, Serialize};
use std::cell::Cell;

thread_local! {
    /// The newest owner that is known.
    static NEWEST: Cell<f64> = const { Cell::new(0.0) };
}

/// Small, and saved with the car; the passes themselves are on the shelf.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct LogNote {
    /// Whose passes are this car's; none while none was ever kept. Not the car's id, which may be given
    /// again once the car is deleted.
    #[serde(default)]
    pub owner: Option<f64>,
    /// Which column is what, as confirmed last: as core writes it, since only the worker reads it. Empty while
    /// nothing was.
    #[serde(default)]
    pub choice: String,
}

impl LogNote {
    pub(super) fn is_empty(&self) -> bool {
        *self == Self::default()
    }
}

impl Store {
    /// What is remembered of the open car's logs, tracked.
    pub fn note(self) -> LogNote {
        self.note.get()
    }

    /// Remembers which columns were confirmed.
    pub fn remember_choice(self, choice: String) {
        self.note.update(|note| note.choice = choice);
        self.save();
    }

    /// Looks through all saved cars for the owners that [`Store::new_owner`] may not give again.
    pub fn know_owners(self) {
        let newest = self.owners().into_iter().fold(NEWEST.get(), f64::max);
        NEWEST.set(newest);
    }

    /// A new owner of passes, once the others are known: another's by no chance, not even of a car kept in the same
    /// moment or with the clock set back.
    pub(super) fn new_owner() -> f64 {
        let new = js_sys::Date::now().max(NEWEST.get() + 1.0);
        NEWEST.set(new);
        new
    }

    /// Whose passes are the open car's, made up at the first one; none while no car is open.
    pub fn owner(self) -> Option<f64> {
        self.open.get_untracked()?;
        let known = self.note.with_untracked(|note| note.owner);
        known.or_else(|| {
            self.know_owners();
            let new = Self::new_owner();
            self.note.update(|note| note.owner = Some(new));
            self.save();
            Some(new)
        })
    }

    /// Whose passes may be kept: those of the saved cars, and of one that can be had back.
    pub fn owners(self) -> Vec<f64> {
        let deleted = self
            .deleted
            .with_untracked(|deleted| deleted.as_ref()?.owner());
        disk::owners().into_iter().chain(deleted).collect()
    }
}
