//! Long tables: a row is one sample of one channel.

use super::ReadError;
use super::body::Frame;
use super::clock::Clock;
use super::decode;
use super::dialect::MOST_COLUMNS;
use super::lane::Lane;
use super::lines::{Cell, cells};
use super::plan::Stamp;
use super::report::Reason;
use std::collections::BTreeMap;

/// Samples of a long table so far.
#[derive(Debug)]
pub(super) struct Long {
    pub time: (usize, Stamp),
    pub time_name: String,
    name: usize,
    value: usize,
    unit: Option<usize>,
    /// Place of a channel by its name.
    known: BTreeMap<Vec<u8>, usize>,
    /// Channels with their own clocks.
    pub channels: Vec<(Lane, Clock)>,
    pub rows: usize,
}

impl Long {
    pub fn new(
        time: (usize, Stamp),
        name: usize,
        value: usize,
        unit: Option<usize>,
        time_name: String,
    ) -> Self {
        Self {
            time,
            time_name,
            name,
            value,
            unit,
            known: BTreeMap::new(),
            channels: vec![],
            rows: 0,
        }
    }

    /// Reads a row.
    pub fn row(&mut self, row: &[u8], frame: &mut Frame) -> Result<(), ReadError> {
        let wanted = [
            Some(self.time.0),
            Some(self.name),
            Some(self.value),
            self.unit,
        ];
        let mut found: [Option<Cell<'_>>; 4] = Default::default();
        for (column, cell) in cells(row, frame.delimiter.byte()).enumerate() {
            if let Some(place) = wanted.iter().position(|wanted| *wanted == Some(column))
                && let Some(found) = found.get_mut(place)
            {
                *found = Some(cell);
            }
        }
        let [time, name, value, unit] = found;
        let Some(seconds) =
            time.and_then(|cell| frame.seconds(&cell.text, self.time.1, row, cell.at))
        else {
            frame.skip(Reason::NoTime, 1);
            return Ok(());
        };
        let Some(((name, value), unit)) = name
            .filter(|name| !name.text.is_empty())
            .zip(value)
            .zip(Some(unit))
        else {
            let end = frame.place_of(row, row.len());
            frame.report.skip(Reason::ShortRow, end);
            return Ok(());
        };
        let place = match self.known.get(&*name.text) {
            Some(place) => *place,
            None => self.channel(&name, unit.as_ref(), frame)?,
        };
        let Some((lane, clock)) = self.channels.get_mut(place) else {
            return Ok(());
        };
        // The unit of a channel is that of its first row.
        if unit.is_some_and(|unit| !unit.text.is_empty() && decode::text(&unit.text) != lane.unit) {
            lane.other_unit.add(|| frame.place_of(row, value.at));
            return Ok(());
        }
        let number = lane.read(&value.text, frame.style, || frame.place_of(row, value.at));
        if number.is_finite() {
            lane.push(number, clock.times.len(), 0);
            clock.push(seconds, frame.line);
        }
        self.rows += 1;
        Ok(())
    }

    /// Takes in a channel that was not met before.
    #[cold]
    fn channel(
        &mut self,
        name: &Cell<'_>,
        unit: Option<&Cell<'_>>,
        frame: &Frame,
    ) -> Result<usize, ReadError> {
        let place = self.channels.len();
        if place >= MOST_COLUMNS {
            return Err(ReadError::TooManyColumns {
                at: frame.place(1),
                found: place + 1,
                most: MOST_COLUMNS,
            });
        }
        let (text, mut own) = super::header::split_unit(&decode::text(&name.text));
        if let Some(unit) = unit.filter(|unit| !unit.text.is_empty()) {
            own = decode::text(&unit.text);
        }
        self.channels.push((Lane::new(text, own), Clock::default()));
        self.known.insert(name.text.to_vec(), place);
        Ok(place)
    }
}
