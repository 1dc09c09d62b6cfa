//! Logs written in every dialect read back equal, or ask, and read back equal once the truth is answered.

use crate::logs::{Log, Preamble, Style, Time, Units, log, style};
use laneside_core::log::read::{
    About, Answer, DateOrder, DecimalMark, Layout, Options, Question, Read, ReadError, Reader,
    Repeats, Sessions, TimeColumn, TimeUnit, number,
};
use proptest::prelude::*;

fn read(bytes: &[u8], options: &Options, piece: usize) -> Result<Read, ReadError> {
    let mut reader = Reader::new(options.clone());
    for piece in bytes.chunks(piece) {
        reader.feed(piece)?;
    }
    reader.finish()
}

/// The true answer.
fn truth(question: &Question, style: &Style, lone: bool) -> Answer {
    match &question.about {
        About::Dialect => {
            // Where one number stands alone on a line, any delimiter will do that is not in the file.
            let alone = |answer: &&Answer| matches!(answer, Answer::Dialect(_, mark) if *mark == style.mark);
            let offered = question.answers.iter().find(alone).filter(|_| lone);
            offered
                .copied()
                .unwrap_or(Answer::Dialect(style.delimiter, style.mark))
        }
        About::Layout => Answer::Layout(if style.long {
            Layout::Long
        } else {
            Layout::Wide
        }),
        About::TimeColumn => Answer::TimeColumn(match style.time {
            Time::Absent => TimeColumn::Absent,
            _ => TimeColumn::At(0),
        }),
        About::TimeUnit => Answer::TimeUnit(match style.time {
            Time::Number(unit) => unit,
            _ => TimeUnit::Seconds,
        }),
        About::DateOrder => Answer::DateOrder(match style.time {
            Time::Date(order) => order,
            _ => DateOrder::YearMonthDay,
        }),
        About::Rate => Answer::Rate(100.0),
        About::Repeats => Answer::Repeats(Repeats::Keep),
        About::Sessions(_) => Answer::Sessions(Sessions::Joined),
    }
}

/// Reads, answering what is asked. `lone` tells that rows have one cell.
fn read_answering(
    bytes: &[u8],
    style: &Style,
    piece: usize,
    lone: bool,
) -> Result<Read, TestCaseError> {
    let mut options = Options {
        total_bytes: Some(bytes.len() as u64),
        ..Options::default()
    };

    for _ in 0..4 {
        let found =
            read(bytes, &options, piece).map_err(|error| TestCaseError::fail(error.to_string()))?;
        if found.questions.is_empty() {
            return Ok(found);
        }
        for question in &found.questions {
            let answer = truth(question, style, lone);
            let offered = question.about == About::Rate || question.answers.contains(&answer);
            prop_assert!(offered, "{answer:?} is not offered: {question:?}");
            options.answer(answer);
        }
    }
    Err(TestCaseError::fail("asks on and on"))
}

fn check(log: &Log, style: &Style, found: &Read) -> Result<(), TestCaseError> {
    let first = f64::from(log.times[0]);
    for (column, (name, unit)) in log.names.iter().enumerate() {
        let wanted: Vec<(f64, Option<f32>)> = log
            .values
            .iter()
            .enumerate()
            .map(|(row, values)| {
                let time = match style.time {
                    Time::Absent => row as f64 / 100.0,
                    _ => (f64::from(log.times[row]) - first) / 100.0,
                };
                (
                    time,
                    values[column].as_ref().map(|value| value.parse().unwrap()),
                )
            })
            .filter(|(_, value)| !style.long || value.is_some())
            .collect();
        let read = found
            .table
            .columns()
            .iter()
            .find(|read| read.name() == *name);
        let Some(read) = read else {
            prop_assert!(
                wanted.iter().all(|(_, value)| value.is_none()),
                "no {name}: {:?}",
                found.table.columns()
            );
            continue;
        };
        let has_unit = style.long || matches!(style.units, Units::Brackets(..) | Units::Row);
        prop_assert_eq!(read.unit(), if has_unit { *unit } else { "" });
        let times = found.table.times(read);
        prop_assert_eq!(read.values().len(), wanted.len());
        prop_assert_eq!(times.len(), wanted.len());
        // A long table starts with its first sample.
        let start = if style.long { found_start(log) } else { 0.0 };
        for ((value, time), (wanted_time, wanted)) in read.values().iter().zip(times).zip(&wanted) {
            prop_assert!(
                (time + start - wanted_time).abs() < 1e-5,
                "{name}: {time} for {wanted_time}"
            );
            match wanted {
                None => prop_assert!(value.is_nan()),
                Some(wanted) => prop_assert_eq!(value.to_bits(), wanted.to_bits()),
            }
        }
    }
    Ok(())
}

