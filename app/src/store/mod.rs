//! The cars on this phone: the one that is open, what was typed into it, and what it gives.
//!
//! Data flows one way: typed text -> [`Store::type_into`] -> car -> study -> signals. A text
//! that is not taken stays as a draft beside its error; the car, and so the last good answer,
//! stays as it was.

mod disk;
mod garage;
mod note;
pub mod raw;
mod received;
mod record;
mod save;
mod seen;
pub mod shelf;
mod spare;
mod stay;
mod tabs;
mod told;
mod trial;
mod waiting;

pub use disk::Aside;
pub use garage::Listed;
pub use note::LogNote;
pub use received::{Shown, ShownCar};
pub use save::Safety;
pub use told::Told;

use std::sync::Arc;
use std::time::Duration;

use garage::Deleted;
use laneside_core::car::Car;
use laneside_core::car::entry::{EntryError, Field, pulley, set_measured, shown};
use laneside_core::drive::{Measure, Pulley};
use laneside_core::gates::SpeedGate;
use laneside_core::quantity::parse::ParseError;
use laneside_core::quantity::{InLength, System};
use laneside_core::resolve::{Blank, Unresolved, blanks};
use laneside_core::study::{Study, speeds_on_car};
use leptos::prelude::*;
use trial::Trial;

/// How long after the last key a text that is not taken counts as a mistake.
const TYPING_RESTS: Duration = Duration::from_millis(900);

/// A text as typed, kept while it is typed and for as long as it is not taken.
#[derive(Clone, Debug, PartialEq)]
pub struct Draft {
    /// Into which field.
    pub field: Field,
    /// The text.
    pub text: String,
    /// Why it was not taken.
    pub error: Option<EntryError>,
}

/// What the open car gives.
#[derive(Debug)]
pub struct Answer {
    /// The car that was studied.
    pub car: Car,
    /// Its study, or what is missing for it.
    pub study: Result<Study, Unresolved>,
    /// Its speeds alone, or what is missing even for them.
    pub speeds: Result<Vec<SpeedGate>, Vec<Blank>>,
}

impl Answer {
    /// Studies a car; what an answer on the car as it was still tells is taken from there.
    fn new(car: Car, before: Option<&Self>) -> Self {
        let again = before.and_then(|before| {
            let study = before.study.as_ref().ok()?;
            study.with_other_tried(&before.car, &car)
        });
        let study = again.map_or_else(|| Study::new(&car), Ok);
        let speeds = match &study {
            Ok(study) => Ok(study.on_car.speeds.clone()),
            Err(_) => speeds_on_car(&car),
        };
        Self { car, study, speeds }
    }
}

/// Takes a text into a car. An entry without which there would be no answer any more is not taken
/// out: it is still to be typed, and the last good answer stays until then.
fn take(car: &Car, field: Field, text: &str, measure: Measure) -> Result<Car, EntryError> {
    let changed = set_measured(car, field, text, measure)?;
    let is_lost = text.trim().is_empty() && blanks(car).is_empty() && !blanks(&changed).is_empty();
    if is_lost {
        return Err(ParseError::Empty.into());
    }
    Ok(changed)
}

/// Everything that is saved, as signals.
#[derive(Clone, Copy)]
pub struct Store {
    listed: RwSignal<Vec<Listed>>,
    open: RwSignal<Option<u32>>,
    answer: RwSignal<Option<Arc<Answer>>>,
    drafts: RwSignal<Vec<Draft>>,
    pending: RwSignal<Vec<(Field, Measure)>>,
    typing: RwSignal<Option<Field>>,
    before: StoredValue<Option<Arc<Answer>>>,
    pause: StoredValue<Option<TimeoutHandle>>,
    trial: RwSignal<Option<Trial>>,
    note: RwSignal<LogNote>,
    stepped: StoredValue<Option<(Pulley, Pulley)>>,
    /// The id of the open car, and the one before it, since its entry became another window's.
    went_on: StoredValue<Option<(u32, u32)>>,
    deleted: RwSignal<Option<Deleted>>,
    aside: RwSignal<Vec<Aside>>,
    saving_failed: RwSignal<bool>,
    spare_failed: RwSignal<bool>,
    told: RwSignal<Vec<Told>>,
    stays: RwSignal<Option<bool>>,
    week_told: RwSignal<bool>,
    received: RwSignal<Option<received::Received>>,
    refused: RwSignal<bool>,
    /// Of what came: whether it is written down, once that is known.
    fates: RwSignal<Vec<(u32, bool)>>,
    /// How many cars came from elsewhere since the start.
    arrived: StoredValue<u32>,
}

