//! Logs made at random, and written in a dialect made at random.

use laneside_core::log::read::{DateOrder, DecimalMark, Delimiter, TimeUnit};
use proptest::prelude::*;
use proptest::sample::select;

/// What a log says, as decimal text with a point.
#[derive(Clone, Debug)]
pub struct Log {
    pub names: Vec<(&'static str, &'static str)>,
    /// Hundredths of a second from the start, rising.
    pub times: Vec<u32>,
    /// By row and column; none is a blank.
    pub values: Vec<Vec<Option<String>>>,
}

/// How it is written.
#[derive(Clone, Debug)]
pub struct Style {
    pub delimiter: Delimiter,
    pub mark: DecimalMark,
    pub encoding: Encoding,
    pub line: &'static str,
    pub quotes: bool,
    pub spaces: bool,
    pub trailing: bool,
    /// Blank cells at the end of a row are left away.
    pub cut: bool,
    pub blank: &'static str,
    pub preamble: Preamble,
    pub units: Units,
    pub time: Time,
    pub long: bool,
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Encoding {
    Utf8 { mark: bool },
    Utf16 { big: bool, mark: bool },
    Latin1,
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Preamble {
    None,
    Pairs,
    Remarks,
    CommentedHeader,
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Units {
    Brackets(&'static str, &'static str),
    EmptyBrackets,
    Row,
    None,
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Time {
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

pub fn log() -> impl Strategy<Value = Log> {
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

pub fn style() -> impl Strategy<Value = Style> {
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

    pub fn head(&self, log: &Log) -> Vec<(String, String)> {
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

    pub fn write(&self, log: &Log) -> Vec<u8> {
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
