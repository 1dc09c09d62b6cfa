//! Several cars: open, add, copy, delete and take back.

use super::disk;
use super::record::{Record, Saved};
use super::{Answer, Draft, LogNote, Store, Trial, take};
use crate::words::board::{new_car, numbered};
use crate::words::cars;
use laneside_core::car::Car;
use laneside_core::car::entry::{Field, pulley};
use laneside_core::drive::Measure;
use laneside_core::quantity::System;
use leptos::prelude::*;
use std::sync::Arc;

/// A saved car, as the list shows it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Listed {
    /// Its id on this phone.
    pub id: u32,
    /// Its name.
    pub name: String,
    /// The sizes of its pulleys, to tell it from another of the same name.
    pub sizes: String,
}

impl Listed {
    pub(super) fn new(id: u32, car: &Car) -> Self {
        Self {
            id,
            name: car.name.clone(),
            sizes: cars::sizes(car),
        }
    }
}

/// A car that was deleted, and can be had back until another is.
#[derive(Clone, Debug)]
pub(super) struct Deleted {
    listed: Listed,
    place: usize,
    record: Record,
}

impl Deleted {
    /// Whose passes are that car's.
    pub(super) fn owner(&self) -> Option<f64> {
        self.record.owner()
    }
}

/// What goes with an open car: texts not taken, how pulleys were measured, what is being tried, its logs.
type Beside = (Vec<Draft>, Vec<(Field, Measure)>, Option<Trial>, LogNote);

impl Store {
    /// The saved cars in their order, tracked.
    pub fn listed(self) -> Vec<Listed> {
        self.listed.get()
    }

    /// The id of the open car, tracked.
    pub fn open_id(self) -> Option<u32> {
        self.open.get()
    }

    /// Whether a car is open, untracked.
    pub fn has_car(self) -> bool {
        self.open.get_untracked().is_some()
    }

    /// Opens a saved car. One that was left without an entry is let go.
    pub fn open_car(self, id: u32) {
        self.end_typing();
        if self.open.get_untracked() == Some(id) {
            return;
        }
        self.drop_blank(id);
        self.show_again(id);
    }

    /// Opens a saved car as it is on the disk now.
    pub(super) fn show_again(self, id: u32) {
        let Some(Saved {
            mut car,
            drafts: texts,
            measures,
            trial,
            note,
        }) = disk::read_car(id)
        else {
            return;
        };
        let mut drafts = Vec::new();
        let mut is_changed = false;
        for (field, text) in texts {
            let measure = measures
                .iter()
                .find(|(of, _)| *of == field)
                .map(|(_, measure)| *measure)
                .or_else(|| pulley(&car, field).map(|pulley| pulley.measure));
            match take(&car, field, &text, measure.unwrap_or(Measure::default())) {
                // What this version takes is not left aside.
                Ok(better) => {
                    car = better;
                    is_changed = true;
                }
                Err(error) => drafts.push(Draft {
                    field,
                    text,
                    error: Some(error),
                }),
            }
        }
        self.show(id, car, (drafts, measures, trial, note));
        if is_changed {
            self.save();
        }
    }

    /// Makes a car the open one, with what goes with it.
    fn show(self, id: u32, car: Car, (drafts, measures, trial, note): Beside) {
        self.drafts.set(drafts);
        self.pending.set(measures);
        self.trial.set(trial);
        self.note.set(note);
        self.stepped.set_value(None);
        self.went_on.set_value(None);
        self.open.set(Some(id));
        self.answer.set(Some(Arc::new(Answer::new(car, None))));
        disk::write_open(id);
        disk::watch(id);
        self.saving_failed.set(disk::is_unsaved(id));
    }

    /// An id for a new car.
    fn new_id(self) -> u32 {
        let highest = self
            .listed
            .with_untracked(|listed| listed.iter().map(|car| car.id).max());
        disk::free_id(highest.unwrap_or(0) + 1)
    }

    /// Adds a car without opening it: nothing about it is worked out. `false` where the browser does not keep it.
    pub(super) fn add_closed(self, car: Car, note: LogNote) -> bool {
        let id = self.new_id();
        let listed = Listed::new(id, &car);
        let record = Record::new(&Saved {
            car,
            drafts: Vec::new(),
            measures: Vec::new(),
            trial: None,
            note,
        });
        let Some(record) = record else {
            return false;
        };
        let written = disk::write(id, record);
        self.listed.update(|all| all.push(listed));
        self.write_order();
        written == disk::Written::Kept
    }

    /// Adds a car and opens it.
    pub fn add_car(self, car: Car) {
        let id = self.new_id();
        self.drop_blank(id);
        self.listed.update(|listed| {
            listed.push(Listed::new(id, &car));
        });
        self.write_order();
        self.end_typing();
        self.show(id, car, Beside::default());
        self.save();
    }

    /// Opens a car of which nothing is known yet.
    pub fn add_blank(self, units: System) {
        let name = self.listed.with_untracked(|listed| {
            let is_taken = |name: &str| listed.iter().any(|car| car.name == name);
            free_name(is_taken)
        });
        let blank = Car::new(&name, units);
        let open_is_blank = self.has_car()
            && self.drafts.with_untracked(Vec::is_empty)
            && self.answer.with_untracked(|answer| {
                answer.as_ref().is_some_and(|answer| is_blank(&answer.car))
            });
        if !open_is_blank {
            self.add_car(blank);
        }
    }

