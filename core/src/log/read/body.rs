//! The rows below the header, as they come.

use super::clock::Clock;
use super::dialect::Dialect;
use super::lane::Lane;
use super::lines::{Cell, MOST_ROW_BYTES, Next, cells, is_comment, next_row, trim};
use super::long::Long;
use super::plan::{Plan, Stamp};
use super::report::{Reason, Report};
use super::value::{Class, Style, class};
use super::wide::Wide;
use super::{Delimiter, Options, Place, ReadError};
use super::{decode, moment, place};

/// Rows of another delimiter in a row, beyond which the file is taken to go on like that.
const MOST_OTHERS: usize = 3;

/// What is known of every row.
#[derive(Debug)]
pub(super) struct Frame {
    pub delimiter: Delimiter,
    pub style: Style,
    pub width: usize,
    /// Lines before the row.
    pub line: u64,
    /// Rows expected in all.
    pub expected: usize,
    pub report: Report,
    pub dates: Dates,
    heads: Vec<Vec<u8>>,
    others: usize,
    first_other: Option<(Place, Delimiter)>,
    most_bytes: u64,
    /// Another table has started.
    over: bool,
}

/// What the dates of a file show about their order.
#[derive(Debug, Default)]
pub(super) struct Dates {
    /// The first date, where it is and the text of its cell.
    pub first: Option<([u32; 3], Place, String)>,
    /// That day, counted from some other.
    first_day: Option<i64>,
    /// There is another date too.
    pub differ: bool,
    /// A date that is none in the order assumed.
    pub impossible: bool,
}

/// What rows become.
#[derive(Debug)]
pub(super) enum Shape {
    Wide(Wide),
    Long(Long),
}

/// The rows below the header.
#[derive(Debug)]
pub(super) struct Body {
    pub frame: Frame,
    pub shape: Shape,
}

impl Body {
    /// Nothing read yet.
    pub fn new(dialect: Dialect, plan: Plan, options: &Options) -> Self {
        let width = dialect.names.len();
        let sample = dialect.sample.first().zip(dialect.sample.last());
        let bytes = sample.map_or(0, |(first, last)| last.next - first.start);
        let each = bytes as f64 / dialect.sample.len().max(1) as f64;
        let left = options
            .total_bytes
            .unwrap_or(0)
            .saturating_sub(dialect.data.start as u64);
        // A little more, so that a few longer rows at the start do not cost moving all columns.
        let most = left.min(options.most_bytes) as f64;
        let expected = if each < 2.0 {
            0
        } else {
            (most / each * 1.02) as usize + 64
        };
        let mut names = dialect.names.into_iter();
        let mut units = dialect.units.into_iter();
        let mut lanes = vec![];
        while let Some((name, unit)) = names.next().zip(units.next()) {
            lanes.push(Lane::new(name, unit));
        }
        let shape = match plan {
            Plan::Wide { time } => {
                let mut clock = Clock::default();
                if time.is_some() {
                    clock.reserve(expected);
                }
                Shape::Wide(Wide {
                    time,
                    clock,
                    lanes,
                    rows: 0,
                    row: vec![f32::NAN; width],
                    odd: vec![],
                })
            }
            Plan::Long {
                time,
                name,
                value,
                unit,
            } => {
                let time_name = lanes.into_iter().nth(time.0).map(|lane| lane.name);
                Shape::Long(Long::new(
                    time,
                    name,
                    value,
                    unit,
                    time_name.unwrap_or_default(),
                ))
            }
        };
        Self {
            frame: Frame {
                delimiter: dialect.delimiter,
                style: dialect.style,
                width,
                line: dialect.data.line,
                expected,
                report: Report::default(),
                dates: Dates::default(),
                heads: dialect.heads,
                others: 0,
                first_other: None,
                most_bytes: options.most_bytes,
                over: false,
            },
            shape,
        }
    }