impl Store {
    /// Reads what is saved on this phone.
    pub fn start() -> Self {
        let disk = disk::read();
        let store = Self {
            listed: RwSignal::new(disk.listed),
            open: RwSignal::new(None),
            answer: RwSignal::new(None),
            drafts: RwSignal::new(Vec::new()),
            pending: RwSignal::new(Vec::new()),
            typing: RwSignal::new(None),
            before: StoredValue::new(None),
            pause: StoredValue::new(None),
            trial: RwSignal::new(None),
            note: RwSignal::new(LogNote::default()),
            stepped: StoredValue::new(None),
            went_on: StoredValue::new(None),
            deleted: RwSignal::new(None),
            aside: RwSignal::new(disk.aside),
            saving_failed: RwSignal::new(disk.failed),
            spare_failed: RwSignal::new(false),
            told: RwSignal::new(disk.told),
            stays: RwSignal::new(None),
            week_told: RwSignal::new(true),
            received: RwSignal::new(None),
            refused: RwSignal::new(false),
            fates: RwSignal::new(Vec::new()),
            arrived: StoredValue::new(0),
        };
        store.look_at_spares(disk.recovered);
        if let Some(id) = disk.open {
            store.open_car(id);
        }
        store.follow_tabs();
        store.look_whether_it_stays();
        store
    }

    /// What the open car gives, tracked; `None` while no car is open.
    pub fn answer(self) -> Option<Arc<Answer>> {
        self.answer.get()
    }

    /// Reads something off the open car, tracked.
    pub fn with_car<T>(self, read: impl FnOnce(&Car) -> T) -> Option<T> {
        self.answer
            .with(|answer| answer.as_ref().map(|answer| read(&answer.car)))
    }

    /// The units of the open car, tracked; metric while none is open.
    pub fn units(self) -> System {
        self.with_car(|car| car.units).unwrap_or(System::Metric)
    }

    /// What was typed last into a field and still stands there as typed, tracked; may be empty.
    pub fn typed(self, field: Field) -> Option<String> {
        self.drafts.with(|drafts| {
            drafts
                .iter()
                .find(|draft| draft.field == field)
                .map(|draft| draft.text.clone())
        })
    }

    /// What stands in a field: what was typed, else what the car holds, in its units.
    pub fn text(self, field: Field) -> String {
        self.typed(field).unwrap_or_else(|| self.entered(field))
    }

    /// What was taken of a field, as it is shown, tracked.
    pub fn entered(self, field: Field) -> String {
        self.with_car(|car| shown(car, field)).unwrap_or_default()
    }

    /// Why the text of a field was not taken, tracked; nothing while it is still being typed.
    pub fn error(self, field: Field) -> Option<EntryError> {
        if self.typing.get() == Some(field) {
            return None;
        }
        self.drafts.with(|drafts| {
            drafts
                .iter()
                .find(|draft| draft.field == field)
                .and_then(|draft| draft.error.clone())
        })
    }

    /// The first text that was not taken: the answers are from before it. One that is still being
    /// typed is passed over, and so is one that no answer rests on.
    pub fn first_fault(self) -> Option<Draft> {
        let typing = self.typing.get();
        self.drafts.with(|drafts| {
            drafts
                .iter()
                .filter(|draft| !draft.field.is_of_job())
                .find(|draft| draft.error.is_some() && Some(draft.field) != typing)
                .cloned()
        })
    }

