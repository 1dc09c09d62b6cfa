//! What a file's columns are for: which is the time and how it is written, and whether a row is a moment or a sample.

use super::dialect::Dialect;
use super::lines::cells;
use super::number::Found;
use super::time_names::{agree, is_other_time, likely_unit, name_rank};
use super::value::{self, Value};
use super::{About, Answer, DateOrder, Options, Place, Question, ReadError, TimeColumn, TimeUnit};
use super::{decode, moment, place};
use crate::log::unit::time_unit;

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
pub(super) struct Look<'a> {
    pub head: &'a [u8],
    pub dialect: &'a Dialect,
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
    pub fn column(&self, column: usize) -> impl Iterator<Item = (Place, Vec<u8>)> + '_ {
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
        let alone = self
            .dialect
            .numeric
            .iter()
            .filter(|numeric| **numeric)
            .count()
            < 2;
        rises
            && !steady
            && !alone
            && candidate.values.len() > 2
            && !crate::log::channels::is_channel(name)
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
