//! Reads a log from delimited text: bytes in pieces become a [`Table`], what the text leaves open becomes a
//! [`Question`], and what was not read is in the [`Report`].
//!
//! ```
//! use laneside_core::log::read::{Options, Reader};
//!
//! let mut reader = Reader::new(Options::default());
//! reader.feed(b"Time [s];Engine speed [1/min];Battery [V]\n0,00;5980;13,9\n")?;
//! reader.feed(b"0,05;6010;13,8\n0,10;6050;13,8\n")?;
//! let read = reader.finish()?;
//! assert!(read.questions.is_empty());
//! assert_eq!(read.table.columns()[1].name(), "Battery");
//! assert_eq!(read.table.columns()[1].values(), [13.9, 13.8, 13.8]);
//! assert_eq!(read.table.times(&read.table.columns()[1]), [0.0, 0.05, 0.1]);
//! # Ok::<(), laneside_core::log::read::ReadError>(())
//! ```
//!
//! The file is never held: beyond the numbers read, memory is a few hundred kilobytes. A file with questions is read
//! again with the answers taken into its [`Options`].

mod body;
mod clock;
mod decode;
mod dialect;
mod error;
mod header;
mod lane;
mod layout;
mod lines;
mod long;
mod moment;
pub mod number;
mod options;
mod place;
mod plan;
mod report;
mod settle;
mod split;
mod table;
mod time_names;
mod value;
mod wide;

use body::Body;
use decode::{Encoding, Utf16};

pub use error::ReadError;
pub use options::{
    About, Answer, DateOrder, DecimalMark, Delimiter, Layout, Options, Question, Repeats,
    SESSION_GAP_S, Session, Sessions, TimeColumn, TimeUnit,
};
pub use place::Place;
pub use report::{Reason, Report, Skipped};
pub use table::{Column, Table, TimeSource};

/// Text that is looked at before any of it is read.
const HEAD_BYTES: usize = 192 << 10;

/// Bytes that show the encoding.
const ENCODING_BYTES: usize = 1 << 10;
/// Text at the start in which hardly a byte may be that no text has.
const TEXT_BYTES: usize = 4 << 10;
/// Text at the start in which none may be.
const STRICT_BYTES: usize = 256;

/// A file that was read.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Read {
    /// Its numbers. While there are questions, they are read as the first answer of each has it.
    pub table: Table,
    /// What was passed over, and how much.
    pub report: Report,
    /// What the file leaves open.
    pub questions: Vec<Question>,
}

/// Reads a file that comes in pieces.
#[derive(Debug)]
pub struct Reader {
    options: Options,
    bytes: u64,
    encoding: Option<Encoding>,
    utf16: Utf16,
    /// Text that is not yet read: the head, later a row that is cut. Bytes of the file until the encoding is known.
    text: Vec<u8>,
    body: Option<Body>,
    questions: Vec<Question>,
}

impl Reader {
    /// A reader of one file.
    #[must_use]
    pub const fn new(options: Options) -> Self {
        Self {
            options,
            bytes: 0,
            encoding: None,
            utf16: Utf16::new(false),
            text: Vec::new(),
            body: None,
            questions: Vec::new(),
        }
    }

    /// Bytes fed so far.
    #[must_use]
    pub const fn bytes(&self) -> u64 {
        self.bytes
    }

    /// The questions that the start of the file raises, as soon as it was read: whoever wants their answers first need
    /// not feed the rest. More may come at the end.
    #[must_use]
    pub fn questions(&self) -> &[Question] {
        &self.questions
    }

    /// Reads the next piece of the file, of any size.
    ///
    /// # Errors
    /// [`ReadError`] where this is no log. Feeding more is then of no use.
    pub fn feed(&mut self, piece: &[u8]) -> Result<(), ReadError> {
        self.bytes += piece.len() as u64;
        match (self.encoding, &mut self.body) {
            (Some(Encoding::Bytes), Some(body)) => return feed_rows(body, &mut self.text, piece),
            (Some(Encoding::Bytes) | None, _) => self.text.extend_from_slice(piece),
            (Some(_), _) => self.utf16.decode(piece, &mut self.text),
        }
        if self.encoding.is_none() && self.text.len() >= ENCODING_BYTES {
            self.find_encoding();
        }
        if let Some(body) = &mut self.body {
            return feed_rows(body, &mut self.text, &[]);
        }
        if self.encoding.is_some() && self.text.len() >= HEAD_BYTES {
            return self.begin(false);
        }
        Ok(())
    }

