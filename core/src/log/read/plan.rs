//! What a file's columns are for: which is the time and how it is written, and whether a row is a moment or a sample.

use super::dialect::Dialect;
use super::lines::cells;
use super::number::Found;
use super::value::{self, Value};
use super::{
    About, Answer, DateOrder, Layout, Options, Place, Question, ReadError, TimeColumn, TimeUnit,
};
use super::{decode, moment, place};
use crate::log::unit::{is_unit, time_unit};

/// How a time is written.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Stamp {
    Number(TimeUnit),
    /// Hours, minutes and seconds; or, by the flag, minutes and seconds only.
    Clock {
        hours: bool,
    },
    Date(DateOrder),
}

/// Where things are in a row.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Plan {
    Wide {
        time: Option<(usize, Stamp)>,
    },
    Long {
        time: (usize, Stamp),
        name: usize,
        value: usize,
        unit: Option<usize>,
    },
}

/// The cells of a column in the sample.
struct Look<'a> {
    head: &'a [u8],
    dialect: &'a Dialect,
}

/// A column that may be the time.
struct Candidate {
    column: usize,
    /// How much its name and unit say that it is.
    rank: u8,
    moment: bool,
    /// Its numbers, in the unit of the file; of moments the seconds.
    values: Vec<f64>,
    rises: bool,
}

/// Finds out what the columns are for; adds questions to the dialect's.
pub(super) fn plan(
    head: &[u8],
    dialect: &Dialect,
    options: &Options,
) -> Result<(Plan, Vec<Question>), ReadError> {
    let look = Look { head, dialect };
    let mut questions = vec![];
    let time = look.time_column(options, &mut questions)?;
    let stamp = time.map(|candidate| {
        let stamp = look.stamp(&candidate, options, &mut questions);
        (candidate.column, stamp)
    });
    if let Some(time) = stamp
        && let Some(long) = look.long(time, options, &mut questions)
    {
        return Ok((long, questions));
    }
    Ok((Plan::Wide { time: stamp }, questions))
}