    /// Reads all rows that the text holds whole; says how many bytes they take.
    pub fn take(&mut self, text: &[u8], whole: bool) -> Result<usize, ReadError> {
        let mut at = 0;
        while let Some(rest) = text.get(at..).filter(|rest| !rest.is_empty()) {
            if let Shape::Wide(wide) = &mut self.shape
                && !self.frame.over
            {
                let (taken, rows) = wide.take_plain(rest, &mut self.frame);
                if rows > 0 {
                    self.frame.line += rows;
                    self.frame.others = 0;
                    at += taken;
                    self.limit()?;
                    continue;
                }
            }
            match next_row(rest, self.frame.delimiter.byte(), whole) {
                Next::Row { end, next, breaks } => {
                    self.row(rest.get(..end).unwrap_or(rest))?;
                    self.frame.line += breaks;
                    at += next;
                }
                Next::OpenQuote { next, .. } => {
                    self.frame.skip(Reason::OpenQuote, 1);
                    self.frame.line += 1;
                    at += next;
                }
                Next::More if rest.len() > MOST_ROW_BYTES => {
                    return Err(ReadError::LongLine {
                        at: self.frame.place(1),
                        most: MOST_ROW_BYTES,
                    });
                }
                Next::More => break,
            }
        }
        Ok(at)
    }

    fn limit(&self) -> Result<(), ReadError> {
        let bytes = match &self.shape {
            Shape::Wide(wide) => {
                let filled = wide
                    .lanes
                    .iter()
                    .filter(|lane| !lane.values.is_empty())
                    .count();
                wide.rows * (4 * filled + 8)
            }
            Shape::Long(long) => long.rows * 12,
        };
        if bytes as u64 <= self.frame.most_bytes {
            return Ok(());
        }
        Err(ReadError::TooLarge {
            at: self.frame.place(1),
            most: self.frame.most_bytes,
        })
    }

    /// Reads a row with care.
    fn row(&mut self, row: &[u8]) -> Result<(), ReadError> {
        let frame = &mut self.frame;
        let byte = frame.delimiter.byte();
        if row
            .iter()
            .all(|c| *c == byte || c.is_ascii_whitespace() || *c == 0x1a)
        {
            return Ok(());
        }
        if frame.over {
            frame.skip(Reason::AnotherTable, 1);
            return Ok(());
        }
        if let Some(at) = decode::first_control(row) {
            frame.skip(
                Reason::NotText,
                place::characters(row.get(..at).unwrap_or_default()) + 1,
            );
            return Ok(());
        }
        if is_comment(row, byte) {
            let known = frame.heads.iter().any(|head| row.ends_with(trim(head)));
            frame.skip(
                if known {
                    Reason::RepeatedHeader
                } else {
                    Reason::Comment
                },
                1,
            );
            return Ok(());
        }
        if let Some((at, found)) = frame.other_delimiter(row) {
            frame.skip(Reason::OtherDelimiter, at.column);
            frame.first_other.get_or_insert((at, found));
            frame.others += 1;
            if frame.others < MOST_OTHERS {
                return Ok(());
            }
            let (at, found) = frame.first_other.unwrap_or((at, found));
            return Err(ReadError::DelimiterChanges {
                at,
                found,
                needed: frame.delimiter,
            });
        }
        frame.others = 0;
        frame.first_other = None;
        if let Some(reason) = frame.no_numbers(row) {
            frame.over = reason == Reason::AnotherTable;
            frame.skip(reason, 1);
            return Ok(());
        }
        if let Some(start) = frame.one_too_many(row) {
            frame.skip(Reason::LongRow, start);
            return Ok(());
        }
        match &mut self.shape {
            Shape::Wide(wide) => wide.row(row, frame),
            Shape::Long(long) => long.row(row, frame)?,
        }
        self.limit()
    }
}

impl Frame {
    /// A place in the row being read.
    pub const fn place(&self, column: u64) -> Place {
        Place {
            line: self.line + 1,
            column,
        }
    }

    /// A place in the row being read, by the byte.
    pub fn place_of(&self, row: &[u8], byte: usize) -> Place {
        self.place(place::characters(row.get(..byte).unwrap_or_default()) + 1)
    }

    pub fn skip(&mut self, reason: Reason, column: u64) {
        let at = self.place(column);
        self.report.skip(reason, at);
    }

