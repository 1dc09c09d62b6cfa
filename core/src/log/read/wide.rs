//! Wide tables: a row is one moment of all channels.

use super::body::Frame;
use super::clock::Clock;
use super::lane::Lane;
use super::lines::cells;
use super::number;
use super::plan::Stamp;
use super::report::Reason;

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
}

impl Wide {
    /// Reads as many rows as are plain numbers all through; says how many bytes and rows they are.
    pub fn take_plain(&mut self, text: &[u8], frame: &Frame) -> (usize, u64) {
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

    #[inline(always)]
    fn plain(&mut self, text: &[u8], frame: &Frame, line: u64) -> Option<usize> {
        let (delimiter, mark) = (frame.delimiter.byte(), frame.style.mark);
        let (time_column, unit) = match self.time {
            None => (usize::MAX, 1.0),
            Some((column, Stamp::Number(unit))) => (column, unit.seconds()),
            Some(_) => return None,
        };
        let mut time = 0.0;
        let mut at = 0;
        let last = frame.width - 1;
        for (column, (value, lane)) in self.row.iter_mut().zip(&self.lanes).enumerate() {
            while text.get(at) == Some(&b' ') {
                at += 1;
            }
            let rest = text.get(at..)?;
            if let Some(found) = number::at_start(rest, mark) {
                if column == time_column {
                    time = found.double(rest, mark) * unit;
                    if !time.is_finite() {
                        return None;
                    }
                } else {
                    *value = found.single(rest, mark);
                    if !value.is_finite() {
                        return None;
                    }
                }
                at += found.length;
            } else if column == time_column || lane.blank.count == 0 {
                return None;
            } else {
                *value = f32::NAN;
            }
            while text.get(at) == Some(&b' ') {
                at += 1;
            }
            let next = *text.get(at)?;
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
        if time_column != usize::MAX {
            self.clock.push(time, line);
        }
        for (column, (value, lane)) in self.row.iter().zip(&mut self.lanes).enumerate() {
            if column != time_column {
                lane.blank.count += u64::from(value.is_nan());
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
