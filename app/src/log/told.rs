//! What page and worker say to each other: a list whose first item is the kind.
//!
//! The worker makes the sentences, with the same catalog as the page: no type of the core has to be written and
//! read again, and what it found crosses as plain lists and numbers.

use crate::parts::field::Fault;
use crate::words::log as words;
use js_sys::{Array, Float32Array, Float64Array};
use laneside_core::log::{Recording, Signal};
use std::sync::Arc;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::Blob;

/// What the page asks.
pub enum Ask {
    /// Read this file. The columns confirmed last time are known.
    Read(Blob, String),
    /// The answer to the question: the place of one of its options, or a number.
    Answer(String),
    /// The channels are these; the log is then looked through as this car's, given as its file.
    Confirm(Vec<Option<Pick>>, String),
    /// Look this recording through once more: by these rules, as JSON, as the log of this car, given as its file.
    Look(Arc<Recording>, String, String),
}

/// A column for a channel: the place of the column, and of the unit among those of the channel.
pub type Pick = (usize, usize);

/// What is asked back: one of the options, or a number where there is none.
#[derive(Clone, Debug, PartialEq)]
pub struct Asked {
    /// The question.
    pub text: String,
    /// Where it shows in the file.
    pub example: String,
    /// The answers.
    pub options: Vec<String>,
}

/// What was read, before the channels are confirmed.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Columns {
    /// How much was read.
    pub read: String,
    /// What was passed over.
    pub skipped: Vec<String>,
    /// Of each column of the file its name and what is in it.
    pub columns: Vec<(String, String)>,
    /// Of each channel what it is likely to be.
    pub picks: Vec<Option<Pick>>,
    /// Of each channel, why it is asked for; empty where there is no doubt.
    pub doubts: Vec<String>,
}

/// A log with its channels confirmed.
pub struct Recorded {
    /// The channels, over time.
    pub recording: Recording,
    /// The choice of columns, to be remembered.
    pub choice: String,
    /// What it was found to hold, as core writes it.
    pub analysis: String,
}

/// What the worker tells.
pub enum Told {
    /// It listens.
    Ready,
    /// This part of the file is read, from 0 to 1.
    Progress(f64),
    /// Something is left open.
    Question(Asked),
    /// All is read.
    Columns(Columns),
    /// The channels over time.
    Recording(Box<Recorded>),
    /// What a recording was found to hold, as core writes it.
    Looked(String),
    /// The channels cannot be these.
    Refused(Fault),
    /// It is no log, or could not be read.
    Failed(Fault),
}

impl Told {
    /// That the browser could not read the file.
    pub fn unread() -> Self {
        Self::Failed(words::unread())
    }
}

const KINDS: [&str; 8] = [
    "ready", "part", "ask", "columns", "log", "refused", "looked", "failed",
];

fn list(items: impl IntoIterator<Item = JsValue>) -> JsValue {
    items.into_iter().collect::<Array>().into()
}

fn texts(texts: &[String]) -> JsValue {
    list(texts.iter().map(|text| text.as_str().into()))
}

/// Two numbers for each channel, null where there is none.
fn picks(picks: &[Option<Pick>]) -> JsValue {
    let number = |place: usize| JsValue::from_f64(place as f64);
    let pair = |pick: &Option<Pick>| match pick {
        Some((column, unit)) => [number(*column), number(*unit)],
        None => [JsValue::NULL, JsValue::NULL],
    };
    list(picks.iter().flat_map(pair))
}

fn items(value: &JsValue) -> Array {
    value.dyn_ref::<Array>().cloned().unwrap_or_default()
}

fn text(value: &JsValue) -> String {
    value.as_string().unwrap_or_default()
}

fn read_texts(value: &JsValue) -> Vec<String> {
    items(value).iter().map(|item| text(&item)).collect()
}

fn read_picks(value: &JsValue) -> Vec<Option<Pick>> {
    let numbers = items(value);
    let place = |at: u32| numbers.get(at).as_f64().map(|number| number as usize);
    (0..numbers.length() / 2)
        .map(|at| place(2 * at).zip(place(2 * at + 1)))
        .collect()
}

impl Ask {
    /// As a message.
    pub fn to_js(&self) -> JsValue {
        match self {
            Self::Read(file, known) => {
                list(["read".into(), file.clone().into(), known.as_str().into()])
            }
            Self::Answer(answer) => list(["answer".into(), answer.as_str().into()]),
            Self::Confirm(all, car) => list(["confirm".into(), picks(all), car.as_str().into()]),
            Self::Look(recording, rules, car) => {
                let head = ["look", rules.as_str(), car.as_str()];
                recording_to_js(head, recording, &Array::new())
            }
        }
    }

    /// From a message.
    pub fn from_js(message: &JsValue) -> Option<Self> {
        let message = items(message);
        let what = message.get(1);
        match text(&message.get(0)).as_str() {
            "read" => Some(Self::Read(what.dyn_into().ok()?, text(&message.get(2)))),
            "answer" => Some(Self::Answer(text(&what))),
            "confirm" => Some(Self::Confirm(read_picks(&what), text(&message.get(2)))),
            "look" => Some(Self::Look(
                Arc::new(recording_from_js(&message)?),
                text(&what),
                text(&message.get(2)),
            )),
            _ => None,
        }
    }
}

