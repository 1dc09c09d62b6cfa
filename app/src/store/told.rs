//! What happened to saved cars without the person's doing, to be told until it is closed.

use super::Store;
use leptos::prelude::*;

/// One thing that happened; the text is the car's name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Told {
    /// The entry could not be read: the copy of the save before it was taken.
    Good(String),
    /// The entry was lost or old: the spare copy was taken.
    Spare(String),
    /// A spare copy stands beside the car as another one.
    Beside(String),
    /// What was set aside can be read again.
    Readable(String),
    /// Another window changed the car at the same time: this window's is kept under this name.
    Both(String),
    /// Another window deleted the car that is open here.
    Deleted(String),
    /// The car was kept with others and found no room in the usual place.
    NoRoom(String),
    /// Kept passes of the car are not written: the browser refuses, or is full.
    Passes(String),
    /// The car is a copy without some kept passes: they could not be read.
    Unread(String),
}

impl Store {
    /// What is to be told, tracked.
    pub fn told(self) -> Vec<Told> {
        self.told.get()
    }

    /// Forgets what was told.
    pub fn close_told(self) {
        self.told.set(Vec::new());
    }

    /// Tells something until it is closed; once for the same.
    pub fn tell(self, what: Told) {
        self.told.update(|told| {
            if !told.contains(&what) {
                told.push(what);
            }
        });
    }
}
