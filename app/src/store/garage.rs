//! Several cars: open, add, copy, delete and take back.

use super::disk::{self, Record};
use super::{Answer, Draft, Store, take};
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
}

/// A car that was deleted, and can be had back until another is.
#[derive(Clone, Debug)]
pub(super) struct Deleted {
    listed: Listed,
    place: usize,
    record: Record,
}

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
        if self.open.get_untracked() != Some(id) {
            self.drop_blank(id);
        }
        let Some((car, texts)) = disk::read_car(id) else {
            return;
        };
        let drafts = texts
            .into_iter()
            .filter_map(|(key, text)| {
                let field = Field::from_key(&key)?;
                let measure = pulley(&car, field).map_or(Measure::default(), |p| p.measure);
                let error = take(&car, field, &text, measure).err()?;
                Some(Draft {
                    field,
                    text,
                    error: Some(error),
                })
            })
            .collect();
        self.end_typing();
        self.drafts.set(drafts);
        self.pending.set(Vec::new());
        self.open.set(Some(id));
        self.answer.set(Some(Arc::new(Answer::new(car, None))));
        disk::write_open(id);
    }

    /// Adds a car and opens it.
    pub fn add_car(self, car: Car) {
        let highest = self
            .listed
            .with_untracked(|listed| listed.iter().map(|car| car.id).max());
        let id = disk::free_id(highest.unwrap_or(0) + 1);
        self.drop_blank(id);
        self.listed.update(|listed| {
            listed.push(Listed {
                id,
                name: car.name.clone(),
            });
        });
        self.write_order();
        self.end_typing();
        self.drafts.set(Vec::new());
        self.pending.set(Vec::new());
        self.open.set(Some(id));
        disk::write_open(id);
        self.put(car);
    }

    /// Opens a car of which nothing is known yet.
    pub fn add_blank(self, name: &str, units: System) {
        let blank = Car::new(name, units);
        let open_is_blank = self.drafts.with_untracked(Vec::is_empty)
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
        let is_left =
            disk::read_car(id).is_some_and(|(car, texts)| texts.is_empty() && is_blank(&car));
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
            saved.find(|id| disk::read_car(*id).and_then(|(car, _)| car.to_file().ok()) == file)
        });
        match same {
            Some(id) => self.open_car(id),
            None => self.add_car(car.clone()),
        }
    }

    /// Adds a copy of a saved car under a name of its own, and opens it.
    pub fn copy_car(self, id: u32, name: String) {
        if let Some((car, _)) = disk::read_car(id) {
            self.add_car(Car {
                name,
                invented: false,
                ..car
            });
        }
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
            let next = self
                .listed
                .with_untracked(|listed| listed.first().map(|car| car.id));
            if let Some(next) = next {
                self.open_car(next);
            }
        }
    }

    /// The name of the car that can be had back, tracked.
    pub fn deleted_name(self) -> Option<String> {
        self.deleted
            .with(|deleted| deleted.as_ref().map(|deleted| deleted.listed.name.clone()))
    }

    /// Brings the deleted car back to its place and opens it.
    pub fn undelete(self) {
        let Some(Deleted {
            listed,
            place,
            record,
        }) = self.deleted.get_untracked()
        else {
            return;
        };
        self.deleted.set(None);
        let id = listed.id;
        if disk::write(id, &record) {
            self.listed
                .update(|cars| cars.insert(place.min(cars.len()), listed));
            self.write_order();
            self.open_car(id);
        }
    }

    /// Lets the deleted car go.
    pub fn close_undo(self) {
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

    fn write_order(self) {
        let order: Vec<u32> = self
            .listed
            .with_untracked(|listed| listed.iter().map(|car| car.id).collect());
        disk::write_order(&order);
    }
}

/// Whether nothing was entered but what a car is called and typed in.
fn is_blank(car: &Car) -> bool {
    *car == Car::new(&car.name, car.units)
}