    /// Lets the open car go if nothing was ever entered into it.
    fn drop_blank(self, unless: u32) {
        let Some(id) = self.open.get_untracked().filter(|id| *id != unless) else {
            return;
        };
        let is_left = disk::read_car(id).is_some_and(|saved| {
            saved.drafts.is_empty() && saved.note.owner.is_none() && is_blank(&saved.car)
        });
        if is_left {
            disk::forget(id);
            self.listed
                .update(|listed| listed.retain(|car| car.id != id));
            self.write_order();
        }
    }

    /// Opens a saved car that is the very same, else adds it.
    pub fn open_or_add(self, car: &Car) {
        let file = car.to_file().ok();
        let same = self.listed.with_untracked(|listed| {
            let mut saved = listed.iter().map(|listed| listed.id);
            saved.find(|id| disk::read_car(*id).and_then(|saved| saved.car.to_file().ok()) == file)
        });
        match same {
            Some(id) => self.open_car(id),
            None => self.add_car(car.clone()),
        }
    }

    /// Adds a copy of a saved car under a name of its own, and opens it. What is only being tried is no
    /// part of it.
    ///
    /// `false` where there is no such car any more.
    pub fn copy_car(self, id: u32, name: String) -> bool {
        let Some(saved) = disk::read_car(id) else {
            return false;
        };
        self.add_car(Car {
            name,
            invented: false,
            ..saved.own_car()
        });
        true
    }

    /// Deletes a car; it can be had back with [`Store::undelete`].
    pub fn delete_car(self, id: u32) {
        let place = self
            .listed
            .with_untracked(|listed| listed.iter().position(|car| car.id == id));
        let (Some(place), Some(record)) = (place, disk::read_record(id)) else {
            return;
        };
        let mut removed = None;
        self.listed
            .update(|listed| removed = Some(listed.remove(place)));
        disk::forget(id);
        disk::write_deleted(record.owner());
        self.write_order();
        self.deleted.set(removed.map(|listed| Deleted {
            listed,
            place,
            record,
        }));
        if self.open.get_untracked() == Some(id) {
            self.open.set(None);
            self.answer.set(None);
            self.drafts.set(Vec::new());
            self.trial.set(None);
            self.note.set(LogNote::default());
            let next = self
                .listed
                .with_untracked(|listed| listed.first().map(|car| car.id));
            match next {
                Some(next) => self.open_car(next),
                None => self.look_at_waiting(),
            }
        }
    }

    /// The name of the car that can be had back, tracked.
    pub fn deleted_name(self) -> Option<String> {
        self.deleted
            .with(|deleted| deleted.as_ref().map(|deleted| deleted.listed.name.clone()))
    }

    /// Brings the deleted car back to its place and opens it. Its id may be another car's by now: then
    /// it gets one that is free.
    pub fn undelete(self) {
        let Some(Deleted {
            listed,
            place,
            record,
        }) = self.deleted.get_untracked()
        else {
            return;
        };
        let id = disk::free_id(listed.id);
        // Refused, it lives in memory alone, and the person is told.
        self.note_saving(disk::put_back(id, &record) == disk::Written::Kept);
        self.close_undo();
        self.listed
            .update(|cars| cars.insert(place.min(cars.len()), Listed { id, ..listed }));
        self.write_order();
        self.open_car(id);
    }

    /// Lets the deleted car go.
    pub fn close_undo(self) {
        disk::write_deleted(None);
        self.deleted.set(None);
    }

    /// Profiles that could not be read, set aside untouched, tracked.
    pub fn aside(self) -> Vec<super::Aside> {
        self.aside.get()
    }

    /// Deletes a profile that was set aside.
    pub fn drop_aside(self, key: &str) {
        disk::forget_key(key);
        self.aside
            .update(|aside| aside.retain(|profile| profile.key != key));
    }

    pub(super) fn write_order(self) {
        let order: Vec<u32> = self
            .listed
            .with_untracked(|listed| listed.iter().map(|car| car.id).collect());
        disk::write_order(&order);
    }
}

/// Whether nothing was entered, not even a name; in which units is no entry.
fn is_blank(car: &Car) -> bool {
    is_given(&car.name) && *car == Car::new(&car.name, car.units)
}

/// What a new car is called: "My car", and where that is taken, "Car 2" or the next that is free.
fn free_name(is_taken: impl Fn(&str) -> bool) -> String {
    let mut name = new_car().to_owned();
    let mut number = 1;
    while is_taken(&name) {
        number += 1;
        name = numbered(number);
    }
    name
}

/// Whether the app gave this name.
fn is_given(name: &str) -> bool {
    let number = name
        .rsplit(' ')
        .next()
        .and_then(|number| number.parse().ok());
    name == new_car() || number.is_some_and(|number| name == numbered(number))
}

#[cfg(test)]
mod tests {
    use super::*;
    use laneside_core::quantity::rpm;

    #[test]
    fn a_new_car_gets_the_next_free_name() {
        let next = |taken: &[&str]| free_name(|name| taken.contains(&name));
        assert_eq!(next(&[]), "My car");
        assert_eq!(next(&["Nettle"]), "My car");
        assert_eq!(next(&["My car"]), "Car 2");
        assert_eq!(next(&["My car", "Car 2", "Car 4"]), "Car 3");
    }

    #[test]
    fn a_car_with_a_name_or_an_entry_is_not_blank() {
        for units in [System::Inch, System::Metric] {
            assert!(is_blank(&Car::new(new_car(), units)));
            assert!(!is_blank(&Car::new("Nettle", units)));
            assert!(is_blank(&Car::new("Car 2", units)));
            assert!(!is_blank(&Car::new("Car 02", units)));
            let mut car = Car::new(new_car(), units);
            car.engine.idle = Some(rpm(900.0));
            assert!(!is_blank(&car));
        }
    }
}
