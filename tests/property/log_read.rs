//! Logs written in every dialect read back equal, or ask, and read back equal once the truth is answered.

use laneside_core::log::read::{
    About, Answer, DateOrder, DecimalMark, Delimiter, Layout, Options, Question, Read, ReadError,
    Reader, Repeats, Sessions, TimeColumn, TimeUnit, number,
};
use proptest::prelude::*;
use proptest::sample::select;

/// What a log says, as decimal text with a point.
#[derive(Clone, Debug)]
struct Log {
    names: Vec<(&'static str, &'static str)>,
    /// Hundredths of a second from the start, rising.
    times: Vec<u32>,
    /// By row and column; none is a blank.
    values: Vec<Vec<Option<String>>>,
}

/// How it is written.
#[derive(Clone, Debug)]
struct Style {
    delimiter: Delimiter,
    mark: DecimalMark,
    encoding: Encoding,
    line: &'static str,
    quotes: bool,
    spaces: bool,
    trailing: bool,
    /// Blank cells at the end of a row are left away.
    cut: bool,
    blank: &'static str,
    preamble: Preamble,
    units: Units,
    time: Time,
    long: bool,
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Encoding {
    Utf8 { mark: bool },
    Utf16 { big: bool, mark: bool },
    Latin1,
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Preamble {
    None,
    Pairs,
    Remarks,
    CommentedHeader,
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Units {
    Brackets(&'static str, &'static str),
    EmptyBrackets,
    Row,
    None,
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Time {
    Number(TimeUnit),
    Clock,
    Date(DateOrder),
    Absent,
}

const NAMES: [(&str, &str); 7] = [
    ("Engine speed", "1/min"),
    ("Battery", "V"),
    ("Régime; arbre", "rpm"),
    ("Throttle", "%"),
    ("Coolant", "°C"),
    ("Alternator current", "A"),
    ("Oil, pressure", "bar"),
];

fn value() -> impl Strategy<Value = Option<String>> {
    let decimal = (any::<bool>(), 0_u32..40_000, 0_usize..5, any::<u32>()).prop_map(
        |(negative, whole, decimals, part)| {
            let sign = if negative { "-" } else { "" };
            if decimals == 0 {
                return format!("{sign}{whole}");
            }
            let part = part % 10_u32.pow(u32::try_from(decimals).unwrap());
            format!("{sign}{whole}.{part:0decimals$}")
        },
    );
    // Half of the values as volts are.
    prop_oneof![
        6 => decimal.prop_map(Some),
        6 => (900_u32..1_600).prop_map(|volts| Some(format!("{}.{:02}", volts / 100, volts % 100))),
        1 => Just(Some("1.5e3".to_owned())),
        2 => Just(None),
    ]
}

fn log() -> impl Strategy<Value = Log> {
    (1_usize..=NAMES.len(), 3_usize..40, 1_u32..500).prop_flat_map(|(columns, rows, start)| {
        let row = proptest::collection::vec(value(), columns);
        (
            proptest::collection::vec(row, rows),
            proptest::collection::vec(1_u32..20, rows),
        )
            .prop_map(move |(values, steps)| {
                let mut time = start;
                let times = steps.iter().map(|step| {
                    time += step;
                    time
                });
                Log {
                    names: NAMES[..columns].to_vec(),
                    times: times.collect(),
                    values,
                }
            })
    })
}

fn style() -> impl Strategy<Value = Style> {
    let encoding = prop_oneof![
        any::<bool>().prop_map(|mark| Encoding::Utf8 { mark }),
        (any::<bool>(), any::<bool>()).prop_map(|(big, mark)| Encoding::Utf16 { big, mark }),
        Just(Encoding::Latin1),
    ];
    let units = select(vec![
        Units::Brackets("[", "]"),
        Units::Brackets("(", ")"),
        Units::Brackets("{", "}"),
        Units::Brackets("<", ">"),
        Units::EmptyBrackets,
        Units::Row,
        Units::None,
    ]);
    let time = select(vec![
        Time::Number(TimeUnit::Seconds),
        Time::Number(TimeUnit::Milliseconds),
        Time::Number(TimeUnit::Microseconds),
        Time::Clock,
        Time::Date(DateOrder::YearMonthDay),
        Time::Date(DateOrder::DayMonthYear),
        Time::Date(DateOrder::MonthDayYear),
        Time::Absent,
    ]);
    let preamble = select(vec![
        Preamble::None,
        Preamble::Pairs,
        Preamble::Remarks,
        Preamble::CommentedHeader,
    ]);
    (
        select(Delimiter::ALL.to_vec()),
        select(vec![DecimalMark::Point, DecimalMark::Comma]),
        encoding,
        select(vec!["\n", "\r\n", "\r"]),
        (
            any::<bool>(),
            any::<bool>(),
            any::<bool>(),
            any::<bool>(),
            any::<bool>(),
        ),
        select(vec!["", "NaN", "-", "n/a"]),
        (preamble, units, time),
    )
        .prop_map(
            |(
                delimiter,
                mark,
                encoding,
                line,
                (quotes, spaces, trailing, cut, long),
                blank,
                (preamble, units, time),
            )| Style {
                delimiter,
                mark,
                encoding,
                line,
                // Else nobody could read it.
                quotes: quotes || (delimiter == Delimiter::Comma && mark == DecimalMark::Comma),
                spaces,
                trailing,
                cut,
                blank,
                preamble,
                units,
                time,
                long: long && time != Time::Absent,
            },
        )
}

impl Style {
    fn cell(&self, text: &str) -> String {
        let special = text.contains(char::from(self.delimiter.byte()));
        let text = if self.quotes || special {
            format!("\"{text}\"")
        } else {
            text.to_owned()
        };
        if self.spaces {
            format!(" {text} ")
        } else {
            text
        }
    }

    fn row(&self, cells: &[String], into: &mut String) {
        let delimiter = char::from(self.delimiter.byte());
        let cells: Vec<String> = cells.iter().map(|cell| self.cell(cell)).collect();
        *into += &cells.join(&delimiter.to_string());
        if self.trailing {
            into.push(delimiter);
        }
        *into += self.line;
    }

    fn number(&self, text: &str) -> String {
        text.replace('.', &char::from(self.mark.byte()).to_string())
    }

    fn time(&self, hundredths: u32, row: usize) -> Option<String> {
        let _ = row;
        let (seconds, part) = (hundredths / 100, hundredths % 100);
        let mark = char::from(self.mark.byte());
        let clock = format!(
            "{:02}:{:02}:{:02}{mark}{part:02}",
            12 + seconds / 3_600,
            seconds / 60 % 60,
            seconds % 60
        );
        Some(match self.time {
            Time::Number(TimeUnit::Milliseconds) => format!("{}", hundredths * 10),
            Time::Number(TimeUnit::Microseconds) => format!("{}", u64::from(hundredths) * 10_000),
            Time::Number(_) => format!("{seconds}{mark}{part:02}"),
            Time::Clock => clock,
            Time::Date(DateOrder::YearMonthDay) => format!("2024-05-13T{clock}"),
            Time::Date(DateOrder::DayMonthYear) => format!("13.05.2024 {clock}"),
            Time::Date(DateOrder::MonthDayYear) => format!("05/13/2024 {clock}"),
            Time::Absent => return None,
        })
    }

    fn head(&self, log: &Log) -> Vec<(String, String)> {
        let mut head = vec![];
        if self.time != Time::Absent {
            let unit = match self.time {
                Time::Number(TimeUnit::Milliseconds) => "ms",
                Time::Number(TimeUnit::Microseconds) => "us",
                Time::Number(_) => "s",
                _ => "",
            };
            head.push(("Time".to_owned(), unit.to_owned()));
        }
        if self.long {
            head.extend(["Name", "Value", "Unit"].map(|name| (name.to_owned(), String::new())));
        } else {
            head.extend(
                log.names
                    .iter()
                    .map(|(name, unit)| ((*name).to_owned(), (*unit).to_owned())),
            );
        }
        head
    }

    fn write(&self, log: &Log) -> Vec<u8> {
        let mut text = String::new();
        match self.preamble {
            Preamble::None | Preamble::CommentedHeader => {}
            Preamble::Pairs => {
                for pair in [
                    ["Session", "Friday"],
                    ["Samples a second", "100"],
                    ["Note", "second run"],
                ] {
                    text += &pair.join(&char::from(self.delimiter.byte()).to_string());
                    text += self.line;
                }
                text += self.line;
            }
            Preamble::Remarks => {
                text += &format!("# made at random{}# 1,2;3{}", self.line, self.line);
            }
        }
        if self.preamble == Preamble::CommentedHeader {
            text += "# ";
        }
        let head = self.head(log);
        let names = head.iter().map(|(name, unit)| match self.units {
            Units::Brackets(open, close) if !unit.is_empty() => {
                format!("{name} {open}{unit}{close}")
            }
            Units::EmptyBrackets => format!("{name} []"),
            _ => name.clone(),
        });
        self.row(&names.collect::<Vec<_>>(), &mut text);
        if self.units == Units::Row && !self.long {
            if self.preamble == Preamble::CommentedHeader {
                text += "# ";
            }
            self.row(
                &head
                    .iter()
                    .map(|(_, unit)| unit.clone())
                    .collect::<Vec<_>>(),
                &mut text,
            );
        }
        for (row, (time, values)) in log.times.iter().zip(&log.values).enumerate() {
            let mut cells: Vec<String> = self.time(*time, row).into_iter().collect();
            if self.long {
                for ((name, unit), value) in log.names.iter().zip(values) {
                    if let Some(value) = value {
                        let sample = [
                            cells[0].clone(),
                            (*name).to_owned(),
                            self.number(value),
                            (*unit).to_owned(),
                        ];
                        self.row(&sample, &mut text);
                    }
                }
                continue;
            }
            let blank = || self.blank.to_owned();
            cells.extend(values.iter().map(|value| {
                value
                    .as_ref()
                    .map_or_else(blank, |value| self.number(value))
            }));
            if self.cut && values.iter().any(Option::is_some) {
                let last = values.iter().rposition(Option::is_some).unwrap();
                // A cell alone may be one of another delimiter, and is left out and reported.
                cells.truncate((cells.len() - values.len() + last + 1).max(2));
            }
            self.row(&cells, &mut text);
        }
        match self.encoding {
            Encoding::Utf8 { mark } => {
                let mark = if mark { "\u{feff}" } else { "" };
                format!("{mark}{text}").into_bytes()
            }
            Encoding::Utf16 { big, mark } => {
                let units = mark
                    .then_some(0xfeff)
                    .into_iter()
                    .chain(text.encode_utf16());
                units
                    .flat_map(|unit: u16| {
                        if big {
                            unit.to_be_bytes()
                        } else {
                            unit.to_le_bytes()
                        }
                    })
                    .collect()
            }
            Encoding::Latin1 => text.chars().map(|c| u8::try_from(c).unwrap()).collect(),
        }
    }
}

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
