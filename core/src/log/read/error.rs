//! Why a file is no log.

use super::{Delimiter, Place};
use serde::{Deserialize, Serialize};

/// Why a file cannot be read. Each says where, what was found and what is needed.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, thiserror::Error)]
pub enum ReadError {
    /// No byte, or only blanks.
    #[error("found nothing, need a log as delimited text")]
    Empty,
    /// Bytes that are no text.
    #[error("{at}: found byte {byte:#04x}, need text")]
    NotText {
        /// Where the first such byte is.
        at: Place,
        /// The byte.
        byte: u8,
        /// Whether the file is a ZIP archive, as workbooks are: what is inside may be a log.
        archive: bool,
    },
    /// Text without one row of numbers.
    #[error("found {lines} lines without a row of numbers, need at least two rows of numbers")]
    NoNumbers {
        /// Lines looked at.
        lines: u64,
    },
    /// A single row of numbers.
    #[error("{at}: found one row of numbers, need at least two")]
    OneRow {
        /// Where the row starts.
        at: Place,
    },
    /// More columns than are read.
    #[error("{at}: found {found} columns, need at most {most}")]
    TooManyColumns {
        /// Where the row starts.
        at: Place,
        /// Columns, or channels of a long table.
        found: usize,
        /// The most that are read.
        most: usize,
    },
    /// More numbers than may be held.
    #[error("{at}: found more numbers than {most} bytes hold, need a shorter log")]
    TooLarge {
        /// Where the first row is that is too many.
        at: Place,
        /// [`Options::most_bytes`](super::Options::most_bytes).
        most: u64,
    },
    /// A line longer than is read.
    #[error("{at}: found no line break within {most} bytes, need shorter lines")]
    LongLine {
        /// Where the line starts.
        at: Place,
        /// The most bytes of a line.
        most: usize,
    },
    /// Rows that are delimited otherwise than those before them.
    #[error(
        "{at}: found cells divided by {}, need {} as before",
        found.name(),
        needed.name()
    )]
    DelimiterChanges {
        /// Where the first such row has its first delimiter.
        at: Place,
        /// What divides its cells.
        found: Delimiter,
        /// What divides the cells before it.
        needed: Delimiter,
    },
    /// Rows that have more cells than the header has names, as where the comma is delimiter and decimal mark at once.
    #[error("{at}: found {found} cells, need {needed} as in the header")]
    MoreCells {
        /// Where the first cell too many starts.
        at: Place,
        /// Cells of the row.
        found: usize,
        /// Names in the header.
        needed: usize,
    },
    /// A column asked for that the file lacks.
    #[error("found {found} columns, need column {needed} for time")]
    NoSuchColumn {
        /// Columns of the file.
        found: usize,
        /// The column asked for, from zero.
        needed: usize,
    },
}
