//! Which column is what, as the person confirmed it: kept with the car, used again when the same names come back.

use super::Role;
use crate::log::read::{Read, Table};
use crate::log::unit::Unit;
use crate::log::{Recording, Signal};
use serde::{Deserialize, Serialize};

/// A column for a role, and what its numbers count.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Pick {
    /// For what.
    pub role: Role,
    /// The column's name in the header.
    pub column: String,
    /// How many columns of that name stand before it.
    #[serde(default)]
    pub same_before: usize,
    /// The unit of its numbers.
    pub unit: Unit,
}

/// Which column is what. A role without a pick is not in the log, or not wanted.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Choice {
    /// At most one for each role.
    pub picks: Vec<Pick>,
}

/// Why a table and a choice make no recording.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, thiserror::Error)]
pub enum RecordError {
    /// The file has questions that are not answered.
    #[error("found {0} open questions about the file, need their answers")]
    Open(usize),
    /// A role that is needed has no column.
    #[error("found no column for {0:?}, need one")]
    NoColumn(Role),
    /// A chosen column is not in the table.
    #[error("found no column named \"{column}\", need it for {role:?}")]
    Unknown {
        /// For what it was chosen.
        role: Role,
        /// Its name.
        column: String,
    },
    /// A unit of another quantity.
    #[error("found {unit:?} for {role:?}, need another unit")]
    Unit {
        /// For what.
        role: Role,
        /// The unit.
        unit: Unit,
    },
    /// Fewer than two numbers in a column that is needed.
    #[error("found {found} numbers in \"{column}\", need at least two for {role:?}")]
    TooFew {
        /// For what.
        role: Role,
        /// Its name.
        column: String,
        /// Numbers in it.
        found: usize,
    },
}

impl Choice {
    /// The pick for a role.
    #[must_use]
    pub fn pick(&self, role: Role) -> Option<&Pick> {
        self.picks.iter().find(|pick| pick.role == role)
    }

    /// Chooses a column of the table, from zero, for a role, in place of another; none takes the choice away.
    pub fn set(&mut self, table: &Table, role: Role, column: Option<(usize, Unit)>) {
        self.picks.retain(|pick| pick.role != role);
        let columns = table.columns();
        if let Some((at, unit)) = column
            && let Some(column) = columns.get(at)
        {
            let before = columns.iter().take(at);
            self.picks.push(Pick {
                role,
                column: column.name().to_owned(),
                same_before: before.filter(|other| other.name() == column.name()).count(),
                unit,
            });
        }
    }

    /// The place of the role's column in a table, from zero.
    #[must_use]
    pub fn place(&self, table: &Table, role: Role) -> Option<usize> {
        let pick = self.pick(role)?;
        let columns = table.columns().iter().enumerate();
        columns
            .filter(|(_, column)| column.name() == pick.column)
            .map(|(at, _)| at)
            .nth(pick.same_before)
    }

    /// Whether every column chosen is in the table, those that are needed among them.
    #[must_use]
    pub fn fits(&self, table: &Table) -> bool {
        let needed = Role::ALL.into_iter().filter(|role| role.is_needed());
        needed.into_iter().all(|role| self.pick(role).is_some())
            && self
                .picks
                .iter()
                .all(|pick| self.place(table, pick.role).is_some())
    }

    /// The recording: what was chosen, in the units that it holds, blank cells left out and each channel with the
    /// times of its own samples.
    ///
    /// # Errors
    /// [`RecordError`] where a question is open, a needed column is missing, or one has no numbers. A column that is
    /// not needed and has fewer than two numbers is left out.
    pub fn record(&self, read: &Read) -> Result<Recording, RecordError> {
        if !read.questions.is_empty() {
            return Err(RecordError::Open(read.questions.len()));
        }
        let table = &read.table;
        let needed = |role| self.signal(table, role)?.ok_or(RecordError::NoColumn(role));
        let wanted = |role| match self.signal(table, role) {
            Err(RecordError::TooFew { .. }) => Ok(None),
            other => other,
        };
        Ok(Recording {
            rpm: needed(Role::EngineSpeed)?,
            volts: needed(Role::Voltage)?,
            alternator_amps: wanted(Role::AlternatorCurrent)?,
            battery_amps: wanted(Role::BatteryCurrent)?,
            throttle: wanted(Role::Throttle)?,
            speed: wanted(Role::RoadSpeed)?,
            alternator_rpm: wanted(Role::AlternatorSpeed)?,
            celsius: wanted(Role::Temperature)?,
        })
    }

    fn signal(&self, table: &Table, role: Role) -> Result<Option<Signal>, RecordError> {
        let Some(pick) = self.pick(role) else {
            return Ok(None);
        };
        if !role.units().contains(&pick.unit) {
            return Err(RecordError::Unit {
                role,
                unit: pick.unit,
            });
        }
        let column = self
            .place(table, role)
            .and_then(|at| table.columns().get(at));
        let Some(column) = column else {
            return Err(RecordError::Unknown {
                role,
                column: pick.column.clone(),
            });
        };
        let held = |value: f32| pick.unit.to_held(f64::from(value)) as f32;
        let samples = table.times(column).iter().zip(column.values());
        let (time, values): (Vec<f64>, Vec<f32>) = samples
            .map(|(&time, &value)| (time, held(value)))
            .filter(|(time, value)| time.is_finite() && value.is_finite())
            .unzip();
        let found = values.len();
        let signal = (found >= 2).then(|| Signal::new(time, values));
        match signal {
            Some(Ok(signal)) => Ok(Some(signal)),
            _ => Err(RecordError::TooFew {
                role,
                column: pick.column.clone(),
                found,
            }),
        }
    }
}