    /// Ends the file.
    ///
    /// # Errors
    /// [`ReadError`] where it is no log.
    pub fn finish(mut self) -> Result<Read, ReadError> {
        if self.encoding.is_none() {
            self.find_encoding();
        }
        self.utf16.finish(&mut self.text);
        if self.body.is_none() {
            self.begin(true)?;
        }
        let Some(mut body) = self.body else {
            return Err(ReadError::Empty);
        };
        body.take(&self.text, true)?;
        settle::settle(body, &self.options, self.questions, self.bytes)
    }

    fn find_encoding(&mut self) {
        let (encoding, mark) = decode::sniff(&self.text);
        self.text.drain(..mark);
        self.encoding = Some(encoding);
        if encoding != Encoding::Bytes {
            self.utf16 = Utf16::new(encoding == Encoding::Utf16Be);
            let bytes = std::mem::take(&mut self.text);
            self.utf16.decode(&bytes, &mut self.text);
        }
    }

    /// Looks at the text so far, and reads its rows.
    fn begin(&mut self, whole: bool) -> Result<(), ReadError> {
        if whole {
            // What a logger leaves that lost its supply.
            let end = self
                .text
                .iter()
                .rposition(|byte| *byte != 0)
                .map_or(0, |last| last + 1);
            self.text.truncate(end);
        }
        if self.text.iter().all(u8::is_ascii_whitespace) {
            return Err(ReadError::Empty);
        }
        let start = self.text.get(..TEXT_BYTES).unwrap_or(&self.text);
        if let Some(at) = decode::first_control(start)
            && (at < STRICT_BYTES || decode::controls(start) * 50 > start.len())
        {
            return Err(not_text(&self.text, at));
        }
        if !whole && !self.text.iter().any(|byte| matches!(byte, b'\n' | b'\r')) {
            return Err(ReadError::LongLine {
                at: Place { line: 1, column: 1 },
                most: HEAD_BYTES,
            });
        }
        let mut dialect = dialect::detect(&self.text, whole, &self.options)?;
        let (plan, questions) = plan::plan(&self.text, &dialect, &self.options)?;
        self.questions.append(&mut dialect.questions);
        self.questions.extend(questions);
        let start = dialect.data.start;
        let mut body = Body::new(dialect, plan, &self.options);
        let rows = self.text.get(start..).unwrap_or_default();
        let taken = body.take(rows, false)?;
        self.text.drain(..start + taken);
        self.body = Some(body);
        Ok(())
    }
}

/// Reads the rows of the text left over and the piece after it; what is left over then stays.
fn feed_rows(body: &mut Body, text: &mut Vec<u8>, mut piece: &[u8]) -> Result<(), ReadError> {
    let is_break = |byte: &u8| matches!(byte, b'\n' | b'\r');
    if piece.is_empty() && text.iter().any(is_break) {
        let taken = body.take(text, false)?;
        text.drain(..taken);
    }
    // The row that is cut is made whole apart, so that the piece itself need not be copied.
    while !text.is_empty() && !piece.is_empty() {
        let found = piece
            .iter()
            .position(|byte| *byte == b'\n')
            .map(|at| at + 1);
        let (line, rest) = piece
            .split_at_checked(found.unwrap_or(piece.len()))
            .unwrap_or((piece, &[]));
        text.extend_from_slice(line);
        piece = rest;
        if line.iter().any(is_break) || text.len() > lines::MOST_ROW_BYTES {
            let taken = body.take(text, false)?;
            text.drain(..taken);
        }
    }
    if !piece.is_empty() {
        let taken = body.take(piece, false)?;
        text.extend_from_slice(piece.get(taken..).unwrap_or_default());
    }
    Ok(())
}

fn not_text(text: &[u8], at: usize) -> ReadError {
    let before = text.get(..at).unwrap_or_default();
    let line = before
        .iter()
        .rposition(|byte| *byte == b'\n')
        .map_or(0, |last| last + 1);
    ReadError::NotText {
        at: Place {
            line: before.iter().filter(|byte| **byte == b'\n').count() as u64 + 1,
            column: place::characters(before.get(line..).unwrap_or_default()) + 1,
        },
        byte: text.get(at).copied().unwrap_or(0),
        archive: text.starts_with(b"PK\x03\x04"),
    }
}

#[cfg(test)]
mod tests;
