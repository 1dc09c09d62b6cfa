//! What was on the car when: plain data. How it is written and read is in [`crate::job`].

use serde::{Deserialize, Serialize};

use super::check::{ALTERNATOR_MM, CRANK_MM, Fault, OUTPUT_A, at_most, pulley, range};
use super::swap::{Readings, notes, texts};
use super::{Alternator, Nominal};
use crate::alternator::Fan;
use crate::drive::Pulley;
use crate::quantity::InElectricCurrent;

/// Most entries.
pub const MOST_ENTRIES: usize = 60;

/// What an entry tells.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Event {
    /// A pulley was swapped.
    Swapped,
    /// What is on the car was written down.
    Noted,
    /// Belt and nut were looked at again.
    Checked,
}

/// What of an alternator tells it from another.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Machine {
    /// Rated output, A.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rated_a: Option<f64>,
    /// How it is built.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fan: Option<Fan>,
    /// Nominal voltage.
    pub nominal: Nominal,
}

impl Machine {
    /// Of an alternator.
    pub fn of(alternator: &Alternator) -> Self {
        let rated = alternator.rated.map(|rated| rated.amps());
        Self {
            rated_a: rated.map(crate::stored::tidy),
            fan: alternator.fan,
            nominal: alternator.nominal,
        }
    }
}

/// One entry of the history.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Entry {
    /// Alone in the history.
    pub number: u32,
    /// When, as the app wrote it.
    pub date: String,
    /// What it tells.
    pub event: Event,
    /// Crank pulley on the car from then on.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub crank: Option<Pulley>,
    /// Alternator pulley on the car from then on.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pulley: Option<Pulley>,
    /// Alternator pulley that came off.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub removed: Option<Pulley>,
    /// Belt on the car from then on, by its designation; may be empty.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub belt: String,
    /// Alternator on the car from then on.
    #[serde(default)]
    pub machine: Machine,
    /// Read before the swap.
    #[serde(default, skip_serializing_if = "Readings::is_empty")]
    pub before: Readings,
    /// Read after it.
    #[serde(default, skip_serializing_if = "Readings::is_empty")]
    pub after: Readings,
    /// The person's notes.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub notes: String,
}

/// Whether a history holds.
pub(super) fn check(history: &[Entry]) -> Result<(), Fault> {
    at_most("entries of the history", history.len(), MOST_ENTRIES)?;
    for entry in history {
        texts(&[
            Some(&entry.date),
            Some(&entry.belt).filter(|belt| !belt.is_empty()),
        ])?;
        notes(&entry.notes)?;
        pulley("history.crank", entry.crank.as_ref(), CRANK_MM)?;
        pulley("history.pulley", entry.pulley.as_ref(), ALTERNATOR_MM)?;
        pulley("history.removed", entry.removed.as_ref(), ALTERNATOR_MM)?;
        range("history.rated_a", entry.machine.rated_a, OUTPUT_A)?;
        entry.before.check()?;
        entry.after.check()?;
    }
    Ok(())
}
