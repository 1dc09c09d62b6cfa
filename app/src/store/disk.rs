//! What is kept in the browser's local storage, through gloo-storage.
//!
//! One entry a car (`laneside.car.3`), so that a broken one harms no other. An entry that
//! cannot be read is moved as it is to a key of its own (`laneside.aside.3`): it is never
//! overwritten, and the person can have it as a file.
//!
//! Where the browser refuses, cars live in memory for as long as the app is open. Nothing here asks
//! gloo-storage for a storage that is not there: it would panic.

use super::{Listed, LogNote, Trial};
use crate::browser::{has_storage, storage};
use gloo_storage::{LocalStorage, Storage};
use laneside_core::car::Car;
use laneside_core::car::entry::Field;
use laneside_core::drive::Measure;
use laneside_core::sort::sort_short;
use serde::{Deserialize, Serialize};
use std::cell::RefCell;

const CAR: &str = "laneside.car.";
const ASIDE: &str = "laneside.aside.";
const ORDER: &str = "laneside.order";
const OPEN: &str = "laneside.open";

thread_local! {
    /// What the browser refused to keep.
    static UNSAVED: RefCell<Vec<(u32, Record)>> = const { RefCell::new(Vec::new()) };
}

/// A saved car as it is written.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub(super) struct Record {
    file: String,
    #[serde(default)]
    drafts: Vec<(String, String)>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    measures: Vec<(String, Measure)>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    trial: Option<RecordedTrial>,
    #[serde(default, skip_serializing_if = "LogNote::is_empty")]
    log: LogNote,
}

#[derive(Clone, Debug, Serialize, Deserialize)]
struct RecordedTrial {
    what: String,
    before: String,
    tried: String,
}

/// A saved car with what goes with it.
pub(super) struct Saved {
    pub(super) car: Car,
    /// The texts that were not taken.
    pub(super) drafts: Vec<(Field, String)>,
    /// How pulleys were measured whose size is not taken yet.
    pub(super) measures: Vec<(Field, Measure)>,
    pub(super) trial: Option<Trial>,
    pub(super) note: LogNote,
}

impl Record {
    pub(super) fn new(saved: &Saved) -> Option<Self> {
        let trial = match &saved.trial {
            Some(trial) => Some(RecordedTrial {
                what: trial.what.clone(),
                before: trial.before.to_file().ok()?,
                tried: trial.tried.to_file().ok()?,
            }),
            None => None,
        };
        Some(Self {
            file: saved.car.to_file().ok()?,
            drafts: keyed(&saved.drafts),
            measures: keyed(&saved.measures),
            trial,
            log: saved.note.clone(),
        })
    }

    /// Whose passes are this car's.
    pub(super) fn owner(&self) -> Option<f64> {
        self.log.owner
    }

    fn read(&self) -> Option<Saved> {
        let trial = self.trial.as_ref().and_then(|trial| {
            Some(Trial {
                what: trial.what.clone(),
                before: Car::from_file(&trial.before).ok()?,
                tried: Car::from_file(&trial.tried).ok()?,
            })
        });
        Some(Saved {
            car: Car::from_file(&self.file).ok()?,
            drafts: unkeyed(&self.drafts),
            measures: unkeyed(&self.measures),
            trial,
            note: self.log.clone(),
        })
    }
}

fn keyed<T: Clone>(fields: &[(Field, T)]) -> Vec<(String, T)> {
    let key = |(field, with): &(Field, T)| (field.key(), with.clone());
    fields.iter().map(key).collect()
}

/// Keys that name no field are passed over.
fn unkeyed<T: Clone>(keys: &[(String, T)]) -> Vec<(Field, T)> {
    let field = |(key, with): &(String, T)| Some((Field::from_key(key)?, with.clone()));
    keys.iter().filter_map(field).collect()
}

/// A profile that could not be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Aside {
    /// Where it is kept.
    pub key: String,
    /// What it holds.
    pub text: String,
}

/// What was found at the start.
pub(super) struct Disk {
    pub(super) listed: Vec<Listed>,
    pub(super) open: Option<u32>,
    pub(super) aside: Vec<Aside>,
    /// Whether the browser refuses to keep anything.
    pub(super) failed: bool,
}

fn keys(prefix: &str) -> Vec<String> {
    let Some(storage) = storage() else {
        return Vec::new();
    };
    let count = storage.length().unwrap_or(0);
    (0..count)
        .filter_map(|at| storage.key(at).ok().flatten())
        .filter(|key| key.starts_with(prefix))
        .collect()
}

