//! The words of reading a log: what is asked, what was passed over, why a file is no log.

use crate::parts::field::Fault;
use laneside_core::log::read::{
    About, Answer, DateOrder, DecimalMark, Delimiter, Layout, Place, Question, ReadError, Reason,
    Repeats, Report, Session, Sessions, TimeColumn, TimeUnit,
};
use laneside_core::quantity::show;

/// A whole number with its thousands apart.
fn count(number: u64) -> String {
    show::grouped(number as f64, 0)
}

/// Where in the file.
fn at(place: Place) -> String {
    say!(
        "line\u{a0}{}, column\u{a0}{}",
        count(place.line),
        count(place.column)
    )
}

/// A size in bytes, as phones show it.
pub fn size(bytes: f64) -> String {
    if bytes >= 1e6 {
        say!("{}\u{a0}MB", show::fixed(bytes / 1e6, 1))
    } else {
        format!("{}\u{a0}kB", show::fixed((bytes / 1e3).max(0.1), 1))
    }
}

fn delimiter(delimiter: Delimiter) -> &'static str {
    say!(match delimiter {
        Delimiter::Tab => "tabs",
        Delimiter::Semicolon => "semicolons",
        Delimiter::Comma => "commas",
        Delimiter::Pipe => "bars",
    })
}

fn unit(unit: TimeUnit) -> &'static str {
    say!(match unit {
        TimeUnit::Microseconds => "Microseconds",
        TimeUnit::Milliseconds => "Milliseconds",
        TimeUnit::Seconds => "Seconds",
        TimeUnit::Minutes => "Minutes",
        TimeUnit::Hours => "Hours",
        TimeUnit::Days => "Days",
    })
}

/// What is asked, in one sentence.
pub fn question(question: &Question) -> String {
    let asks = say!(match &question.about {
        About::Dialect => "How is this line to be read?",
        About::Layout => "What is one row of this file?",
        About::TimeColumn => "Which column is the time?",
        About::TimeUnit => "What does the time count?",
        About::DateOrder => "Which way round are the dates?",
        About::Rate => "How many rows a second did the logger write?",
        About::Repeats => "Many rows share their time with the row before. What to make of them?",
        About::Sessions(_) => "Time starts anew in this file. Which part to read?",
    });
    asks.to_owned()
}

/// Where it shows in the file, with what stands there.
pub fn example(question: &Question) -> String {
    let text = question.example.trim();
    // Some questions are about no place of their own.
    if question.at.line == 0 {
        return String::new();
    }
    if text.is_empty() {
        say!("At {}.", at(question.at))
    } else {
        say!("At {}: {text}", at(question.at))
    }
}

/// The words of one answer.
pub fn answer(question: &Question, answer: &Answer) -> String {
    match answer {
        Answer::Dialect(divides, mark) => {
            let number = match mark {
                DecimalMark::Point => "13.8",
                DecimalMark::Comma => "13,8",
            };
            say!(
                "Cells apart by {}, numbers as {number}",
                delimiter(*divides)
            )
        }
        Answer::Layout(Layout::Wide) => tell!("One moment, a column for each channel"),
        Answer::Layout(Layout::Long) => tell!("One sample: time, channel, value"),
        Answer::TimeColumn(TimeColumn::At(place)) => say!("Column {}", place + 1),
        Answer::TimeColumn(TimeColumn::Absent) => {
            tell!("None: rows come at a steady rate")
        }
        Answer::TimeUnit(counts) => unit(*counts).to_owned(),
        Answer::DateOrder(order) => say!(match order {
            DateOrder::DayMonthYear => "Day, month, year",
            DateOrder::MonthDayYear => "Month, day, year",
            DateOrder::YearMonthDay => "Year, month, day",
        })
        .to_owned(),
        Answer::Rate(hertz) => say!("{} a second", show::fixed(*hertz, 0)),
        Answer::Repeats(Repeats::Spread) => tell!("Spread them evenly"),
        Answer::Repeats(Repeats::Keep) => tell!("Leave them at one time"),
        Answer::Sessions(Sessions::Joined) => tell!("All, one after another"),
        Answer::Sessions(Sessions::Only(place)) => match &question.about {
            About::Sessions(all) => session(*place, all.get(*place)),
            _ => session(*place, None),
        },
    }
}

fn session(place: usize, session: Option<&Session>) -> String {
    let about = session.map_or_else(String::new, |session| {
        say!(
            ": {}\u{a0}s from {}",
            show::fixed(session.seconds, 0),
            at(session.at)
        )
    });
    say!("Part {}{about}", place + 1)
}

