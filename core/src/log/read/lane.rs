//! One column while it is read.

use super::number::Found;
use super::report::{Reason, Report};
use super::value::{self, Style, Value};
use super::{Column, Place};

/// How many cells were passed over for one reason, and where the first is.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Tally {
    pub count: u64,
    first: Place,
}

impl Tally {
    pub fn add(&mut self, at: impl FnOnce() -> Place) {
        if self.count == 0 {
            self.first = at();
        }
        self.count += 1;
    }
}

/// Why a cell of a row that is read quickly has no number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Odd {
    Blank,
    Missing,
    Text,
}

/// A column's numbers so far, and what was passed over.
#[derive(Debug, Default)]
pub(super) struct Lane {
    pub name: String,
    pub unit: String,
    /// Empty until the first number; NaN where there is none.
    pub values: Vec<f32>,
    /// The unit behind its numbers.
    behind: Option<Vec<u8>>,
    pub blank: Tally,
    pub missing: Tally,
    pub text: Tally,
    pub huge: Tally,
    pub other_unit: Tally,
}

impl Lane {
    pub fn new(name: String, unit: String) -> Self {
        Self {
            name,
            unit,
            ..Self::default()
        }
    }

    /// Reads a cell; counts it where it is no number.
    pub fn read(&mut self, cell: &[u8], style: Style, at: impl FnOnce() -> Place) -> f32 {
        let tally = match value::read(cell, style, &mut self.behind, Found::single, |value| {
            value.is_finite()
        }) {
            Value::Number(number) => return number,
            Value::Blank => &mut self.blank,
            Value::Missing => &mut self.missing,
            Value::Huge => &mut self.huge,
            Value::Text => &mut self.text,
            Value::OtherUnit => &mut self.other_unit,
        };
        tally.add(at);
        f32::NAN
    }

    /// Adds the value of row `row`, of `expected` rows in all.
    #[inline(always)]
    pub fn push(&mut self, value: f32, row: usize, expected: usize) {
        if self.values.is_empty() && !self.start(value, row, expected) {
            return;
        }
        self.values.push(value);
    }

    /// Counts a cell without a number of which the first of its kind has its place already.
    pub fn count(&mut self, odd: Odd) {
        self.tally(odd).count += 1;
    }

    /// Whether the first cell of the kind has its place.
    pub fn knows(&self, odd: Odd) -> bool {
        let tally = match odd {
            Odd::Blank => &self.blank,
            Odd::Missing => &self.missing,
            Odd::Text => &self.text,
        };
        tally.count > 0
    }

    fn tally(&mut self, odd: Odd) -> &mut Tally {
        match odd {
            Odd::Blank => &mut self.blank,
            Odd::Missing => &mut self.missing,
            Odd::Text => &mut self.text,
        }
    }

    /// Makes room at the first number; a column without any takes none.
    #[cold]
    fn start(&mut self, value: f32, row: usize, expected: usize) -> bool {
        if value.is_nan() {
            return false;
        }
        self.values.reserve_exact(expected.max(row + 16));
        self.values.resize(row, f32::NAN);
        true
    }

    /// Adds what was passed over to the report; a column without any number is not one of numbers.
    pub fn report(&self, report: &mut Report) {
        if self.values.is_empty() {
            return;
        }
        for (reason, tally) in [
            (Reason::Blank, self.blank),
            (Reason::Missing, self.missing),
            (Reason::TextCell, self.text),
            (Reason::Huge, self.huge),
            (Reason::OtherUnit, self.other_unit),
        ] {
            if tally.count > 0 {
                report.skip_many(reason, tally.count, tally.first);
            }
        }
    }

    /// The column of it; the unit behind its numbers counts if the header gives none.
    pub fn finish(self, clock: usize) -> Column {
        let behind = self
            .behind
            .map(|unit| super::decode::text(&unit))
            .unwrap_or_default();
        Column {
            name: self.name,
            unit: if self.unit.is_empty() {
                behind
            } else {
                self.unit
            },
            values: self.values,
            clock,
        }
    }
}
