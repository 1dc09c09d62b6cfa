//! Wide tables: a row is one moment of all channels.

use super::TimeUnit;
use super::body::Frame;
use super::clock::Clock;
use super::lane::{Lane, Odd};
use super::lines::{cells, is_comment, trim};
use super::number;
use super::plan::Stamp;
use super::report::Reason;
use super::value::is_missing;

/// Columns over one clock.
#[derive(Debug)]
pub(super) struct Wide {
    pub time: Option<(usize, Stamp)>,
    pub clock: Clock,
    /// One a column; that of the time stays empty.
    pub lanes: Vec<Lane>,
    pub rows: usize,
    /// The row being read.
    pub row: Vec<f32>,
    /// Its cells without a number.
    pub odd: Vec<(usize, Odd)>,
}

impl Wide {
    /// Reads as many rows as are plain numbers all through; says how many bytes and rows they are.
    pub fn take_plain(&mut self, text: &[u8], frame: &mut Frame) -> (usize, u64) {
        let (mut at, mut rows) = (0, 0);
        // Quotes, remarks, text and all else that needs care end it.
        while let Some(length) =
            self.plain(text.get(at..).unwrap_or_default(), frame, frame.line + rows)
        {
            at += length;
            rows += 1;
            // So that a limit is noticed.
            if rows == 65_536 {
                break;
            }
        }
        (at, rows)
    }

    /// Reads the row at the start of the text, if it can be read without care; says how many bytes it takes.
    #[inline(always)]
    fn plain(&mut self, text: &[u8], frame: &mut Frame, line: u64) -> Option<usize> {
        let (delimiter, mark) = (frame.delimiter.byte(), frame.style.mark);
        let (time_column, stamp) = match self.time {
            None => (usize::MAX, Stamp::Number(TimeUnit::Seconds)),
            Some((column, stamp)) => (column, stamp),
        };
        self.odd.clear();
        let mut time = 0.0;
        let mut at = 0;
        let last = frame.width - 1;
        for (column, (value, lane)) in self.row.iter_mut().zip(&self.lanes).enumerate() {
            while text.get(at) == Some(&b' ') {
                at += 1;
            }
            let start = at;
            let rest = text.get(at..)?;
            let found = number::at_start(rest, mark);
            if let Some(found) = found {
                *value = if column == time_column {
                    0.0
                } else {
                    found.single(rest, mark)
                };
                if let Stamp::Number(unit) = stamp
                    && column == time_column
                {
                    time = found.double(rest, mark) * unit.seconds();
                }
                at += found.length;
                while text.get(at) == Some(&b' ') {
                    at += 1;
                }
            }
            let mut next = *text.get(at)?;
            let is_number = found.is_some()
                && (next == delimiter || next == b'\n' || next == b'\r')
                && (column != time_column || matches!(stamp, Stamp::Number(_)));
            if is_number {
                if !value.is_finite() || !time.is_finite() {
                    return None;
                }
            } else {
                let (cell, end) = cell(text, start, delimiter)?;
                at = end;
                next = *text.get(at)?;
                if column == time_column {
                    time = frame.known_seconds(cell, stamp)?;
                } else if let Some(found) =
                    number::at_start(cell, mark).filter(|found| found.length == cell.len())
                {
                    *value = found.single(cell, mark);
                    if !value.is_finite() {
                        return None;
                    }
                } else {
                    let odd = odd(cell, lane)?;
                    *value = f32::NAN;
                    self.odd.push((column, odd));
                }
            }
            if next == delimiter {
                at += 1;
            } else if column != last {
                return None;
            }
        }
        let next = match *text.get(at)? {
            b'\n' => at + 1,
            b'\r' if *text.get(at + 1)? == b'\n' => at + 2,
            b'\r' => at + 1,
            _ => return None,
        };
        if !self.odd.is_empty() {
            // Without a number it may be a header, with a mark in front a remark.
            let is_text = self.odd.iter().any(|(_, odd)| *odd == Odd::Text);
            if self.odd.len() > last || (is_text && is_comment(text, delimiter)) {
                return None;
            }
            for (column, odd) in &self.odd {
                if let Some(lane) = self.lanes.get_mut(*column) {
                    lane.count(*odd);
                }
            }
        }
        if time_column != usize::MAX {
            self.clock.push(time, line);
        }
        for (column, (value, lane)) in self.row.iter().zip(&mut self.lanes).enumerate() {
            if column != time_column {
                lane.push(*value, self.rows, frame.expected);
            }
        }
        self.rows += 1;
        Some(next)
    }

    /// Reads a row with care.
    pub fn row(&mut self, row: &[u8], frame: &mut Frame) {
        let byte = frame.delimiter.byte();
        let count = cells(row, byte).count();
        if let Some((column, stamp)) = self.time {
            let cell = cells(row, byte).nth(column);
            let seconds = cell.and_then(|cell| frame.seconds(&cell.text, stamp, row, cell.at));
            let Some(seconds) = seconds else {
                frame.skip(Reason::NoTime, 1);
                return;
            };
            self.clock.push(seconds, frame.line);
        }
        let time = self.time.map(|(column, _)| column);
        let mut found = cells(row, byte);
        for (column, lane) in self.lanes.iter_mut().enumerate() {
            let cell = found.next();
            if Some(column) == time {
                continue;
            }
            let value = match &cell {
                Some(cell) => lane.read(&cell.text, frame.style, || frame.place_of(row, cell.at)),
                None => f32::NAN,
            };
            lane.push(value, self.rows, frame.expected);
        }
        if count < frame.width {
            let end = frame.place_of(row, row.len());
            frame.report.skip(Reason::ShortRow, end);
        }
        self.rows += 1;
    }
}

/// The cell that starts here, blanks and quotes apart, and where what ends it is. None where that takes care.
#[inline(never)]
fn cell(text: &[u8], start: usize, delimiter: u8) -> Option<(&[u8], usize)> {
    let rest = text.get(start..)?;
    let is_plain = |byte: u8| byte >= b' ' && byte != b'"';
    if let [b'"', inside @ ..] = rest {
        let close = inside.iter().position(|byte| !is_plain(*byte))?;
        let mut end = close + 1;
        if inside.get(close) != Some(&b'"') {
            return None;
        }
        while inside.get(end) == Some(&b' ') {
            end += 1;
        }
        let ends =
            matches!(*inside.get(end)?, b'\n' | b'\r') || inside.get(end) == Some(&delimiter);
        return ends.then_some((trim(inside.get(..close)?), start + 1 + end));
    }
    let end = rest
        .iter()
        .position(|byte| !is_plain(*byte) || *byte == delimiter)?;
    let ends = matches!(*rest.get(end)?, b'\n' | b'\r') || rest.get(end) == Some(&delimiter);
    ends.then_some((trim(rest.get(..end)?), start + end))
}

/// Why a cell has no number. None where that takes care, or the first such cell has no place yet.
fn odd(cell: &[u8], lane: &Lane) -> Option<Odd> {
    let odd = if cell.is_empty() {
        Odd::Blank
    } else if is_missing(cell) {
        Odd::Missing
    } else if lane.values.is_empty()
        && cell
            .iter()
            .all(|byte| byte.is_ascii_alphabetic() || *byte == b' ')
    {
        // In a column without numbers, words: nothing that another delimiter or mark would make a number of.
        Odd::Text
    } else {
        return None;
    };
    lane.knows(odd).then_some(odd)
}