impl Look<'_> {
    /// The cells of a column in the first rows, blank and missing ones left out.
    fn column(&self, column: usize) -> impl Iterator<Item = (Place, Vec<u8>)> + '_ {
        let delimiter = self.dialect.delimiter.byte();
        self.dialect.sample.iter().filter_map(move |row| {
            let text = self.head.get(row.start..row.end)?;
            let cell = cells(text, delimiter).nth(column)?;
            let filled = !cell.text.is_empty() && !value::is_missing(&cell.text);
            filled.then(|| {
                let at = Place {
                    line: row.line + 1,
                    column: place::characters(text.get(..cell.at).unwrap_or_default()) + 1,
                };
                (at, cell.text.into_owned())
            })
        })
    }

    fn candidate(&self, column: usize) -> Candidate {
        let (mut values, mut moments, mut count) = (vec![], 0, 0);
        for (_, cell) in self.column(column) {
            count += 1;
            if let Some(moment) = moment::parse(&cell) {
                moments += 1;
                values.push(moment.seconds);
            } else if let Value::Number(number) = self.number(&cell) {
                values.push(number);
            }
        }
        let steps = values.windows(2).map(|pair| pair[1] - pair[0]);
        let (mut up, mut down) = (0_usize, 0_usize);
        for step in steps {
            up += usize::from(step > 0.0);
            down += usize::from(step < 0.0);
        }
        let name = self.dialect.names.get(column).map_or("", String::as_str);
        let unit = self.dialect.units.get(column).map_or("", String::as_str);
        let moment = moments * 10 >= count * 9 && count > 0;
        let rises = up > 0 && down * 10 <= up;
        let mut rank = name_rank(name);
        if rank == 1 && !(moment || time_unit(unit).is_some()) {
            rank = 0;
        }
        if rank == 0 && rises && (moment || (time_unit(unit).is_some() && !is_other_time(name))) {
            rank = 1;
        }
        Candidate {
            column,
            rank,
            moment,
            values,
            rises,
        }
    }

    fn number(&self, cell: &[u8]) -> Value<f64> {
        value::read(
            cell,
            self.dialect.style,
            &mut None,
            Found::double,
            |value| value.is_finite(),
        )
    }

    fn time_column(
        &self,
        options: &Options,
        questions: &mut Vec<Question>,
    ) -> Result<Option<Candidate>, ReadError> {
        let width = self.dialect.names.len();
        match options.time_column {
            Some(TimeColumn::Absent) => return Ok(None),
            Some(TimeColumn::At(column)) if column < width => {
                return Ok(Some(self.candidate(column)));
            }
            Some(TimeColumn::At(column)) => {
                return Err(ReadError::NoSuchColumn {
                    found: width,
                    needed: column,
                });
            }
            None => {}
        }
        let numeric = self
            .dialect
            .numeric
            .iter()
            .enumerate()
            .filter(|(_, numeric)| **numeric);
        let mut all: Vec<Candidate> = numeric
            .map(|(column, _)| column)
            .filter(|column| *column < width && self.is_worth_a_look(*column))
            .map(|column| self.candidate(column))
            .collect();
        let best = all
            .iter()
            .filter(|one| one.rank > 0 && one.rises)
            .map(|one| one.rank)
            .max();
        let Some(best) = best else {
            // A time that stands still is one by its name only.
            if let Some(at) = all.iter().position(|one| one.rank > 1) {
                return Ok(Some(all.swap_remove(at)));
            }
            // The first column, if it rises and has a name that says nothing.
            let first = all
                .iter()
                .position(|one| one.column == 0 && one.rises && self.may_be_time(one));
            let Some(first) = first else {
                return Ok(None);
            };
            let first = all.swap_remove(first);
            self.ask_time_column(&[first.column], true, questions);
            return Ok(Some(first));
        };
        let mut best: Vec<Candidate> = all
            .into_iter()
            .filter(|one| one.rank == best && one.rises)
            .collect();
        let finest = finest(&best);
        if let [first, others @ ..] = best.as_slice()
            && !others
                .iter()
                .all(|other| agree(&first.values, &other.values))
        {
            let columns: Vec<usize> = best.iter().map(|one| one.column).collect();
            self.ask_time_column(&columns, false, questions);
        }
        Ok(Some(best.swap_remove(finest)))
    }

    /// Whether anything about a column speaks for time; with hundreds of columns most need no closer look.
    fn is_worth_a_look(&self, column: usize) -> bool {
        let name = self.dialect.names.get(column).map_or("", String::as_str);
        let unit = self.dialect.units.get(column).map_or("", String::as_str);
        column == 0
            || name_rank(name) > 0
            || time_unit(unit).is_some()
            || self
                .column(column)
                .next()
                .is_some_and(|(_, cell)| moment::is_moment(&cell))
    }

    /// Whether a column that rises and whose name is not that of a time may be one.
    fn may_be_time(&self, candidate: &Candidate) -> bool {
        let name = self
            .dialect
            .names
            .get(candidate.column)
            .map_or("", String::as_str);
        let steady = candidate
            .values
            .windows(2)
            .all(|pair| (pair[1] - pair[0] - 1.0).abs() < 1e-9);
        let rises = candidate.values.windows(2).all(|pair| pair[1] > pair[0]);
        rises && !steady && candidate.values.len() > 2 && !crate::log::channels::is_channel(name)
    }

    fn ask_time_column(&self, columns: &[usize], absent: bool, questions: &mut Vec<Question>) {
        let Some((at, example)) = columns
            .first()
            .and_then(|column| self.column(*column).next())
        else {
            return;
        };
        let columns = columns.iter().map(|column| TimeColumn::At(*column));
        let absent = absent.then_some(TimeColumn::Absent);
        questions.push(Question {
            about: About::TimeColumn,
            at,
            example: decode::text(&example),
            answers: columns.chain(absent).map(Answer::TimeColumn).collect(),
        });
    }

    fn stamp(
        &self,
        candidate: &Candidate,
        options: &Options,
        questions: &mut Vec<Question>,
    ) -> Stamp {
        if candidate.moment {
            let has_date =
                |(_, cell): (Place, Vec<u8>)| moment::parse(&cell)?.date.map(|date| (date, cell));
            return match self.column(candidate.column).find_map(has_date) {
                None => Stamp::Clock {
                    hours: self.has_hours(candidate.column),
                },
                Some((date, cell)) => Stamp::Date(
                    options
                        .date_order
                        .unwrap_or_else(|| self.order(candidate.column, date, &cell)),
                ),
            };
        }
        if let Some(unit) = options.time_unit {
            return Stamp::Number(unit);
        }
        let name = self
            .dialect
            .names
            .get(candidate.column)
            .map_or("", String::as_str);
        let unit = self
            .dialect
            .units
            .get(candidate.column)
            .map_or("", String::as_str);
        let in_name = || {
            name.split(|c: char| !c.is_alphanumeric())
                .find_map(time_unit)
        };
        if let Some(unit) = time_unit(unit).or_else(in_name) {
            return Stamp::Number(unit);
        }
        let (unit, others) = likely_unit(&candidate.values);
        if !others.is_empty()
            && let Some((at, example)) = self.column(candidate.column).nth(1)
        {
            questions.push(Question {
                about: About::TimeUnit,
                at,
                example: decode::text(&example),
                answers: std::iter::once(&unit)
                    .chain(others)
                    .copied()
                    .map(Answer::TimeUnit)
                    .collect(),
            });
        }
        Stamp::Number(unit)
    }

    fn has_hours(&self, column: usize) -> bool {
        self.column(column)
            .any(|(_, cell)| cell.iter().filter(|byte| **byte == b':').count() > 1)
    }

    /// The order of dates, as far as the first rows tell.
    fn order(&self, column: usize, first: [u32; 3], cell: &[u8]) -> DateOrder {
        let separator = cell
            .iter()
            .copied()
            .find(|byte| !byte.is_ascii_alphanumeric());
        let mut orders = moment::orders(first, separator);
        for (_, cell) in self.column(column) {
            if let Some(date) = moment::parse(&cell).and_then(|moment| moment.date) {
                orders.retain(|order| moment::days(date, *order).is_some());
            }
        }
        orders.first().copied().unwrap_or(DateOrder::YearMonthDay)
    }

    /// Where name, value and unit are if a row is a sample.
    fn long(
        &self,
        time: (usize, Stamp),
        options: &Options,
        questions: &mut Vec<Question>,
    ) -> Option<Plan> {
        if options.layout == Some(Layout::Wide) || self.dialect.names.len() > 8 {
            return None;
        }
        let (mut values, mut texts) = (vec![], vec![]);
        for (column, numeric) in self.dialect.numeric.iter().enumerate() {
            if column == time.0 || self.column(column).next().is_none() {
                continue;
            }
            if *numeric {
                values.push(column)
            } else {
                texts.push(column)
            }
        }
        let named = |columns: &[usize], words: &[&str]| {
            columns.iter().copied().find(|column| {
                let name = self
                    .dialect
                    .names
                    .get(*column)
                    .map_or("", String::as_str)
                    .to_lowercase();
                words.iter().any(|word| {
                    name.split(|c: char| !c.is_alphanumeric())
                        .any(|part| part == *word)
                })
            })
        };
        let value_named = named(
            &values,
            &[
                "value", "values", "wert", "valor", "valeur", "valore", "val", "reading",
            ],
        );
        let value = match values.as_slice() {
            [only] => *only,
            _ => value_named?,
        };
        let is_units = |column: &usize| {
            let (mut units, mut all) = (0, 0);
            for (_, cell) in self.column(*column) {
                units += usize::from(is_unit(&decode::text(&cell)));
                all += 1;
            }
            units * 2 > all
        };
        let unit = named(
            &texts,
            &[
                "unit", "units", "einheit", "unidad", "unidades", "unité", "unite", "unità",
                "unita",
            ],
        )
        .or_else(|| {
            texts
                .iter()
                .copied()
                .find(|column| texts.len() > 1 && is_units(column))
        });
        texts.retain(|column| Some(*column) != unit);
        let name_named = named(
            &texts,
            &[
                "name",
                "channel",
                "channelname",
                "signal",
                "sensor",
                "parameter",
                "variable",
                "measurement",
                "tag",
                "key",
                "item",
                "pid",
                "quantity",
                "kanal",
                "signalname",
                "messgröße",
                "canal",
                "señal",
                "nombre",
                "nom",
                "voie",
                "nome",
                "canale",
                "segnale",
                "grandezza",
                "source",
                "label",
            ],
        );
        let name = match (name_named, texts.as_slice()) {
            (Some(name), _) => name,
            (None, [only]) => *only,
            (None, texts) => {
                let changes = |column: &&usize| self.changes(**column);
                *texts.iter().max_by_key(changes)?
            }
        };
        let changes = self.changes(name);
        let sure = options.layout == Some(Layout::Long)
            || (name_named.is_some()
                && (values.len() == 1 || value_named.is_some())
                && (value_named.is_some() || unit.is_some() || changes > 0));
        if !sure {
            // A text that changes from row to row may name what the row holds.
            if changes * 2 < self.dialect.sample.len() || changes < 2 {
                return None;
            }
            let (row, text) = self
                .dialect
                .sample
                .first()
                .and_then(|row| Some((row, self.head.get(row.start..row.end)?)))?;
            questions.push(Question {
                about: About::Layout,
                at: Place {
                    line: row.line + 1,
                    column: 1,
                },
                example: decode::text(text),
                answers: vec![Answer::Layout(Layout::Long), Answer::Layout(Layout::Wide)],
            });
        }
        Some(Plan::Long {
            time,
            name,
            value,
            unit,
        })
    }

    /// How often a column's text changes from row to row.
    fn changes(&self, column: usize) -> usize {
        let cells: Vec<Vec<u8>> = self.column(column).map(|(_, cell)| cell).collect();
        cells.windows(2).filter(|pair| pair[0] != pair[1]).count()
    }
}

