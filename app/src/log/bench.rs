//! The work itself, wherever it is done: bytes in, questions and channels out.

use super::told::{Asked, Columns, Pick, Recorded, Told};
use crate::words::log::{channels as channel_words, read as words};
use laneside_core::car::Car;
use laneside_core::log::analysis::analyze;
use laneside_core::log::channels::{Choice, Role, Standing, guess};
use laneside_core::log::passes::Rules;
use laneside_core::log::read::{Options, Question, Read, Reader};
use laneside_core::log::{Known, Recording};
use web_sys::Blob;

/// A file on its way.
#[derive(Default)]
pub struct Bench {
    file: Option<Blob>,
    options: Options,
    known: Choice,
    reader: Option<Reader>,
    question: Option<Question>,
    read: Option<Read>,
}

impl Bench {
    /// Takes a file up. `known` is the choice of columns from last time, as JSON.
    pub fn open(&mut self, file: Blob, known: &str) {
        *self = Self {
            options: Options {
                total_bytes: Some(file.size() as u64),
                ..Options::default()
            },
            file: Some(file),
            // What cannot be read is guessed anew.
            known: serde_json::from_str(known).unwrap_or_default(),
            ..Self::default()
        };
    }

    /// The file.
    pub fn file(&self) -> Option<&Blob> {
        self.file.as_ref()
    }

    /// Takes an answer in; the file is then to be read once more.
    pub fn answer(&mut self, text: &str) {
        let Some(question) = self.question.take() else {
            return;
        };
        let answer = match text
            .parse::<usize>()
            .ok()
            .and_then(|at| question.answers.get(at))
        {
            Some(answer) => Some(*answer),
            None => text
                .parse()
                .ok()
                .map(laneside_core::log::read::Answer::Rate),
        };
        if let Some(answer) = answer {
            self.options.answer(answer);
        }
    }

    /// Starts from the file's beginning.
    pub fn begin(&mut self) {
        self.read = None;
        self.reader = Some(Reader::new(self.options.clone()));
    }

    /// Takes the next bytes; why they are no log, or what has to be asked before the rest is read.
    pub fn push(&mut self, bytes: &[u8]) -> Option<Told> {
        let reader = self.reader.as_mut()?;
        if let Err(error) = reader.feed(bytes) {
            return Some(Told::Failed(words::error(&error)));
        }
        let question = reader.questions().first()?.clone();
        Some(self.ask(question))
    }

    fn ask(&mut self, question: Question) -> Told {
        let answers = question.answers.iter();
        let asked = Asked {
            text: words::question(&question),
            example: words::example(&question),
            options: answers
                .map(|answer| words::answer(&question, answer))
                .collect(),
        };
        self.question = Some(question);
        Told::Question(asked)
    }

    /// The file is at its end: what it leaves open, or what is in it.
    pub fn end(&mut self) -> Told {
        let Some(reader) = self.reader.take() else {
            return Told::unread();
        };
        let read = match reader.finish() {
            Ok(read) => read,
            Err(error) => return Told::Failed(words::error(&error)),
        };
        if let Some(question) = read.questions.first() {
            return self.ask(question.clone());
        }
        let columns = columns(&read, &self.known);
        self.read = Some(read);
        Told::Columns(columns)
    }

    /// Makes the recording of the channels that were confirmed, and looks it through.
    pub fn confirm(&self, picks: &[Option<Pick>], car: &str) -> Told {
        let Some(read) = &self.read else {
            return Told::unread();
        };
        let mut choice = Choice::default();
        for (role, pick) in Role::ALL.into_iter().zip(picks) {
            let unit = pick.and_then(|(_, unit)| role.units().get(unit).copied());
            choice.set(&read.table, role, pick.map(|pick| pick.0).zip(unit));
        }
        match choice.record(read) {
            Ok(recording) => {
                let analysis = looked(&recording, &Rules::default(), car);
                Told::Recording(Box::new(Recorded {
                    recording,
                    choice: serde_json::to_string(&choice).unwrap_or_default(),
                    analysis,
                }))
            }
            Err(error) => Told::Refused(channel_words::error(&error)),
        }
    }
}

/// Looks a recording through by other rules (as JSON), or as another car's log.
pub fn look(recording: &Recording, rules: &str, car: &str) -> Told {
    let rules = serde_json::from_str(rules).unwrap_or_default();
    Told::Looked(looked(recording, &rules, car))
}

/// What is found, as core writes it; without it the page works it out itself.
fn looked(recording: &Recording, rules: &Rules, car: &str) -> String {
    let known = Car::from_file(car).map_or_else(|_| Known::nothing(), |car| Known::of(&car));
    let analysis = analyze(recording, &known, rules);
    analysis.to_text().unwrap_or_default()
}

/// What was read, with the likeliest column of each channel.
fn columns(read: &Read, known: &Choice) -> Columns {
    let table = &read.table;
    let names = table.columns().iter();
    let channels = guess(table, Some(known));
    let pick = |role: Role| {
        let found = channels.role(role)?;
        if found.standing == Standing::Absent {
            return None;
        }
        let first = found.guesses.first()?;
        let unit = role.units().iter().position(|unit| *unit == first.unit)?;
        Some((first.column, unit))
    };
    let doubt = |role: Role| {
        let found = channels.role(role);
        found.map_or_else(String::new, |found| channel_words::doubt(table, found))
    };
    Columns {
        read: words::read(&read.report),
        skipped: words::skipped(&read.report),
        columns: names
            .map(|column| (column.name().to_owned(), channel_words::about(column)))
            .collect(),
        picks: Role::ALL.map(pick).to_vec(),
        doubts: Role::ALL.map(doubt).to_vec(),
    }
}
