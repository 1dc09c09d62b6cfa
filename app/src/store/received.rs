//! Cars that came from elsewhere: looked at beside one's own, changed by nothing, and none of one's own until they are kept.
//!
//! While one of them is looked at, no car is open: what saves does nothing then.

use super::{Answer, LogNote, Store, Told, waiting};
use crate::words::received::numbered;
use laneside_core::car::Car;
use laneside_core::car::check::LONGEST_NAME;
use laneside_core::car::several::{Carried, MOST_CARS};
use laneside_core::log::kept::KeptPass;
use laneside_core::quantity::System;
use leptos::prelude::*;
use std::sync::Arc;

/// A car that came, and is not kept.
#[derive(Clone, Debug)]
struct Waiting {
    /// No other that came since the start has it.
    number: u32,
    one: Arc<Carried>,
    /// As it came, whatever units it is looked at in.
    came: Arc<Carried>,
}

/// What came, and is not kept.
#[derive(Clone, Debug)]
pub(super) struct Received {
    cars: Vec<Waiting>,
    /// Which of them is looked at, or was last.
    at: usize,
    /// The own car that was open before.
    own: Option<u32>,
    /// They waited when the app started, and none was looked at yet: one that stopped the app must not do so again.
    is_aside: bool,
}

impl Received {
    fn new(own: Option<u32>) -> Self {
        Self {
            cars: Vec::new(),
            at: 0,
            own,
            is_aside: true,
        }
    }
}

/// Whose pages are shown: another one means to make anew what a page remembers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ShownCar {
    /// None: there is none, or none is open.
    None,
    /// One's own, by its id.
    Own(u32),
    /// One that came, by the number that it was given then: its place may be another's by now.
    Received(u32),
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
    /// How many are more than can be taken.
    pub surplus: usize,
    /// Whether it is looked at; else one's own car is.
    pub is_looked_at: bool,
    /// Whether there is one.
    pub has_own: bool,
}

impl Store {
    /// Takes what came, after what came before it; `false` where it would be too much.
    pub fn receive(self, cars: Vec<Carried>) -> bool {
        let own = self.open.get_untracked();
        let before = self.received.get_untracked();
        let mut received = before.unwrap_or_else(|| Received::new(own));
        // A link that is tapped twice is one car.
        let place = |one: &Carried| received.cars.iter().position(|other| *other.came == *one);
        let at = cars
            .first()
            .map(|one| place(one).unwrap_or(received.cars.len()));
        let cars: Vec<Carried> = cars
            .into_iter()
            .filter(|one| place(one).is_none())
            .collect();
        let Some(at) = at.filter(|_| received.cars.len() + cars.len() <= MOST_CARS) else {
            return false;
        };
        received.own = own.or(received.own);
        received.at = at;
        let cars: Vec<Waiting> = cars.into_iter().map(|one| self.waiting(one)).collect();
        let written = cars.iter().map(|car| (car.number, car.came.clone()));
        let written = written.collect();
        received.cars.extend(cars);
        self.look_at(received);
        self.note_waiting(written);
        true
    }

    fn waiting(self, one: Carried) -> Waiting {
        let number = self.arrived.get_value() + 1;
        self.arrived.set_value(number);
        let one = Arc::new(one);
        Waiting {
            number,
            came: one.clone(),
            one,
        }
    }

    /// Takes what came before the app was closed behind what came since; none of it is looked at.
    pub(super) fn receive_again(self, cars: impl Iterator<Item = Carried>) {
        let before = self.received.get_untracked();
        let mut received = before.unwrap_or_else(|| Received::new(self.open.get_untracked()));
        for one in cars {
            let is_there = received.cars.iter().any(|other| *other.came == one);
            if !is_there && received.cars.len() < MOST_CARS {
                let car = self.waiting(one);
                self.fates.update(|fates| fates.push((car.number, true)));
                received.cars.push(car);
            }
        }
        self.received.set(Some(received));
    }

    /// Whether a car that came is neither kept nor left; untracked.
    pub(super) fn waits(self, number: u32) -> bool {
        self.received.with_untracked(|received| {
            let mut waiting = received.iter().flat_map(|received| &received.cars);
            waiting.any(|car| car.number == number)
        })
    }