    /// Whether the text of a field was not taken, even if it is still being typed; tracked.
    pub fn is_refused(self, field: Field) -> bool {
        self.drafts.with(|drafts| {
            drafts
                .iter()
                .any(|draft| draft.field == field && draft.error.is_some())
        })
    }

    /// Takes whatever is being typed as typed to its end.
    pub fn end_typing(self) {
        self.keep_typing(None);
    }

    /// Notes what is being typed, until it rests for a moment.
    fn keep_typing(self, field: Option<Field>) {
        if let Some(Some(pause)) = self.pause.try_update_value(Option::take) {
            pause.clear();
        }
        if self.typing.get_untracked() != field {
            self.before.set_value(self.answer.get_untracked());
            self.typing.set(field);
        }
        if field.is_some() {
            let pause = set_timeout_with_handle(move || self.keep_typing(None), TYPING_RESTS);
            self.pause.set_value(pause.ok());
        }
    }

    /// Takes a typed text: into the car if it can be, beside its error if not. The beginning of a text
    /// that is not taken in the end ("9,000" of "90,000") was never meant: what stood before it stays.
    pub fn type_into(self, field: Field, text: String) {
        if self.refuses() {
            return;
        }
        // The first digits of a number are no mistake yet.
        self.keep_typing(Some(field));
        let Some(answer) = self.answer.get_untracked() else {
            return;
        };
        let measure = self.measure_untracked(field);
        let (car, error) = match take(&answer.car, field, &text, measure) {
            Ok(car) => (Some(car), None),
            Err(error) => (None, Some(error)),
        };
        self.drafts.update(|drafts| {
            // Of the other texts only those that were not taken are still needed as typed.
            drafts.retain(|draft| draft.field != field && draft.error.is_some());
            drafts.push(Draft { field, text, error });
        });
        let before = self.before.get_value();
        let car = car.or_else(|| {
            let before = &before?.car;
            (*before != answer.car).then(|| before.clone())
        });
        match car {
            Some(car) => self.put(car),
            None => self.save(),
        }
    }

    /// How a pulley's size is measured, tracked.
    pub fn measure(self, field: Field) -> Measure {
        let pending = self.pending.with(|pending| {
            pending
                .iter()
                .find(|(of, _)| *of == field)
                .map(|(_, measure)| *measure)
        });
        pending.unwrap_or_else(|| {
            self.with_car(|car| pulley(car, field))
                .flatten()
                .map_or(Measure::default(), |pulley| pulley.measure)
        })
    }

    fn measure_untracked(self, field: Field) -> Measure {
        untrack(|| self.measure(field))
    }

    /// Says how a pulley's size is measured: the number stays, its meaning changes.
    pub fn set_measure(self, field: Field, measure: Measure) {
        if self.refuses() {
            return;
        }
        self.pending.update(|pending| {
            pending.retain(|(of, _)| *of != field);
            pending.push((field, measure));
        });
        let is_typed = self
            .drafts
            .with_untracked(|drafts| drafts.iter().any(|draft| draft.field == field));
        let answer = self.answer.get_untracked();
        let size = answer.and_then(|answer| {
            // In full: as shown it is rounded.
            let mm = pulley(&answer.car, field)?.size.mm();
            take(&answer.car, field, &format!("{mm:.6} mm"), measure).ok()
        });
        match size.filter(|_| !is_typed) {
            Some(car) => self.put(car),
            None => {
                let text = untrack(|| self.text(field));
                if text.trim().is_empty() {
                    self.save();
                } else {
                    self.type_into(field, text);
                    self.end_typing();
                }
            }
        }
    }

