//! Another window of the same browser, in which the same cars are.
//!
//! Every change is saved at once, so what another window saved holds all that this one did before; it is taken over as
//! soon as the browser tells of it. Where both changed a car before they knew of each other, [`disk::write`] finds
//! another text than it left, and both cars are kept.

use super::disk;
use super::garage::Listed;
use super::record::Record;
use super::{Answer, ShownCar, Store, Told, waiting};
use crate::words::keeping;
use laneside_core::car::check::LONGEST_NAME;
use leptos::{ev, prelude::*};
use std::sync::Arc;
use web_sys::StorageEvent;

impl Store {
    /// Follows what other windows save, for as long as the app runs.
    pub(super) fn follow_tabs(self) {
        let event = ev::Custom::<StorageEvent>::new("storage");
        let _ = window_event_listener(event, move |event| {
            let Some(key) = event.key() else { return };
            if let Some(id) = disk::id_of(&key) {
                self.take_over(id);
            } else if key == waiting::GONE
                && let Some(place) = event.new_value()
            {
                self.let_go(&place);
            }
        });
    }

    /// Takes what another window made of a car.
    fn take_over(self, id: u32) {
        // What the browser refused to keep is here alone: the next save puts it beside the other.
        if disk::is_unsaved(id) {
            return;
        }
        let is_open = self.open.get_untracked() == Some(id);
        if disk::raw_car(id).is_some() {
            if disk::read_car(id).is_some() {
                self.relist(id);
                if is_open && disk::is_changed(id) {
                    self.show_again(id);
                }
            }
        } else if is_open {
            let name = self.with_car(|car| car.name.clone()).unwrap_or_default();
            self.tell(Told::Deleted(name));
        } else {
            self.listed.update(|cars| cars.retain(|car| car.id != id));
        }
    }

    /// Shows a car in the list as it is saved now.
    pub(super) fn relist(self, id: u32) {
        let Some(saved) = disk::read_car(id) else {
            return;
        };
        let now = Listed::new(id, &saved.car);
        self.listed
            .update(|cars| match cars.iter_mut().find(|car| car.id == id) {
                Some(car) => *car = now,
                None => cars.push(now),
            });
    }

    /// Keeps the open car as another one, since its entry is another window's by now.
    pub(super) fn keep_beside(self) -> Option<(u32, Record)> {
        let other = self.open.get_untracked()?;
        let id = disk::free_id(other);
        let answer = self.answer.get_untracked()?;
        let mut car = answer.car.clone();
        let name = keeping::of_this_window(&car.name);
        if name.chars().count() <= LONGEST_NAME {
            car.name.clone_from(&name);
        }
        self.tell(Told::Both(car.name.clone()));
        // What the browser refused of it goes on under the new id; what stands under the old one is the other's.
        disk::forget_unsaved(other);
        self.relist(other);
        self.listed.update(|cars| cars.push(Listed::new(id, &car)));
        // What is typed on may yet turn out to be no entry: the car before it is this one too.
        let name = &car.name;
        self.before.update_value(|before| {
            if let Some(answer) = before {
                let mut car = answer.car.clone();
                car.name.clone_from(name);
                *answer = Arc::new(Answer::new(car, None));
            }
        });
        self.went_on.set_value(Some((other, id)));
        self.answer.set(Some(Arc::new(Answer::new(car, None))));
        self.open.set(Some(id));
        disk::write_open(id);
        self.write_order();
        Some((id, self.record()?))
    }

    /// Whether it is the same car now, under another id since its entry became another window's.
    pub fn goes_on_as(self, before: ShownCar, now: ShownCar) -> bool {
        let went_on = self.went_on.get_value();
        went_on.is_some_and(|(old, new)| (before, now) == (ShownCar::Own(old), ShownCar::Own(new)))
    }
}