/// How surely a name is that of the time: 3 if it says nothing else, 2 if it says something beside, 1 if a unit of time
/// must confirm it, 0 if it says something else.
fn name_rank(name: &str) -> u8 {
    const TIME: [&str; 34] = [
        "time",
        "timestamp",
        "timestamps",
        "elapsed",
        "datetime",
        "zeit",
        "zeitstempel",
        "uhrzeit",
        "tiempo",
        "hora",
        "temps",
        "heure",
        "horodatage",
        "tempo",
        "ora",
        "marca",
        "uptime",
        "clock",
        "millis",
        "micros",
        "seconds",
        "sekunden",
        "segundos",
        "secondes",
        "secondi",
        "ms",
        "s",
        "sec",
        "secs",
        "utc",
        "stamp",
        "timecode",
        "us",
        "t",
    ];
    const BESIDE: [&str; 24] = [
        "log", "logger", "gps", "session", "system", "local", "device", "since", "start", "run",
        "total", "relative", "rel", "abs", "absolute", "unix", "epoch", "of", "day", "in", "de",
        "the", "date", "row",
    ];
    let lower = name.to_lowercase();
    let words: Vec<&str> = lower
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .collect();
    let is_time = |word: &&str| TIME.contains(word);
    if words.is_empty() || is_other_time(name) {
        return 0;
    }
    if words.iter().all(|word| is_time(&word)) {
        return if words == ["s"] || words == ["us"] {
            1
        } else {
            3
        };
    }
    let weak = |word: &&str| is_time(word) && !matches!(*word, "s" | "us" | "t" | "ms");
    if words.iter().any(|word| weak(&word)) {
        let known = words
            .iter()
            .all(|word| is_time(&word) || BESIDE.contains(word));
        return if known { 2 } else { 1 };
    }
    0
}

