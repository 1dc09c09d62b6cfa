//! A log on its way from a file to a recording: the worker that reads it, and what the page knows of it.

mod bench;
mod kept;
mod link;
mod look;
mod told;
pub mod worker;

pub use kept::{Entry, Kept};
pub use look::Look;
pub use told::{Asked, Columns, Pick};

use crate::parts::chart::Blocks;
use crate::parts::field::Fault;
use crate::store::{ShownCar, Store};
use laneside_core::car::Car;
use laneside_core::log::{Analysis, Known, Recording};
use leptos::prelude::*;
use link::Link;
use std::sync::Arc;
use told::{Ask, Recorded, Told};
use web_sys::File;

/// How far a log has come.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum Stage {
    /// No log.
    #[default]
    None,
    /// It is being read.
    Reading,
    /// Something is asked.
    Question(Asked),
    /// The channels are to be confirmed.
    Columns(Columns),
    /// It is read.
    Read(Arc<OpenLog>),
    /// It is no log.
    Failed(Fault),
}

/// A log that is read.
#[derive(Debug)]
pub struct OpenLog {
    /// The file's name.
    pub name: String,
    /// Its channels.
    pub recording: Arc<Recording>,
    /// For drawing the voltage.
    pub volts: Blocks,
    /// For drawing the engine speed.
    pub rpm: Blocks,
    /// What was found in it, and what was known of the car then.
    pub analysis: Option<(Known, Arc<Analysis>)>,
    /// How much was read, and what was passed over.
    pub report: (String, Vec<String>),
}

impl PartialEq for OpenLog {
    // Each is read once: the same numbers from another reading are another log.
    fn eq(&self, other: &Self) -> bool {
        std::ptr::eq(self, other)
    }
}

/// The log that is open, kept while other pages are looked at.
#[derive(Clone, Copy)]
pub struct Logs {
    /// How far it has come.
    stage: RwSignal<Stage>,
    /// How much of the file is read, from 0 to 1.
    pub part: RwSignal<f64>,
    /// Why the channels cannot be what was picked.
    pub refused: RwSignal<Option<Fault>>,
    /// Whether the log is being looked through.
    pub working: RwSignal<bool>,
    /// Name and size of the file.
    pub file: RwSignal<(String, f64)>,
    /// The passes kept with the open car.
    pub kept: Kept,
    /// The four readings typed instead of a log: of each moment voltage and rpm.
    pub readings: RwSignal<[[String; 2]; 4]>,
    /// Whether they are being typed.
    pub by_hand: RwSignal<bool>,
    link: StoredValue<Option<Link>, LocalStorage>,
    report: StoredValue<(String, Vec<String>)>,
    known: StoredValue<Option<Known>>,
    store: Store,
    /// The car whose log it is.
    car: RwSignal<ShownCar>,
}

impl Logs {
    /// No log yet.
    pub fn new(store: Store) -> Self {
        let logs = Self {
            stage: RwSignal::new(Stage::None),
            part: RwSignal::new(0.0),
            refused: RwSignal::new(None),
            working: RwSignal::new(false),
            file: RwSignal::new((String::new(), 0.0)),
            kept: Kept::start(store),
            readings: RwSignal::new(Default::default()),
            by_hand: RwSignal::new(false),
            link: StoredValue::new_local(None),
            report: StoredValue::new((String::new(), Vec::new())),
            known: StoredValue::new(None),
            store,
            car: RwSignal::new(ShownCar::None),
        };
        // A car that is gone takes its log along: its id may be another's later.
        Effect::new(move || {
            if !store.is_there(logs.car.get()) {
                logs.close();
                logs.car.set(ShownCar::None);
            }
        });
        logs
    }

    /// Starts to read a file for the open car; what its columns were last time is known.
    pub fn read(self, file: &File) {
        self.close();
        self.car.set(untrack(|| self.store.shown_car()));
        self.file.set((file.name(), file.size()));
        self.part.set(0.0);
        self.stage.set(Stage::Reading);
        let known = untrack(|| self.store.note()).choice;
        let first = Ask::Read(file.clone().into(), known);
        let link = Link::start(first, move |told| self.hear(told));
        self.link.set_value(Some(link));
    }

    /// How far the open car's log has come, tracked.
    pub fn stage(self) -> Stage {
        if self.store.shown_car() == self.car.get() {
            self.stage.get()
        } else {
            Stage::None
        }
    }

    /// Ends the reading, or closes the log.
    pub fn close(self) {
        self.link.set_value(None);
        self.stage.set(Stage::None);
    }

    /// Goes on with an answer: the place of an option, or a number.
    pub fn answer(self, answer: String) {
        self.part.set(0.0);
        self.stage.set(Stage::Reading);
        self.ask(Ask::Answer(answer));
    }

    /// Goes on with the channels.
    pub fn confirm(self, picks: Vec<Option<Pick>>) {
        self.working.set(true);
        let car = untrack(|| self.store.with_car(Car::clone));
        self.known.set_value(car.as_ref().map(Known::of));
        let car = car.and_then(|car| car.to_file().ok());
        self.ask(Ask::Confirm(picks, car.unwrap_or_default()));
    }

    fn ask(self, ask: Ask) {
        self.link.with_value(|link| {
            if let Some(link) = link {
                link.ask(ask);
            }
        });
    }

    fn hear(self, told: Told) {
        match told {
            Told::Ready => {}
            Told::Progress(part) => self.part.set(part),
            Told::Question(asked) => self.stage.set(Stage::Question(asked)),
            Told::Columns(columns) => {
                let report = (columns.read.clone(), columns.skipped.clone());
                self.report.set_value(report);
                self.refused.set(None);
                self.working.set(false);
                self.stage.set(Stage::Columns(columns));
            }
            Told::Recording(recorded) => {
                let Recorded {
                    recording,
                    choice,
                    analysis,
                } = *recorded;
                self.working.set(false);
                if untrack(|| self.store.shown_car() == self.car.get()) {
                    self.store.remember_choice(choice);
                }
                let log = OpenLog {
                    name: self.file.get_untracked().0,
                    volts: Blocks::new(recording.volts.values()),
                    rpm: Blocks::new(recording.rpm.values()),
                    recording: Arc::new(recording),
                    analysis: self
                        .known
                        .get_value()
                        .zip(Analysis::from_text(&analysis).map(Arc::new)),
                    report: self.report.get_value(),
                };
                self.stage.set(Stage::Read(Arc::new(log)));
                // The worker holds the whole file in numbers: it is not needed any more.
                self.link.set_value(None);
            }
            // Asked for by the page of a log that is read, and heard there.
            Told::Looked(_) => {}
            Told::Refused(fault) => {
                self.working.set(false);
                self.refused.set(Some(fault));
            }
            Told::Failed(fault) => {
                self.stage.set(Stage::Failed(fault));
                self.link.set_value(None);
            }
        }
    }
}