fn raw(key: &str) -> Option<String> {
    storage()?.get_item(key).ok().flatten()
}

/// Reads what is saved, and sets aside what cannot be read.
pub(super) fn read() -> Disk {
    if !has_storage() {
        return Disk {
            listed: Vec::new(),
            open: None,
            aside: Vec::new(),
            failed: true,
        };
    }
    let mut listed = Vec::new();
    for key in keys(CAR) {
        let id = key[CAR.len()..].parse::<u32>().ok();
        match id.and_then(|id| Some((id, read_car(id)?))) {
            Some((id, Saved { car, .. })) => listed.push(Listed::new(id, &car)),
            None => set_aside(&key),
        }
    }
    // The order is a wish: what it does not name comes last, by age.
    let order: Vec<u32> = LocalStorage::get(ORDER).unwrap_or_default();
    let place = |car: &Listed| {
        let place = order.iter().position(|id| *id == car.id);
        (place.unwrap_or(usize::MAX), car.id)
    };
    sort_short(&mut listed, |a, b| place(a).cmp(&place(b)));
    let open: Option<u32> = LocalStorage::get(OPEN).ok();
    let open = open
        .filter(|id| listed.iter().any(|car| car.id == *id))
        .or(listed.first().map(|car| car.id));
    let aside = keys(ASIDE)
        .into_iter()
        .filter_map(|key| {
            Some(Aside {
                text: raw(&key)?,
                key,
            })
        })
        .collect();
    Disk {
        listed,
        open,
        aside,
        failed: false,
    }
}

/// Moves an entry to a free key of its own; stays where it is unless the copy is safe.
fn set_aside(key: &str) {
    let Some(text) = raw(key) else { return };
    let Some(storage) = storage() else { return };
    let mut place = format!("{ASIDE}{}", &key[CAR.len()..]);
    while raw(&place).is_some() {
        place.push('+');
    }
    if storage.set_item(&place, &text).is_ok() && raw(&place).as_deref() == Some(&text) {
        let _ = storage.remove_item(key);
    }
}

fn key(id: u32) -> String {
    format!("{CAR}{id}")
}

fn unsaved<T>(with: impl FnOnce(&mut Vec<(u32, Record)>) -> T) -> T {
    UNSAVED.with_borrow_mut(with)
}

pub(super) fn read_record(id: u32) -> Option<Record> {
    let unsaved = unsaved(|cars| {
        let mut cars = cars.iter();
        cars.find(|(of, _)| *of == id)
            .map(|(_, record)| record.clone())
    });
    unsaved.or_else(|| {
        has_storage()
            .then(|| LocalStorage::get(key(id)).ok())
            .flatten()
    })
}

/// A saved car with what goes with it.
pub(super) fn read_car(id: u32) -> Option<Saved> {
    read_record(id)?.read()
}

/// Whose passes the saved cars name.
pub(super) fn owners() -> Vec<f64> {
    let ids = keys(CAR);
    let ids = ids.iter().filter_map(|key| key[CAR.len()..].parse().ok());
    let unsaved = unsaved(|cars| {
        cars.iter()
            .filter_map(|(_, car)| car.owner())
            .collect::<Vec<_>>()
    });
    ids.filter_map(|id| read_record(id)?.owner())
        .chain(unsaved)
        .collect()
}

/// The first id from this one on under which nothing is kept, not even something unreadable.
pub(super) fn free_id(from: u32) -> u32 {
    let is_free =
        |id: &u32| raw(&key(*id)).is_none() && unsaved(|cars| cars.iter().all(|(of, _)| of != id));
    (from..).find(is_free).unwrap_or(from)
}

/// Saves a car; `false` where the browser refuses, and it lives in memory alone.
pub(super) fn write(id: u32, record: &Record) -> bool {
    let is_kept = has_storage() && LocalStorage::set(key(id), record).is_ok();
    unsaved(|cars| {
        cars.retain(|(of, _)| *of != id);
        if !is_kept {
            cars.push((id, record.clone()));
        }
    });
    is_kept
}

pub(super) fn write_open(id: u32) {
    if has_storage() {
        let _ = LocalStorage::set(OPEN, id);
    }
}

pub(super) fn write_order(order: &[u32]) {
    if has_storage() {
        let _ = LocalStorage::set(ORDER, order);
    }
}

pub(super) fn forget(id: u32) {
    unsaved(|cars| cars.retain(|(of, _)| *of != id));
    forget_key(&key(id));
}

pub(super) fn forget_key(key: &str) {
    if has_storage() {
        LocalStorage::delete(key);
    }
}
