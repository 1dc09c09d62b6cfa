//! What of a file is known before it is read, and what has to be asked.

use super::Place;
use serde::{Deserialize, Serialize};

/// What divides the cells of a row.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Delimiter {
    /// A tab.
    Tab,
    /// A semicolon.
    Semicolon,
    /// A comma.
    Comma,
    /// A vertical bar.
    Pipe,
}

impl Delimiter {
    /// All of them, the likeliest to be meant first.
    pub const ALL: [Self; 4] = [Self::Tab, Self::Semicolon, Self::Pipe, Self::Comma];

    /// The character.
    #[must_use]
    pub const fn byte(self) -> u8 {
        match self {
            Self::Tab => b'\t',
            Self::Semicolon => b';',
            Self::Comma => b',',
            Self::Pipe => b'|',
        }
    }

    pub(super) const fn name(self) -> &'static str {
        match self {
            Self::Tab => "a tab",
            Self::Semicolon => "a semicolon",
            Self::Comma => "a comma",
            Self::Pipe => "a bar",
        }
    }
}

/// What stands before the decimals of a number.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum DecimalMark {
    /// As in 13.8.
    Point,
    /// As in 13,8.
    Comma,
}

impl DecimalMark {
    /// The character.
    #[must_use]
    pub const fn byte(self) -> u8 {
        match self {
            Self::Point => b'.',
            Self::Comma => b',',
        }
    }

    /// The character that then may stand between thousands.
    pub(super) const fn group(self) -> u8 {
        match self {
            Self::Point => b',',
            Self::Comma => b'.',
        }
    }
}

/// How samples stand in the rows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Layout {
    /// A row holds one moment, a column one channel.
    Wide,
    /// A row holds one sample: its time, its channel's name, its value, perhaps its unit.
    Long,
}

/// Where a row's time is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum TimeColumn {
    /// In this column, from zero.
    At(usize),
    /// Nowhere: rows follow each other at a steady rate.
    Absent,
}

/// What a plain number in the time column counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum TimeUnit {
    /// Microseconds.
    Microseconds,
    /// Milliseconds.
    Milliseconds,
    /// Seconds.
    Seconds,
    /// Minutes.
    Minutes,
    /// Hours.
    Hours,
    /// Days, as workbooks count them.
    Days,
}

impl TimeUnit {
    /// Seconds in one of it.
    #[must_use]
    pub const fn seconds(self) -> f64 {
        match self {
            Self::Microseconds => 1e-6,
            Self::Milliseconds => 1e-3,
            Self::Seconds => 1.0,
            Self::Minutes => 60.0,
            Self::Hours => 3_600.0,
            Self::Days => 86_400.0,
        }
    }
}

/// The order of a date's parts where the year is last or has two digits.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum DateOrder {
    /// Day, month, year.
    DayMonthYear,
    /// Month, day, year.
    MonthDayYear,
    /// Year, month, day.
    YearMonthDay,
}

/// What to make of rows that share a time because the clock is coarser than the rows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Repeats {
    /// Spread them evenly until the next time.
    Spread,
    /// Leave them at the same time.
    Keep,
}

/// What to read of a file in which time starts anew.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Sessions {
    /// Only this one, from zero.
    Only(usize),
    /// All, one after another, [`SESSION_GAP_S`] apart: how long it really was, the file does not say.
    Joined,
}

/// Seconds put between two sessions that are joined.
pub const SESSION_GAP_S: f64 = 60.0;

/// A stretch of rows in which time does not go back.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Session {
    /// Where its first row is.
    pub at: Place,
    /// Its rows.
    pub rows: usize,
    /// How long it is, s.
    pub seconds: f64,
}

/// What a question is about.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum About {
    /// Which character divides cells, and which is the decimal mark: the numbers can be read either way.
    Dialect,
    /// Whether a row is a moment or a sample.
    Layout,
    /// Which column is the time.
    TimeColumn,
    /// What the time column counts.
    TimeUnit,
    /// Which part of a date is the day and which the month.
    DateOrder,
    /// How many rows a second: there is no time, or it never moves. The answer is any [`Answer::Rate`].
    Rate,
    /// Many rows share their time with the row before.
    Repeats,
    /// Time starts anew: which of these to read.
    Sessions(Vec<Session>),
}

/// What the file leaves open. Until it is answered, nothing may rest on what was read.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Question {
    /// What is open.
    pub about: About,
    /// Where it shows.
    pub at: Place,
    /// The text there: a cell, or a line for [`About::Dialect`] and [`About::Layout`].
    pub example: String,
    /// What it can be, the likeliest first; empty for [`About::Rate`].
    pub answers: Vec<Answer>,
}

/// An answer to a [`Question`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Answer {
    /// To [`About::Dialect`].
    Dialect(Delimiter, DecimalMark),
    /// To [`About::Layout`].
    Layout(Layout),
    /// To [`About::TimeColumn`].
    TimeColumn(TimeColumn),
    /// To [`About::TimeUnit`].
    TimeUnit(TimeUnit),
    /// To [`About::DateOrder`].
    DateOrder(DateOrder),
    /// To [`About::Rate`], rows a second.
    Rate(f64),
    /// To [`About::Repeats`].
    Repeats(Repeats),
    /// To [`About::Sessions`].
    Sessions(Sessions),
}

/// What is known of a file before it is read. What is left out is found in the file, or asked.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Options {
    /// Bytes of the whole file, so that memory is taken once and not by and by.
    pub total_bytes: Option<u64>,
    /// What divides cells.
    pub delimiter: Option<Delimiter>,
    /// What stands before decimals.
    pub mark: Option<DecimalMark>,
    /// What a row is.
    pub layout: Option<Layout>,
    /// Where the time is.
    pub time_column: Option<TimeColumn>,
    /// What it counts.
    pub time_unit: Option<TimeUnit>,
    /// The order of dates.
    pub date_order: Option<DateOrder>,
    /// Rows a second where there is no time; finite and above zero, or it counts as left out.
    pub rate_hz: Option<f64>,
    /// What to make of rows at the same time.
    pub repeats: Option<Repeats>,
    /// Which session to read.
    pub sessions: Option<Sessions>,
    /// The most bytes that the numbers read may take. The default serves a log of 200 MB.
    pub most_bytes: u64,
}

impl Default for Options {
    fn default() -> Self {
        Self {
            total_bytes: None,
            delimiter: None,
            mark: None,
            layout: None,
            time_column: None,
            time_unit: None,
            date_order: None,
            rate_hz: None,
            repeats: None,
            sessions: None,
            most_bytes: 512 << 20,
        }
    }
}

impl Options {
    /// Takes an answer in, for reading the file once more.
    pub fn answer(&mut self, answer: Answer) {
        match answer {
            Answer::Dialect(delimiter, mark) => {
                self.delimiter = Some(delimiter);
                self.mark = Some(mark);
            }
            Answer::Layout(layout) => self.layout = Some(layout),
            Answer::TimeColumn(column) => self.time_column = Some(column),
            Answer::TimeUnit(unit) => self.time_unit = Some(unit),
            Answer::DateOrder(order) => self.date_order = Some(order),
            Answer::Rate(hertz) => self.rate_hz = Some(hertz),
            Answer::Repeats(repeats) => self.repeats = Some(repeats),
            Answer::Sessions(sessions) => self.sessions = Some(sessions),
        }
    }

    /// The rate that was given, if it is one.
    pub(super) fn rate(&self) -> Option<f64> {
        self.rate_hz.filter(|rate| rate.is_finite() && *rate > 0.0)
    }
}