/// When the first sample that is no blank was taken, s from the first row.
fn found_start(log: &Log) -> f64 {
    let row = log
        .values
        .iter()
        .position(|values| values.iter().any(Option::is_some))
        .unwrap_or(0);
    (f64::from(log.times[row]) - f64::from(log.times[0])) / 100.0
}

/// Rows that hold something.
fn filled(log: &Log) -> usize {
    log.values
        .iter()
        .filter(|values| values.iter().any(Option::is_some))
        .count()
}

/// Logs are many things at once: some hundred cases meet too few of their pairs.
const CASES: u32 = 2_000;

proptest! {
    #![proptest_config(ProptestConfig { cases: CASES, ..ProptestConfig::default() })]

    /// Any table in any dialect reads back equal, or asks and then does.
    #[test]
    fn any_dialect_reads_back_equal_or_asks(log in log(), style in style(), piece in 1_usize..4_000) {
        prop_assume!(filled(&log) > 2);
        let mut log = log;
        let mut style = style;
        if style.time == Time::Absent {
            // A row with nothing in it is no row.
            log.values.retain(|values| values.iter().any(Option::is_some));
        }
        if log.names.len() == 1 && style.time == Time::Absent {
            // One name alone in a remark is a remark.
            style.preamble = Preamble::None;
        }
        let bytes = style.write(&log);
        let shown = |error| TestCaseError::fail(format!("{error}\n{}", String::from_utf8_lossy(&bytes)));
        let lone = style.head(&log).len() == 1;
        let found = read_answering(&bytes, &style, piece, lone).map_err(shown)?;
        check(&log, &style, &found).map_err(shown)?;
        // However it comes.
        let again = read_answering(&bytes, &style, bytes.len(), lone)?;
        prop_assert_eq!(format!("{again:?}"), format!("{found:?}"));
    }

    /// Numbers read as the standard library reads them, to the last bit.
    #[test]
    fn numbers_read_to_the_last_bit(
        text in prop_oneof![
            "[-+]?[0-9]{1,25}",
            "[-+]?[0-9]{1,12}\\.[0-9]{0,12}",
            "[-+]?[0-9]{0,3}\\.[0-9]{1,20}",
            "[-+]?[0-9]{1,20}\\.?[0-9]{0,20}[eE][-+]?[0-9]{1,3}",
            any::<f32>().prop_filter("a number", |value| value.is_finite()).prop_map(|value| value.to_string()),
            any::<f64>().prop_filter("a number", |value| value.is_finite()).prop_map(|value| format!("{value:e}")),
            // Just between two singles, and a little beside.
            (any::<u32>(), -3_i32..=3).prop_map(|(bits, beside)| {
                let low = f32::from_bits(bits & 0x7fff_ffff);
                let high = f32::from_bits((bits & 0x7fff_ffff).wrapping_add(1));
                let between = (f64::from(low) + f64::from(high)) / 2.0;
                let between = if between.is_finite() { between } else { 1.0 };
                format!("{:e}", f64::from_bits(between.to_bits().wrapping_add_signed(i64::from(beside))))
            }),
        ],
        comma in any::<bool>(),
    ) {
        let (mark, written) = if comma {
            (DecimalMark::Comma, text.replace('.', ","))
        } else {
            (DecimalMark::Point, text.clone())
        };
        prop_assume!(text.bytes().filter(u8::is_ascii_digit).count() <= 60);
        let (double, single): (f64, f32) = (text.parse().unwrap(), text.parse().unwrap());
        prop_assert_eq!(number::double(&written, mark).map(f64::to_bits), Some(double.to_bits()), "{}", text);
        prop_assert_eq!(number::single(&written, mark).map(f32::to_bits), Some(single.to_bits()), "{}", text);
    }

    /// What the standard library does not take for a number is none here, but for its words.
    #[test]
    fn what_is_no_number_is_none(text in "[-+0-9.,eE x]{0,12}") {
        let read = number::double(&text, DecimalMark::Point).map(f64::to_bits);
        prop_assert_eq!(read, text.parse::<f64>().ok().map(f64::to_bits));
    }

    /// Whatever the bytes are, they are read or refused.
    #[test]
    fn any_bytes_are_read_or_refused(
        bytes in prop_oneof![
            proptest::collection::vec(any::<u8>(), 0..600),
            "[-0-9;,. \t\"\r\n:a-z/#]{0,400}".prop_map(String::into_bytes),
        ],
        piece in 1_usize..100,
    ) {
        if let Ok(found) = read(&bytes, &Options::default(), piece) {
            for column in found.table.columns() {
                let times = found.table.times(column);
                prop_assert_eq!(times.len(), column.values().len());
                prop_assert!(times.windows(2).all(|pair| pair[0] <= pair[1]), "{:?}", times);
            }
        }
    }
}