impl Told {
    /// As a message; what is moved rather than copied goes into `moved`.
    pub fn to_js(&self, moved: &Array) -> JsValue {
        let kind = |kind: usize| JsValue::from_str(KINDS[kind]);
        match self {
            Self::Ready => list([kind(0)]),
            Self::Progress(part) => list([kind(1), (*part).into()]),
            Self::Question(asked) => list([
                kind(2),
                asked.text.as_str().into(),
                asked.example.as_str().into(),
                texts(&asked.options),
            ]),
            Self::Columns(columns) => {
                let (names, abouts): (Vec<_>, Vec<_>) = columns.columns.iter().cloned().unzip();
                list([
                    kind(3),
                    columns.read.as_str().into(),
                    texts(&columns.skipped),
                    texts(&names),
                    texts(&abouts),
                    picks(&columns.picks),
                    texts(&columns.doubts),
                ])
            }
            Self::Recording(recorded) => {
                let head = [
                    KINDS[4],
                    recorded.choice.as_str(),
                    recorded.analysis.as_str(),
                ];
                recording_to_js(head, &recorded.recording, moved)
            }
            Self::Refused(fault) => fault_to_js(kind(5), fault),
            Self::Looked(analysis) => list([kind(6), analysis.as_str().into()]),
            Self::Failed(fault) => fault_to_js(kind(7), fault),
        }
    }

    /// From a message.
    pub fn from_js(message: &JsValue) -> Option<Self> {
        let message = items(message);
        let at = |place: u32| message.get(place);
        let kind = text(&at(0));
        Some(match KINDS.iter().position(|known| *known == kind)? {
            0 => Self::Ready,
            1 => Self::Progress(at(1).as_f64()?),
            2 => Self::Question(Asked {
                text: text(&at(1)),
                example: text(&at(2)),
                options: read_texts(&at(3)),
            }),
            3 => {
                let names = read_texts(&at(3)).into_iter();
                Self::Columns(Columns {
                    read: text(&at(1)),
                    skipped: read_texts(&at(2)),
                    columns: names.zip(read_texts(&at(4))).collect(),
                    picks: read_picks(&at(5)),
                    doubts: read_texts(&at(6)),
                })
            }
            4 => Self::Recording(Box::new(Recorded {
                recording: recording_from_js(&message)?,
                choice: text(&at(1)),
                analysis: text(&at(2)),
            })),
            5 => Self::Refused(fault_from_js(&message)),
            6 => Self::Looked(text(&at(1))),
            _ => Self::Failed(fault_from_js(&message)),
        })
    }
}

fn fault_to_js(kind: JsValue, fault: &Fault) -> JsValue {
    let words = [&fault.found, &fault.needed];
    list(
        [kind]
            .into_iter()
            .chain(words.map(|text| text.as_str().into())),
    )
}

fn fault_from_js(message: &Array) -> Fault {
    Fault {
        found: text(&message.get(1)),
        needed: text(&message.get(2)),
    }
}

/// The channels in the order of their roles.
fn signals(recording: &Recording) -> [Option<&Signal>; 8] {
    [
        Some(&recording.rpm),
        Some(&recording.volts),
        recording.alternator_amps.as_ref(),
        recording.battery_amps.as_ref(),
        recording.throttle.as_ref(),
        recording.speed.as_ref(),
        recording.alternator_rpm.as_ref(),
        recording.celsius.as_ref(),
    ]
}

/// A recording after three texts. Times that several channels share cross once.
fn recording_to_js(head: [&str; 3], recording: &Recording, moved: &Array) -> JsValue {
    let message: Array = head.into_iter().map(JsValue::from_str).collect();
    let first = recording.rpm.time();
    for (place, signal) in signals(recording).into_iter().enumerate() {
        let (mut time, mut values) = (JsValue::NULL, JsValue::NULL);
        if let Some(signal) = signal {
            if place == 0 || signal.time() != first {
                let own = Float64Array::from(signal.time());
                moved.push(&own.buffer());
                time = own.into();
            }
            let own = Float32Array::from(signal.values());
            moved.push(&own.buffer());
            values = own.into();
        }
        message.push(&time);
        message.push(&values);
    }
    message.into()
}

fn recording_from_js(message: &Array) -> Option<Recording> {
    let first = message.get(3).dyn_into::<Float64Array>().ok()?.to_vec();
    let signal = |place: u32| -> Option<Signal> {
        let values = message.get(2 * place + 4).dyn_into::<Float32Array>().ok()?;
        let time = match message.get(2 * place + 3).dyn_into::<Float64Array>() {
            Ok(time) => time.to_vec(),
            Err(_) => first.clone(),
        };
        Signal::new(time, values.to_vec()).ok()
    };
    Some(Recording {
        rpm: signal(0)?,
        volts: signal(1)?,
        alternator_amps: signal(2),
        battery_amps: signal(3),
        throttle: signal(4),
        speed: signal(5),
        alternator_rpm: signal(6),
        celsius: signal(7),
    })
}
