//! The numbers of a file, column by column.

use super::TimeUnit;
use serde::{Deserialize, Serialize};

/// What was read of a file: named columns of numbers over time.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Table {
    pub(super) columns: Vec<Column>,
    /// One for all columns of a wide table, one for each of a long one.
    pub(super) clocks: Vec<Vec<f64>>,
    pub(super) time: TimeSource,
}

/// A channel as the file names it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Column {
    pub(super) name: String,
    pub(super) unit: String,
    pub(super) values: Vec<f32>,
    pub(super) clock: usize,
}

/// Where a table's times come from.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum TimeSource {
    /// Counted from the rows, at so many a second.
    Rate(f64),
    /// A column of numbers.
    Number {
        /// Its name.
        column: String,
        /// What it counts.
        unit: TimeUnit,
    },
    /// A column with hours, minutes and seconds, or minutes and seconds.
    Clock {
        /// Its name.
        column: String,
    },
    /// A column with dates and times.
    Date {
        /// Its name.
        column: String,
    },
    /// Not known.
    #[default]
    Unknown,
}

impl Table {
    /// All columns but the time, in the order of the file; those without any number are left out.
    #[must_use]
    pub fn columns(&self) -> &[Column] {
        &self.columns
    }

    /// The times of a column's values, s, from the first moment in the file. As many as there are
    /// values; they never fall. Empty for a column of another table.
    #[must_use]
    pub fn times(&self, column: &Column) -> &[f64] {
        self.clocks.get(column.clock).map_or(&[], Vec::as_slice)
    }

    /// Where the times come from.
    #[must_use]
    pub const fn time(&self) -> &TimeSource {
        &self.time
    }
}

impl Column {
    /// Its name in the header, without the unit. A file without a header numbers its columns.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// Its unit as the file writes it; empty where it writes none.
    #[must_use]
    pub fn unit(&self) -> &str {
        &self.unit
    }

    /// Its values; NaN where the file has none.
    #[must_use]
    pub fn values(&self) -> &[f32] {
        &self.values
    }
}