/// Whether the name is that of some duration, not of the moment of the row.
fn is_other_time(name: &str) -> bool {
    const OTHER: [&str; 30] = [
        "lap",
        "laps",
        "sector",
        "split",
        "best",
        "delta",
        "dwell",
        "injection",
        "injector",
        "inj",
        "pulse",
        "duration",
        "open",
        "opening",
        "spark",
        "on",
        "off",
        "reaction",
        "shift",
        "cut",
        "fuel",
        "delay",
        "width",
        "runde",
        "rundenzeit",
        "vuelta",
        "tour",
        "giro",
        "gap",
        "ignition",
    ];
    let lower = name.to_lowercase();
    lower
        .split(|c: char| !c.is_alphanumeric())
        .any(|word| OTHER.contains(&word))
}

/// Whether two columns tell the same time, though perhaps in other units.
fn agree(one: &[f64], other: &[f64]) -> bool {
    let span = |values: &[f64]| {
        values
            .last()
            .zip(values.first())
            .map_or(0.0, |(last, first)| last - first)
    };
    let (one, other) = (span(one), span(other));
    one > 0.0
        && other > 0.0
        && [1e-6, 1e-3, 1.0, 1e3, 1e6, 60.0, 1.0 / 60.0]
            .iter()
            .any(|ratio| (one / other / ratio - 1.0).abs() < 0.02)
}

