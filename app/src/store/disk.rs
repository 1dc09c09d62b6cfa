//! What is kept in the browser's local storage, through gloo-storage.
//!
//! One entry a car (`laneside.car.3`), so that a broken one harms no other. An entry that
//! cannot be read is moved as it is to a key of its own (`laneside.aside.3`): it is never
//! overwritten, and the person can have it as a file.

use super::Listed;
use gloo_storage::{LocalStorage, Storage};
use laneside_core::car::Car;
use laneside_core::sort::sort_short;
use serde::{Deserialize, Serialize};

const CAR: &str = "laneside.car.";
const ASIDE: &str = "laneside.aside.";
const ORDER: &str = "laneside.order";
const OPEN: &str = "laneside.open";

/// A saved car: its file, and the texts that were not taken.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub(super) struct Record {
    file: String,
    #[serde(default)]
    drafts: Vec<(String, String)>,
}

impl Record {
    pub(super) fn new(car: &Car, drafts: Vec<(String, String)>) -> Option<Self> {
        Some(Self {
            file: car.to_file().ok()?,
            drafts,
        })
    }
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
    let Ok(Some(storage)) = leptos::prelude::window().local_storage() else {
        return Vec::new();
    };
    let count = storage.length().unwrap_or(0);
    (0..count)
        .filter_map(|at| storage.key(at).ok().flatten())
        .filter(|key| key.starts_with(prefix))
        .collect()
}

fn raw(key: &str) -> Option<String> {
    leptos::prelude::window()
        .local_storage()
        .ok()
        .flatten()?
        .get_item(key)
        .ok()
        .flatten()
}

/// Reads what is saved, and sets aside what cannot be read.
pub(super) fn read() -> Disk {
    let Ok(Some(_)) = leptos::prelude::window().local_storage() else {
        return Disk {
            listed: Vec::new(),
            open: None,
            aside: Vec::new(),
            failed: true,
        };
    };
    let mut listed = Vec::new();
    for key in keys(CAR) {
        let id = key[CAR.len()..].parse::<u32>().ok();
        match id.and_then(|id| Some((id, read_car(id)?))) {
            Some((id, (car, _))) => listed.push(Listed { id, name: car.name }),
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
    let Ok(Some(storage)) = leptos::prelude::window().local_storage() else {
        return;
    };
    let mut place = format!("{ASIDE}{}", &key[CAR.len()..]);
    while raw(&place).is_some() {
        place.push('+');
    }
    if storage.set_item(&place, &text).is_ok() && raw(&place).as_deref() == Some(&text) {
        let _ = storage.remove_item(key);
    }
}

pub(super) fn read_record(id: u32) -> Option<Record> {
    LocalStorage::get(format!("{CAR}{id}")).ok()
}

/// A saved car with the texts that were not taken.
pub(super) fn read_car(id: u32) -> Option<(Car, Vec<(String, String)>)> {
    let record = read_record(id)?;
    Some((Car::from_file(&record.file).ok()?, record.drafts))
}

/// The first id from this one on under which nothing is kept, not even something unreadable.
pub(super) fn free_id(from: u32) -> u32 {
    (from..)
        .find(|id| raw(&format!("{CAR}{id}")).is_none())
        .unwrap_or(from)
}

/// Saves a car; `false` where the browser refuses.
pub(super) fn write(id: u32, record: &Record) -> bool {
    LocalStorage::set(format!("{CAR}{id}"), record).is_ok()
}

pub(super) fn write_open(id: u32) {
    let _ = LocalStorage::set(OPEN, id);
}

pub(super) fn write_order(order: &[u32]) {
    let _ = LocalStorage::set(ORDER, order);
}

pub(super) fn forget(id: u32) {
    LocalStorage::delete(format!("{CAR}{id}"));
}

pub(super) fn forget_key(key: &str) {
    LocalStorage::delete(key);
}
