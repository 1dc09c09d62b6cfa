//! A spare copy of every car in the browser's database: another store than the one that is read first, with more room,
//! and written at once. A browser that is killed may lose what it was told to keep in its local storage half a minute
//! before; what is here it has.
//!
//! It lies with the kept passes, under an owner that no car has.

use super::disk;
use super::record::Record;
use super::seen;
use super::shelf::{self, SPARE};
use super::{Store, Told};
use crate::browser::has_storage;
use leptos::prelude::*;
use leptos::task::spawn_local;
use std::cell::RefCell;

/// What is to be written: a car's id with its record, or with nothing to delete it.
type Due = (u32, Option<String>);

struct Desk {
    due: Vec<Due>,
    is_busy: bool,
    /// How writing ended last.
    is_failing: Option<RwSignal<bool>>,
}

thread_local! {
    /// Busy at the start: nothing is written over a copy before it was looked at.
    static DESK: RefCell<Desk> = const {
        RefCell::new(Desk {
            due: Vec::new(),
            is_busy: true,
            is_failing: None,
        })
    };
}

/// Writes a record, or deletes it; the newest of what came while another was being written.
pub(super) fn write(id: u32, record: Option<String>) {
    let is_free = DESK.with_borrow_mut(|desk| {
        desk.due.retain(|(of, _)| *of != id);
        desk.due.push((id, record));
        !std::mem::replace(&mut desk.is_busy, true)
    });
    if is_free {
        spawn_local(write_all());
    }
}

async fn write_all() {
    loop {
        let due = DESK.with_borrow_mut(|desk| {
            desk.is_busy = !desk.due.is_empty();
            std::mem::take(&mut desk.due)
        });
        if due.is_empty() {
            return;
        }
        let mut texts = Vec::new();
        for (id, record) in due {
            let number = f64::from(id);
            match record {
                Some(text) => texts.push((number, text)),
                // Refused, the car comes back with the next start: nothing is lost.
                None => drop(shelf::delete(SPARE, number).await),
            }
        }
        if !texts.is_empty() {
            let is_failing = shelf::put(SPARE, &texts).await.is_err();
            let signal = DESK.with_borrow(|desk| desk.is_failing);
            if let Some(signal) = signal.filter(|signal| signal.get_untracked() != is_failing) {
                signal.set(is_failing);
            }
        }
    }
}

impl Store {
    /// Takes from the spare copies what the first store lost: entries that are gone, that could not be read, or that are
    /// older than their copy.
    pub(super) fn look_at_spares(self, recovered: Vec<u32>) {
        DESK.with_borrow_mut(|desk| desk.is_failing = Some(self.spare_failed));
        let first = seen::texts();
        spawn_local(async move {
            let copies = shelf::texts(SPARE).await;
            self.spare_failed.set(copies.is_err());
            for (number, text) in copies.unwrap_or_default() {
                let id = number as u32;
                let at_start = first.iter().find(|(of, _)| *of == id).map(|(_, text)| text);
                let Some(copy) = Record::from_text(&text) else {
                    continue;
                };
                let is_newer = match at_start {
                    Some(entry) => copy.is_newer_than(entry) || recovered.contains(&id),
                    // Unreadable and not set aside for want of room: it stays as it is.
                    None => !disk::is_taken(id),
                };
                if is_newer && at_start != Some(&text) {
                    self.bring_back(id, &copy, at_start.map(String::as_str));
                }
            }
            write_all().await;
            self.look_for_waiting().await;
        });
    }

    /// Puts a copy in the place of what was there at the start; beside it, where that was changed since.
    fn bring_back(self, id: u32, copy: &Record, at_start: Option<&str>) {
        let Some(saved) = copy.read() else { return };
        let name = saved.car.name.clone();
        if disk::raw_car(id).as_deref() == at_start {
            disk::put_back(id, copy);
            self.relist(id);
            if self.open.get_untracked() == Some(id) {
                self.show_again(id);
            } else if !self.has_any() {
                self.open_car(id);
            }
            // Where the first store is switched off, the copies are all there is.
            if has_storage() {
                self.tell(Told::Spare(name));
            }
        } else {
            let id = disk::free_id(id);
            disk::put_back(id, copy);
            self.relist(id);
            self.tell(Told::Beside(name));
        }
    }
}