/// The candidate that moves with the most rows.
fn finest(candidates: &[Candidate]) -> usize {
    let moves = |one: &Candidate| {
        one.values
            .windows(2)
            .filter(|pair| pair[1] > pair[0])
            .count()
    };
    let best = candidates.iter().map(moves).max();
    candidates
        .iter()
        .position(|one| Some(moves(one)) == best)
        .unwrap_or(0)
}

/// What plain numbers in a time column count, and what else they may.
fn likely_unit(values: &[f64]) -> (TimeUnit, &'static [TimeUnit]) {
    use TimeUnit::{Days, Hours, Microseconds, Milliseconds, Minutes, Seconds};
    let mut steps: Vec<f64> = values
        .windows(2)
        .map(|pair| pair[1] - pair[0])
        .filter(|step| *step > 0.0)
        .collect();
    steps.sort_by(f64::total_cmp);
    let step = steps.get(steps.len() / 2).copied().unwrap_or(0.0);
    let first = values.first().copied().unwrap_or(0.0);
    // Counted from 1970: no other unit makes a year of our time of it.
    match first {
        1e9..4e9 => return (Seconds, &[]),
        1e12..4e12 => return (Milliseconds, &[]),
        1e15..4e15 => return (Microseconds, &[]),
        20_000.0..80_000.0 if step < 4e-4 && step > 0.0 => return (Days, &[]),
        _ => {}
    }
    match step {
        0.0 => (Seconds, &[]),
        // Faster than any logger: not seconds, or hardly.
        _ if step < 4e-4 => (Hours, &[Minutes, Seconds]),
        _ if step < 0.5 => (Seconds, &[]),
        _ if step <= 2.0 => (Seconds, &[Milliseconds]),
        _ if step < 400.0 => (Milliseconds, &[Seconds]),
        _ => (Microseconds, &[Milliseconds, Seconds]),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_of_times_are_told_from_others() {
        for (name, rank) in [
            ("Time", 3),
            ("time_ms", 3),
            ("Elapsed Time", 3),
            ("Zeit", 3),
            ("t", 3),
            ("GPS Time", 2),
            ("Time since start", 2),
            ("Time of day", 2),
            ("Lap Time", 0),
            ("Dwell time", 0),
            ("Engine Speed", 0),
            ("", 0),
        ] {
            assert_eq!(name_rank(name), rank, "{name}");
        }
    }

    #[test]
    fn units_of_time_follow_from_steps_or_are_open() {
        let every = |start: f64, step: f64| {
            (0..50)
                .map(|i| start + step * f64::from(i))
                .collect::<Vec<_>>()
        };
        assert_eq!(likely_unit(&every(0.0, 0.01)), (TimeUnit::Seconds, &[][..]));
        assert_eq!(
            likely_unit(&every(1.7e9, 1.0)),
            (TimeUnit::Seconds, &[][..])
        );
        assert_eq!(
            likely_unit(&every(1.7e12, 10.0)),
            (TimeUnit::Milliseconds, &[][..])
        );
        assert_eq!(
            likely_unit(&every(45_000.5, 1e-6)),
            (TimeUnit::Days, &[][..])
        );
        assert_eq!(
            likely_unit(&every(0.0, 10.0)),
            (TimeUnit::Milliseconds, &[TimeUnit::Seconds][..])
        );
        assert_eq!(
            likely_unit(&every(0.0, 1.0)),
            (TimeUnit::Seconds, &[TimeUnit::Milliseconds][..])
        );
    }
}