/// Why a file is no log: what was found, and what is needed.
pub fn error(error: &ReadError) -> Fault {
    let (found, needed) = match error {
        ReadError::Empty => (
            tell!("Found an empty file."),
            tell!("Needed: a log as text, with a row for each moment."),
        ),
        ReadError::NotText {
            at: place,
            byte,
            archive,
        } => {
            let kind = if *archive {
                tell!("Found a ZIP archive or a workbook, not text.")
            } else {
                say!("Found no text at {}: byte {byte:#04x}.", at(*place))
            };
            let needed = say!(
                "Needed: the log exported as text (CSV or tab delimited). A project or binary file has to be exported first."
            );
            (kind, needed.to_owned())
        }
        ReadError::NoNumbers { lines } => (
            say!("Found {} lines, and no row of numbers.", count(*lines)),
            tell!("Needed: at least two rows of numbers under a header."),
        ),
        ReadError::OneRow { at: place } => (
            say!("Found one row of numbers, at {}.", at(*place)),
            tell!("Needed: at least two."),
        ),
        ReadError::TooManyColumns {
            at: place,
            found,
            most,
        } => (
            say!("Found {} columns at {}.", count(*found as u64), at(*place)),
            say!(
                "Needed: at most {}. Export fewer channels: time, rpm and voltage are enough.",
                count(*most as u64)
            ),
        ),
        ReadError::TooLarge { at: place, most } => (
            say!(
                "Found more numbers than {} hold, from {} on.",
                size(*most as f64),
                at(*place)
            ),
            tell!("Needed: a shorter log, or fewer channels."),
        ),
        ReadError::LongLine { at: place, most } => (
            say!(
                "Found no line break within {} from {} on.",
                size(*most as f64),
                at(*place)
            ),
            tell!("Needed: a line for each row."),
        ),
        ReadError::DelimiterChanges {
            at: place,
            found,
            needed,
        } => (
            say!(
                "Found cells apart by {} from {} on.",
                delimiter(*found),
                at(*place)
            ),
            say!("Needed: {} as before, or two files.", delimiter(*needed)),
        ),
        ReadError::MoreCells {
            at: place,
            found,
            needed,
        } => (
            say!("Found {found} cells in the row at {}.", at(*place)),
            say!(
                "Needed: {needed}, as in the header. A decimal comma between commas cannot be told apart: export with semicolons or with a decimal point."
            ),
        ),
        ReadError::NoSuchColumn { found, needed } => (
            say!("Found {found} columns."),
            say!("Needed: column {} for the time.", needed + 1),
        ),
    };
    Fault { found, needed }
}

fn reason(reason: Reason, many: bool) -> &'static str {
    // Rows first, then cells; each as it stands after the number.
    say!(match (reason, many) {
        (Reason::Comment, false) => "comment row",
        (Reason::Comment, true) => "comment rows",
        (Reason::TextRow, false) => "row of text",
        (Reason::TextRow, true) => "rows of text",
        (Reason::RepeatedHeader, false) => "header that stood again",
        (Reason::RepeatedHeader, true) => "headers that stood again",
        (Reason::AnotherTable, false) => "row of another table",
        (Reason::AnotherTable, true) => "rows of another table",
        (Reason::OtherDelimiter, false) => "row with another delimiter",
        (Reason::OtherDelimiter, true) => "rows with another delimiter",
        (Reason::LongRow, false) => "row with too many cells",
        (Reason::LongRow, true) => "rows with too many cells",
        (Reason::NotText, false) => "row that is no text",
        (Reason::NotText, true) => "rows that are no text",
        (Reason::OpenQuote, false) => "row with a quote never closed",
        (Reason::OpenQuote, true) => "rows with a quote never closed",
        (Reason::NoTime, false) => "row without a time",
        (Reason::NoTime, true) => "rows without a time",
        (Reason::Backward, false) => "row earlier than the one before",
        (Reason::Backward, true) => "rows earlier than the one before",
        (Reason::OtherSession, false) => "row of another part",
        (Reason::OtherSession, true) => "rows of other parts",
        (Reason::ShortRow, false) => "row cut short: what it has was read",
        (Reason::ShortRow, true) => "rows cut short: what they have was read",
        (Reason::Blank, false) => "blank cell",
        (Reason::Blank, true) => "blank cells",
        (Reason::Missing, false) => "cell marked as missing",
        (Reason::Missing, true) => "cells marked as missing",
        (Reason::TextCell, false) => "cell of text",
        (Reason::TextCell, true) => "cells of text",
        (Reason::Huge, false) => "cell with a number out of bounds",
        (Reason::Huge, true) => "cells with numbers out of bounds",
        (Reason::OtherUnit, false) => "cell in another unit",
        (Reason::OtherUnit, true) => "cells in another unit",
    })
}

/// What was read, in one line.
pub fn read(report: &Report) -> String {
    say!(
        "Read {} rows, {}.",
        count(report.rows),
        size(report.bytes as f64)
    )
}

/// What was passed over, each with how much and where it begins.
pub fn skipped(report: &Report) -> Vec<String> {
    let mut lines: Vec<String> = report
        .skipped
        .iter()
        .map(|skipped| {
            say!(
                "{} {}, first at {}.",
                count(skipped.count),
                reason(skipped.reason, skipped.count != 1),
                at(skipped.first)
            )
        })
        .collect();
    if let Some((rows, first)) = report.repeated {
        lines.push(say!(
            "{} rows share their time with the row before, first at {}. They were read.",
            count(rows),
            at(first)
        ));
    }
    lines
}
