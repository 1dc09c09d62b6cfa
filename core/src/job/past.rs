//! The history read: what was on the car when, with its passes and its time over the limits, and what is due.

use crate::car::Car;
use crate::car::history::{Entry, Event, Machine};
use crate::drive::Pulley;
use crate::log::kept::{Fitted, KeptPass, Worn, worn};
use crate::quantity::{InLength, mm};
use crate::stored::tidy;

/// Pulleys and alternator that were on the car together.
#[derive(Clone, Debug, PartialEq)]
pub struct Fitting {
    /// Crank pulley.
    pub crank: Option<Pulley>,
    /// Alternator pulley.
    pub pulley: Option<Pulley>,
    /// Alternator.
    pub machine: Machine,
    /// Belts written down with it, by their designations.
    pub belts: Vec<String>,
    /// Since when, as the history first tells; `None` where it does not.
    pub since: Option<String>,
    /// Kept passes with it.
    pub passes: usize,
    /// Their time over the limits; `None` without a pass, or where the ratio is not known.
    pub worn: Option<Worn>,
    /// Whether it is on the car now.
    pub is_on_car: bool,
}

type Key = (Option<Pulley>, Option<Pulley>, Machine);

/// A pulley as a file keeps it: what was typed and what was read back is the same.
fn kept(pulley: Option<Pulley>) -> Option<Pulley> {
    pulley.map(|pulley| Pulley {
        size: mm(tidy(pulley.size.mm())),
        ..pulley
    })
}

fn key(crank: Option<Pulley>, pulley: Option<Pulley>, machine: Machine) -> Key {
    (kept(crank), kept(pulley), machine)
}

fn of_entry(entry: &Entry) -> Key {
    key(entry.crank, entry.pulley, entry.machine)
}

fn of_fitted(fitted: &Fitted) -> Key {
    let machine = Machine::of(&fitted.alternator);
    key(fitted.crank, fitted.pulley, machine)
}

fn of_car(car: &Car) -> Key {
    let machine = Machine::of(&car.alternator);
    key(car.drive.crank, car.drive.fitted, machine)
}

/// Everything that was on the car as far as history and kept passes (the oldest first) tell, and what is on it now,
/// which stands first; the others the latest first.
pub fn fittings(car: &Car, passes: &[&KeptPass]) -> Vec<Fitting> {
    let mut keys: Vec<Key> = Vec::new();
    let entries = car.history.iter().map(of_entry);
    let driven = passes.iter().map(|pass| of_fitted(&pass.fitted));
    for key in driven.chain(entries).chain([of_car(car)]) {
        keys.retain(|other| *other != key);
        keys.push(key);
    }
    let all = worn(passes.iter().copied());
    let fitting = |key: &Key| {
        let entries = || car.history.iter().filter(|entry| of_entry(entry) == *key);
        let mut belts: Vec<String> = entries().map(|entry| entry.belt.clone()).collect();
        belts.retain(|belt| !belt.is_empty());
        belts.dedup();
        let is_of = |worn: &&Worn| of_fitted(&worn.fitted) == *key;
        Fitting {
            crank: key.0,
            pulley: key.1,
            machine: key.2,
            belts,
            since: entries().next().map(|entry| entry.date.clone()),
            passes: passes
                .iter()
                .filter(|pass| of_fitted(&pass.fitted) == *key)
                .count(),
            worn: all.iter().find(is_of).cloned(),
            is_on_car: *key == of_car(car),
        }
    };
    keys.iter().rev().map(fitting).collect()
}

/// What is to be looked at next (common practice).
#[derive(Clone, Debug, PartialEq)]
pub enum Due {
    /// Belt tension and nut, once the new parts have been hot and cold again.
    AfterFirstHeat {
        /// The date of the swap.
        since: String,
    },
    /// Belt tension and nut, before each race day.
    EachDay {
        /// When they were looked at last.
        last: String,
    },
    /// A log with what is on the car: none was kept yet.
    Log,
}

/// What is due; empty where the history tells of no swap.
pub fn due(car: &Car, passes: &[&KeptPass]) -> Vec<Due> {
    let last = |event: Event| car.history.iter().rposition(|entry| entry.event == event);
    let date = |place: usize| {
        let entry = car.history.get(place);
        entry.map_or_else(String::new, |entry| entry.date.clone())
    };
    let Some(swapped) = last(Event::Swapped) else {
        return Vec::new();
    };
    let belt = match last(Event::Checked).filter(|checked| *checked > swapped) {
        Some(checked) => Due::EachDay {
            last: date(checked),
        },
        None => Due::AfterFirstHeat {
            since: date(swapped),
        },
    };
    let is_logged = passes
        .iter()
        .any(|pass| of_fitted(&pass.fitted) == of_car(car));
    let log = (!is_logged).then_some(Due::Log);
    std::iter::once(belt).chain(log).collect()
}