    fn look_at(self, mut received: Received) {
        self.end_typing();
        received.is_aside = false;
        let car = received.cars[received.at].one.car.clone();
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
            let one = &mut received.cars[received.at].one;
            Arc::make_mut(one).car.units = units;
            self.look_at(received);
        }
    }

    /// Whose pages are shown, tracked.
    pub fn shown_car(self) -> ShownCar {
        if let Some(id) = self.open.get() {
            return ShownCar::Own(id);
        }
        self.received.with(|received| match received {
            Some(received) if !received.is_aside => {
                ShownCar::Received(received.cars[received.at].number)
            }
            _ => ShownCar::None,
        })
    }

    /// Whether a car that was shown can be shown again, tracked.
    pub fn is_there(self, car: ShownCar) -> bool {
        match car {
            ShownCar::None => true,
            ShownCar::Own(id) => self
                .listed
                .with(|listed| listed.iter().any(|car| car.id == id)),
            ShownCar::Received(number) => self.received.with(|received| {
                let mut waiting = received.iter().flat_map(|received| &received.cars);
                waiting.any(|car| car.number == number)
            }),
        }
    }

    /// Looks at what came last, if it is not kept yet: there is no own car to be shown.
    pub(super) fn look_at_waiting(self) {
        if let Some(received) = self.received.get_untracked() {
            self.look_at(received);
        }
    }

    /// What came and is not kept, tracked.
    pub fn shown(self) -> Option<Shown> {
        let has_own = self.open.get().is_some();
        self.received.with(|received| {
            let received = received.as_ref()?;
            let one = &received.cars.get(received.at)?.one;
            Some(Shown {
                name: one.car.name.clone(),
                place: (received.at + 1, received.cars.len()),
                unknown: one.unknown,
                surplus: one.surplus,
                is_looked_at: !has_own && !received.is_aside,
                has_own,
            })
        })
    }

    /// Whether the car of [`Store::shown`] is still there once the app was closed, if that is known yet; tracked.
    pub fn waiting_stays(self) -> Option<bool> {
        let shown = self.received.with(|received| {
            let received = received.as_ref()?;
            Some(received.cars.get(received.at)?.number)
        });
        self.fates.with(|fates| {
            let known = fates.iter().find(|(of, _)| Some(*of) == shown);
            known.map(|(_, stays)| *stays)
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
                let owner = saved.note.owner;
                (saved.own_car(), owner)
            })
            .collect()
    }

    /// Whether a car is looked at that is not kept, tracked: nothing about it can be changed.
    pub fn is_locked(self) -> bool {
        let is_looked_at = self
            .received
            .with(|received| received.as_ref().is_some_and(|received| !received.is_aside));
        is_looked_at && self.open.get().is_none()
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
            let passes = &received.cars.get(received.at)?.one.passes;
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
        let at = self
            .received
            .with_untracked(|received| received.as_ref().map_or(0, |received| received.at));
        let Some((car, passes)) = self.take_waiting(at) else {
            return Vec::new();
        };
        self.add_car(car);
        passes
    }

    /// Makes the first car that waits one of the saved ones without opening it; its name is given back, and its kept
    /// passes with their owner, to be kept with it. `None` where none waits. The owners are to be known.
    pub fn keep_next(self) -> Option<(String, f64, Vec<KeptPass>)> {
        let (car, passes) = self.take_waiting(0)?;
        let name = car.name.clone();
        let owner = Self::new_owner();
        let note = LogNote {
            owner: (!passes.is_empty()).then_some(owner),
            ..LogNote::default()
        };
        if !self.add_closed(car, note) {
            self.tell(Told::NoRoom(name.clone()));
        }
        Some((name, owner, passes))
    }

    /// Takes a car out of those that wait: under a free name, and with its passes, the oldest first.
    fn take_waiting(self, at: usize) -> Option<(Car, Vec<KeptPass>)> {
        let mut received = self.received.get_untracked()?;
        let Waiting { one, came, .. } = received.cars.remove(at);
        let mut car = one.car.clone();
        car.name = self.listed.with_untracked(|listed| {
            free_name(&car.name, |name| listed.iter().any(|car| car.name == name))
        });
        received.at = 0;
        let rest = Some(received).filter(|received| !received.cars.is_empty());
        self.received.set(rest);
        waiting::forget_kept(came);
        Some((car, one.passes.iter().rev().cloned().collect()))
    }

    /// Lets go of the car that is looked at; of all of them with `all`. The own car of before is opened again.
    pub fn leave_received(self, all: bool) {
        let Some(received) = self.received.get_untracked() else {
            return;
        };
        let left = received.cars[received.at].number;
        let is_left = |car: &Waiting| all || car.number == left;
        for car in received.cars.iter().filter(|car| is_left(car)) {
            waiting::forget(car.came.clone());
        }
        self.drop_where(is_left);
    }

    /// Drops cars that came, told apart as they came, since they were kept or left in another window.
    pub(super) fn drop_waiting(self, is_gone: impl Fn(&Carried) -> bool) {
        self.drop_where(|car| is_gone(&car.came));
    }

    fn drop_where(self, is_gone: impl Fn(&Waiting) -> bool) {
        let Some(mut received) = self.received.get_untracked() else {
            return;
        };
        let is_locked = untrack(|| self.is_locked());
        let (shown, before) = (received.cars[received.at].number, received.cars.len());
        received.cars.retain(|car| !is_gone(car));
        if received.cars.len() == before {
            return;
        }
        let still = received.cars.iter().position(|car| car.number == shown);
        received.at = still.unwrap_or(0);
        if !received.cars.is_empty() {
            if is_locked && still.is_none() {
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