    /// Where the first other delimiter is if the row is divided by that.
    fn other_delimiter(&self, row: &[u8]) -> Option<(Place, Delimiter)> {
        let byte = self.delimiter.byte();
        let is_other = |byte: &u8| matches!(byte, b'\t' | b';' | b',' | b'|');
        if !row.iter().any(|found| is_other(found) && *found != byte) {
            return None;
        }
        let count = cells(row, byte).count();
        let lone = count == 1 && self.width > 1;
        let suspect = |cell: &Cell<'_>, other: u8| {
            !cell.quoted && cell.text.contains(&other) && (lone || class(&cell.text) == Class::Text)
        };
        for delimiter in Delimiter::ALL {
            let other = delimiter.byte();
            if other == byte || !cells(row, byte).any(|cell| suspect(&cell, other)) {
                continue;
            }
            let (mut numbers, mut text, mut all) = (0, 0, 0);
            for cell in cells(row, other) {
                all += 1;
                match class(&cell.text) {
                    Class::Blank | Class::Missing => {}
                    Class::Text => text += 1,
                    _ => numbers += 1,
                }
            }
            // As many cells as there should be, or more numbers than the right delimiter finds.
            let as_wide = all == self.width || all == self.width + 1;
            if numbers > 0 && all > count && (as_wide || text == 0) && text <= numbers {
                let at = row.iter().position(|c| *c == other).unwrap_or(0);
                return Some((self.place_of(row, at), delimiter));
            }
        }
        None
    }

    /// Why a row has no number at all.
    fn no_numbers(&self, row: &[u8]) -> Option<Reason> {
        let trimmed = trim(row);
        if self.heads.iter().any(|head| trim(head) == trimmed) {
            return Some(Reason::RepeatedHeader);
        }
        let mut names: Vec<Vec<u8>> = vec![];
        let mut missing = false;
        for cell in cells(row, self.delimiter.byte()) {
            match class(&cell.text) {
                Class::Blank => {}
                // Nothing was measured, but a moment passed.
                Class::Missing => missing = true,
                Class::Text => names.push(cell.text.into_owned()),
                _ => return None,
            }
        }
        let count = names.len();
        if count == 0 && missing {
            return None;
        }
        names.sort_unstable();
        names.dedup();
        // Other names for the columns: what follows is not what the header says.
        let is_header = count > 1 && names.len() == count && count * 2 >= self.width;
        Some(if is_header {
            Reason::AnotherTable
        } else {
            Reason::TextRow
        })
    }

    /// The character where the first cell stands that no column has.
    fn one_too_many(&self, row: &[u8]) -> Option<u64> {
        let cell = cells(row, self.delimiter.byte())
            .skip(self.width)
            .find(|cell| !cell.text.is_empty())?;
        Some(self.place_of(row, cell.at).column)
    }

    /// The seconds that a cell tells, where nothing about it is new.
    pub fn known_seconds(&mut self, cell: &[u8], stamp: Stamp) -> Option<f64> {
        match stamp {
            Stamp::Date(_) if self.dates.first.is_none() => None,
            _ => self.seconds(cell, stamp, &[], 0),
        }
    }

    /// The seconds that a cell tells.
    pub fn seconds(&mut self, cell: &[u8], stamp: Stamp, row: &[u8], at: usize) -> Option<f64> {
        match stamp {
            Stamp::Number(unit) => {
                let double = super::number::Found::double;
                match super::value::read(cell, self.style, &mut None, double, |value| {
                    value.is_finite()
                }) {
                    super::value::Value::Number(value) => Some(value * unit.seconds()),
                    _ => None,
                }
            }
            Stamp::Clock { .. } => moment::parse(cell).map(|moment| moment.seconds),
            Stamp::Date(order) => {
                let moment = moment::parse(cell)?;
                let date = moment.date?;
                if self.dates.first.is_none() {
                    self.dates.first = Some((date, self.place_of(row, at), decode::text(cell)));
                }
                self.dates.differ |= self
                    .dates
                    .first
                    .as_ref()
                    .is_some_and(|(first, _, _)| *first != date);
                let Some(days) = moment::days(date, order) else {
                    self.dates.impossible = true;
                    return None;
                };
                // From the first day, so that a double holds the microseconds.
                let first = *self.dates.first_day.get_or_insert(days);
                Some((days - first) as f64 * 86_400.0 + moment.seconds)
            }
        }
    }
}
