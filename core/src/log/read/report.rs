//! What of a file was not read, and why.

use super::Place;
use serde::{Deserialize, Serialize};

/// Why a row or a cell was passed over.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Reason {
    /// A row that starts with a comment mark, among the rows of numbers.
    Comment,
    /// A row of text among the rows of numbers.
    TextRow,
    /// The header once more.
    RepeatedHeader,
    /// All that follows another header: another table in the same file.
    AnotherTable,
    /// A row divided by another delimiter than the rest.
    OtherDelimiter,
    /// A row with more cells than columns, which might belong anywhere.
    LongRow,
    /// A row with bytes that are no text.
    NotText,
    /// A row whose quoted cell is never closed.
    OpenQuote,
    /// A row without a time.
    NoTime,
    /// A row that is earlier than the one before it.
    Backward,
    /// A row of a session that was not asked for.
    OtherSession,
    /// A row cut short: the cells it has were read.
    ShortRow,
    /// A cell with nothing in it.
    Blank,
    /// A cell that says in some way that there is no number: `NaN`, `n/a`, dashes.
    Missing,
    /// A cell with text where its column has numbers.
    TextCell,
    /// A cell with a number too large to hold.
    Huge,
    /// A cell in another unit than the cells above it.
    OtherUnit,
}

impl Reason {
    /// Whether whole rows were passed over, or single cells.
    #[must_use]
    pub const fn is_row(self) -> bool {
        !matches!(
            self,
            Self::ShortRow
                | Self::Blank
                | Self::Missing
                | Self::TextCell
                | Self::Huge
                | Self::OtherUnit
        )
    }
}

/// Rows or cells passed over for the same reason.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Skipped {
    /// Why.
    pub reason: Reason,
    /// How many rows or cells, by [`Reason::is_row`].
    pub count: u64,
    /// Where the first is.
    pub first: Place,
}

/// What was read, and what was not.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Report {
    /// Bytes of the file.
    pub bytes: u64,
    /// Lines of the file.
    pub lines: u64,
    /// Rows of numbers read.
    pub rows: u64,
    /// What was passed over, in the order of the file.
    pub skipped: Vec<Skipped>,
    /// Names of columns without any number.
    pub left_out: Vec<String>,
    /// Rows with the same time as the row before them, and the first of them. They are read.
    pub repeated: Option<(u64, Place)>,
}

impl Report {
    /// What was passed over for this reason.
    #[must_use]
    pub fn skipped(&self, reason: Reason) -> Option<&Skipped> {
        self.skipped.iter().find(|skipped| skipped.reason == reason)
    }

    pub(super) fn skip(&mut self, reason: Reason, at: Place) {
        self.skip_many(reason, 1, at);
    }

    pub(super) fn skip_many(&mut self, reason: Reason, count: u64, at: Place) {
        if let Some(known) = self.skipped.iter_mut().find(|known| known.reason == reason) {
            known.count += count;
            known.first = known.first.min(at);
        } else {
            self.skipped.push(Skipped {
                reason,
                count,
                first: at,
            });
        }
    }
}
