//! Cars that came from elsewhere: looked at beside one's own, changed by nothing, and written nowhere until they are kept.
//!
//! While one of them is looked at, no car is open: what saves does nothing then.

use super::{Answer, LogNote, Store};
use crate::words::received::numbered;
use laneside_core::car::Car;
use laneside_core::car::check::LONGEST_NAME;
use laneside_core::car::several::{Carried, MOST_CARS};
use laneside_core::log::kept::KeptPass;
use laneside_core::quantity::System;
use leptos::prelude::*;
use std::sync::Arc;

/// What came, and is not kept.
#[derive(Clone, Debug)]
pub(super) struct Received {
    cars: Vec<Arc<Carried>>,
    /// Which of them is looked at, or was last.
    at: usize,
    /// The own car that was open before.
    own: Option<u32>,
}

/// Whose pages are shown: another one means to make anew what a page remembers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ShownCar {
    /// None: there is none, or none is open.
    None,
    /// One's own, by its id.
    Own(u32),
    /// One that came, by its place among so many.
    Received(usize, usize),
}

/// What is told of what came.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Shown {
    /// The car's name, as it came.
    pub name: String,
    /// Which one it is, counted from 1, of how many.
    pub place: (usize, usize),
    /// How many of its kept passes cannot be read.
    pub unknown: usize,
    /// Whether it is looked at; else one's own car is.
    pub is_looked_at: bool,
}

impl Store {
    /// Takes what came, after what came before it; `false` where it would be too much.
    pub fn receive(self, cars: Vec<Carried>) -> bool {
        let own = self.open.get_untracked();
        let before = self.received.get_untracked();
        let mut received = before.unwrap_or(Received {
            cars: Vec::new(),
            at: 0,
            own,
        });
        if cars.is_empty() || received.cars.len() + cars.len() > MOST_CARS {
            return false;
        }
        received.own = own.or(received.own);
        received.at = received.cars.len();
        received.cars.extend(cars.into_iter().map(Arc::new));
        self.look_at(received);
        true
    }

    fn look_at(self, received: Received) {
        self.end_typing();
        let car = received.cars[received.at].car.clone();
        self.received.set(Some(received));
        self.refused.set(false);
        self.drafts.set(Vec::new());
        self.pending.set(Vec::new());
        self.trial.set(None);
        self.note.set(LogNote::default());
        self.stepped.set_value(None);
        self.open.set(None);
        self.answer.set(Some(Arc::new(Answer::new(car, None))));
    }

    /// Shows the car that is looked at in other units: none of its values changes.
    pub(super) fn look_in(self, units: System) {
        if let Some(mut received) = self.received.get_untracked() {
            Arc::make_mut(&mut received.cars[received.at]).car.units = units;
            self.look_at(received);
        }
    }

    /// Whose pages are shown, tracked.
    pub fn shown_car(self) -> ShownCar {
        if let Some(id) = self.open.get() {
            return ShownCar::Own(id);
        }
        self.received.with(|received| match received {
            Some(received) => ShownCar::Received(received.at, received.cars.len()),
            None => ShownCar::None,
        })
    }

    /// What came and is not kept, tracked.
    pub fn shown(self) -> Option<Shown> {
        let is_looked_at = self.open.get().is_none();
        self.received.with(|received| {
            let received = received.as_ref()?;
            let one = received.cars.get(received.at)?;
            Some(Shown {
                name: one.car.name.clone(),
                place: (received.at + 1, received.cars.len()),
                unknown: one.unknown,
                is_looked_at,
            })
        })
    }

    /// All saved cars as they are without what is only tried, each with whose its kept passes are.
    pub fn all_cars(self) -> Vec<(Car, Option<f64>)> {
        let ids = self
            .listed
            .with_untracked(|listed| listed.iter().map(|car| car.id).collect::<Vec<_>>());
        let saved = ids.into_iter().filter_map(super::disk::read_car);
        saved
            .map(|saved| {
                let car = match saved.trial {
                    Some(trial) => trial.without(&saved.car),
                    None => saved.car,
                };
                (car, saved.note.owner)
            })
            .collect()
    }

    /// Whether a car is looked at that is not kept, tracked: nothing about it can be changed.
    pub fn is_locked(self) -> bool {
        self.received.with(Option::is_some) && self.open.get().is_none()
    }