    /// Changes the car by a tap rather than by typing. The fields named lose what was typed
    /// into them, and every text that was taken is shown anew as the car has it; a change that does
    /// not hold is not made.
    pub fn change(self, replaced: &[Field], change: impl FnOnce(&mut Car)) {
        self.end_typing();
        let Some(car) = self.changed(change) else {
            return;
        };
        self.drafts.update(|drafts| {
            drafts.retain(|draft| draft.error.is_some() && !replaced.contains(&draft.field));
        });
        self.pending
            .update(|pending| pending.retain(|(field, _)| !replaced.contains(field)));
        self.put(car);
    }

    /// Changes what goes with a text while that is still being typed: it stays as typed.
    pub fn change_along(self, change: impl FnOnce(&mut Car)) {
        if let Some(car) = self.changed(change) {
            self.put(car);
        }
    }

    fn changed(self, change: impl FnOnce(&mut Car)) -> Option<Car> {
        if self.refuses() {
            return None;
        }
        let mut car = self.answer.get_untracked()?.car.clone();
        change(&mut car);
        car.check().is_ok().then_some(car)
    }

    /// Puts a size that was stepped to on the car.
    pub fn step_fitted(self, pulley: Pulley) {
        let now = self.answer.get_untracked();
        if let Some(now) = now.and_then(|answer| answer.car.drive.fitted) {
            self.stepped.set_value(Some((self.own_fitted(now), pulley)));
        }
        self.change(&[Field::Fitted, Field::FittedRating], |car| {
            car.drive.fitted = Some(pulley);
        });
    }

    /// The pulley on the car as it was entered, if what is on it now was only stepped to.
    pub fn own_fitted(self, now: Pulley) -> Pulley {
        match self.stepped.get_value() {
            Some((own, stepped)) if stepped == now => own,
            _ => now,
        }
    }

    /// Makes the suggested pulley to try the person's own choice.
    pub fn take_suggestion(self) {
        let Some(answer) = self.answer.get_untracked() else {
            return;
        };
        let tried = answer
            .study
            .as_ref()
            .ok()
            .and_then(|study| study.tried.as_ref());
        if let Some(tried) = tried.filter(|tried| tried.suggested) {
            self.change(&[], |car| car.drive.tried = Some(tried.pulley));
        }
    }

    /// Removes one entry of a list: texts typed into later entries move up with them.
    pub fn remove_listed(
        self,
        moved: impl Fn(Field) -> Option<Field>,
        change: impl FnOnce(&mut Car),
    ) {
        self.drafts.update(|drafts| {
            *drafts = drafts
                .drain(..)
                .filter_map(|draft| {
                    Some(Draft {
                        field: moved(draft.field)?,
                        ..draft
                    })
                })
                .collect();
        });
        self.pending.update(|pending| {
            *pending = pending
                .drain(..)
                .filter_map(|(field, measure)| Some((moved(field)?, measure)))
                .collect();
        });
        self.change(&[], change);
    }

    /// Shows the car in other units; texts that were taken are shown anew in them.
    pub fn set_units(self, units: System) {
        if untrack(|| self.is_locked()) {
            self.look_in(units);
            return;
        }
        self.drafts
            .update(|drafts| drafts.retain(|draft| draft.error.is_some()));
        self.change(&[], |car| car.units = units);
    }

    /// Makes a changed car the open one: studies it, tries what was not taken before once more, saves.
    fn put(self, mut car: Car) {
        self.drafts.update(|drafts| {
            for draft in drafts.iter_mut().filter(|draft| draft.error.is_some()) {
                let measure = self.measure_untracked(draft.field);
                match take(&car, draft.field, &draft.text, measure) {
                    Ok(better) => {
                        car = better;
                        draft.error = None;
                    }
                    Err(error) => draft.error = Some(error),
                }
            }
        });
        let before = self.answer.get_untracked();
        self.answer
            .set(Some(Arc::new(Answer::new(car, before.as_deref()))));
        self.save();
    }
}