    /// Whether there is a car to work with, one's own or one that is looked at; untracked.
    pub fn has_any(self) -> bool {
        self.has_car() || untrack(|| self.is_locked())
    }

    /// As [`Store::is_locked`], asked by what would change the car: the person is told why it does not.
    pub fn refuses(self) -> bool {
        let is_locked = untrack(|| self.is_locked());
        if is_locked && !self.refused.get_untracked() {
            self.refused.set(true);
        }
        is_locked
    }

    /// Whether a change was refused, tracked.
    pub fn has_refused(self) -> bool {
        self.refused.get()
    }

    /// The kept passes of the car that is looked at, the oldest first; tracked.
    pub fn received_passes(self) -> Option<Vec<KeptPass>> {
        if !self.is_locked() {
            return None;
        }
        self.received.with(|received| {
            let received = received.as_ref()?;
            let passes = &received.cars.get(received.at)?.passes;
            Some(passes.iter().rev().cloned().collect())
        })
    }

    /// Looks at the next of them, or at the one that was looked at last.
    pub fn look_on(self) {
        if let Some(mut received) = self.received.get_untracked() {
            if untrack(|| self.is_locked()) {
                received.at = (received.at + 1) % received.cars.len();
            } else {
                received.own = self.open.get_untracked();
            }
            self.look_at(received);
        }
    }

    /// Makes the car that is looked at one of the saved ones, under a name of its own, and opens it; its kept passes are
    /// given back, to be kept with it. What else came stays.
    pub fn keep_received(self) -> Vec<KeptPass> {
        let Some(mut received) = self.received.get_untracked() else {
            return Vec::new();
        };
        let one = received.cars.remove(received.at);
        let mut car = one.car.clone();
        car.name = self.listed.with_untracked(|listed| {
            free_name(&car.name, |name| listed.iter().any(|car| car.name == name))
        });
        received.at = 0;
        let rest = Some(received).filter(|received| !received.cars.is_empty());
        self.received.set(rest);
        self.add_car(car);
        one.passes.iter().rev().cloned().collect()
    }

    /// Lets go of the car that is looked at; of all of them with `all`. The own car of before is opened again.
    pub fn leave_received(self, all: bool) {
        let Some(mut received) = self.received.get_untracked() else {
            return;
        };
        received.cars.remove(received.at);
        let is_locked = untrack(|| self.is_locked());
        if !all && !received.cars.is_empty() {
            received.at = 0;
            if is_locked {
                self.look_at(received);
            } else {
                self.received.set(Some(received));
            }
            return;
        }
        self.received.set(None);
        if is_locked {
            self.answer.set(None);
            let first = || {
                self.listed
                    .with_untracked(|listed| listed.first().map(|car| car.id))
            };
            if let Some(own) = received.own {
                self.open_car(own);
            }
            // It may have been deleted meanwhile.
            if self.open.get_untracked().is_none()
                && let Some(first) = first()
            {
                self.open_car(first);
            }
        }
    }
}

/// The name, with a number behind where it is taken.
fn free_name(name: &str, is_taken: impl Fn(&str) -> bool) -> String {
    if !is_taken(name) {
        return name.to_owned();
    }
    let mut number = 2;
    loop {
        let end = numbered(number);
        let room = LONGEST_NAME.saturating_sub(end.chars().count());
        let start: String = name.chars().take(room).collect();
        let free = format!("{}{end}", start.trim_end());
        if !is_taken(&free) {
            return free;
        }
        number += 1;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_taken_name_gets_a_number_and_stays_short() {
        let next = |name: &str, taken: &[&str]| free_name(name, |name| taken.contains(&name));
        assert_eq!(next("Nettle", &["Tansy"]), "Nettle");
        assert_eq!(next("Nettle", &["Nettle"]), "Nettle (2)");
        assert_eq!(next("Nettle", &["Nettle", "Nettle (2)"]), "Nettle (3)");
        let long = "\u{e4}".repeat(LONGEST_NAME);
        let free = next(&long, &[&long]);
        assert_eq!(free.chars().count(), LONGEST_NAME);
        assert!(free.ends_with(" (2)"));
    }
}
