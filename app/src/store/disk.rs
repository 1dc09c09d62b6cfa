//! What is kept in the browser's local storage, through gloo-storage.
//!
//! One entry a car (`laneside.car.3`), so that a broken one harms no other, and beside it the
//! entry of an earlier save (`laneside.good.3`): of before what is being typed, and at the most twenty
//! seconds of changes behind. An entry that cannot be read is moved as it is to a
//! key of its own (`laneside.aside.3`): it is never overwritten, the person can have it as a file,
//! and it comes back once a version can read it.
//!
//! An entry is written only over the text that this window read or wrote last: another text is
//! another window's ([`Written::Elsewhere`]).
//!
//! Where the browser refuses, cars live in memory for as long as the app is open. Nothing here asks
//! gloo-storage for a storage that is not there: it would panic.

use super::record::{Record, Saved, mark_of};
use super::seen::{self, Seen};
use super::{Listed, Told, spare};
use crate::browser::{has_storage, page_ms, storage};
use gloo_storage::{LocalStorage, Storage};
use laneside_core::sort::sort_short;
use std::cell::RefCell;

const CAR: &str = "laneside.car.";
const GOOD: &str = "laneside.good.";
const ASIDE: &str = "laneside.aside.";
const ORDER: &str = "laneside.order";
const OPEN: &str = "laneside.open";
/// Whose passes are a deleted car's that can be had back: another window may not clear them.
const DELETED: &str = "laneside.deleted";

thread_local! {
    /// What the browser refused to keep.
    static UNSAVED: RefCell<Vec<(u32, Record)>> = const { RefCell::new(Vec::new()) };
}

/// The save before is kept anew once an entry has stood for so long: not at every key that is typed, ms ...
const STOOD_MS: f64 = 2_000.0;
/// ... but at least as often as this while changes follow each other, ms.
const LONGEST_MS: f64 = 20_000.0;

/// How writing ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Written {
    /// It is kept.
    Kept,
    /// The browser refuses; the car lives in memory.
    Refused,
    /// Nothing is written: the entry is another window's.
    Elsewhere,
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
    /// The cars that were taken from the save before.
    pub(super) recovered: Vec<u32>,
    /// What of this is to be told.
    pub(super) told: Vec<Told>,
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

/// Reads what is saved; takes what is not whole from the save before, and sets aside what cannot be read.
pub(super) fn read() -> Disk {
    let mut disk = Disk {
        listed: Vec::new(),
        open: None,
        aside: Vec::new(),
        recovered: Vec::new(),
        told: Vec::new(),
        failed: !has_storage(),
    };
    if disk.failed {
        return disk;
    }
    let mut listed = Vec::new();
    let mut list = |id: u32| {
        let Saved { car, .. } = read_car(id)?;
        watch(id);
        listed.push(Listed::new(id, &car));
        Some(car.name)
    };
    for key in keys(ASIDE) {
        // A newer version than the one that set it aside may read it; its key may be another's by now.
        let record = raw(&key)
            .and_then(|text| Record::from_text(&text))
            .filter(|record| record.read().is_some());
        let id = key[ASIDE.len()..].trim_end_matches('+').parse().ok();
        if let (Some(id), Some(record)) = (id, record) {
            let id = free_id(id);
            if put_back(id, &record) == Written::Kept {
                forget_key(&key);
                let told = record.read().map(|saved| Told::Readable(saved.car.name));
                disk.told.extend(told);
            }
        }
    }
    for key in keys(CAR) {
        let id = id_of(&key);
        if id.and_then(&mut list).is_some() {
            continue;
        }
        let is_free = set_aside(&key);
        if let Some(id) = id.filter(|_| is_free)
            && recover(id)
            && let Some(name) = list(id)
        {
            disk.recovered.push(id);
            disk.told.push(Told::Good(name));
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
    // No car has the id 0: it says that none is to be open.
    disk.open = open
        .filter(|id| *id == 0 || listed.iter().any(|car| car.id == *id))
        .or(listed.first().map(|car| car.id))
        .filter(|id| *id != 0);
    let aside = keys(ASIDE).into_iter();
    disk.aside = aside
        .filter_map(|key| {
            Some(Aside {
                text: raw(&key)?,
                key,
            })
        })
        .collect();
    disk.listed = listed;
    disk
}

/// Moves an entry to a free key of its own; stays where it is, and `false`, unless the copy is safe.
fn set_aside(key: &str) -> bool {
    let (Some(text), Some(storage)) = (raw(key), storage()) else {
        return false;
    };
    let mut place = format!("{ASIDE}{}", &key[CAR.len()..]);
    while raw(&place).is_some() {
        place.push('+');
    }
    storage.set_item(&place, &text).is_ok()
        && raw(&place).as_deref() == Some(&text)
        && storage.remove_item(key).is_ok()
}

/// Puts the save before in the place of an entry that is gone.
fn recover(id: u32) -> bool {
    let good = raw(&good_key(id)).and_then(|text| Record::from_text(&text));
    good.is_some_and(|good| good.read().is_some() && put_back(id, &good) == Written::Kept)
}

fn key(id: u32) -> String {
    format!("{CAR}{id}")
}

fn good_key(id: u32) -> String {
    format!("{GOOD}{id}")
}

fn unsaved<T>(with: impl FnOnce(&mut Vec<(u32, Record)>) -> T) -> T {
    UNSAVED.with_borrow_mut(with)
}

/// Which car's entry a key names.
pub(super) fn id_of(key: &str) -> Option<u32> {
    key.strip_prefix(CAR)?.parse().ok()
}

/// Which car's good copy a key names.
pub(super) fn good_id_of(key: &str) -> Option<u32> {
    key.strip_prefix(GOOD)?.parse().ok()
}

/// Whether a key is that of an entry set aside.
pub(super) fn is_aside(key: &str) -> bool {
    key.starts_with(ASIDE)
}

/// The text of a car's entry.
pub(super) fn raw_car(id: u32) -> Option<String> {
    raw(&key(id))
}

/// Whether an entry is not as this window read or wrote it last.
pub(super) fn is_changed(id: u32) -> bool {
    raw_car(id) != seen::of(id).map(|seen| seen.text)
}

/// Reads something off a car that lives in memory alone.
fn of_unsaved<T>(id: u32, read: impl FnOnce(&Record) -> T) -> Option<T> {
    unsaved(|cars| {
        let mut cars = cars.iter();
        cars.find(|(of, _)| *of == id)
            .map(|(_, record)| read(record))
    })
}

/// Lets go of what the browser refused to keep of a car.
pub(super) fn forget_unsaved(id: u32) {
    unsaved(|cars| cars.retain(|(of, _)| *of != id));
}

/// Whether a car lives in memory alone.
pub(super) fn is_unsaved(id: u32) -> bool {
    of_unsaved(id, |_| ()).is_some()
}

/// Whether anything is kept under an id, even something unreadable.
pub(super) fn is_taken(id: u32) -> bool {
    raw_car(id).is_some() || is_unsaved(id)
}

pub(super) fn read_record(id: u32) -> Option<Record> {
    of_unsaved(id, Record::clone).or_else(|| Record::from_text(&raw_car(id)?))
}

/// A saved car with what goes with it.
pub(super) fn read_car(id: u32) -> Option<Saved> {
    read_record(id)?.read()
}

/// Notes the entry of a car as it is now: the next save goes over this text and no other.
pub(super) fn watch(id: u32) {
    // The same text has stood for as long as it has.
    if !is_changed(id) {
        return;
    }
    seen::note(
        id,
        raw_car(id).map(|text| {
            let record = Record::from_text(&text);
            let (stamp, base) = record.map_or((0.0, 0), |record| (record.stamp, record.base));
            Seen {
                text,
                stamp,
                base,
                written_ms: f64::NEG_INFINITY,
                good_ms: f64::NEG_INFINITY,
            }
        }),
    );
}

/// Whose passes the saved cars name, and the one deleted last.
pub(super) fn owners() -> Vec<f64> {
    let ids = keys(CAR);
    let ids = ids.iter().filter_map(|key| id_of(key));
    let unsaved = unsaved(|cars| {
        cars.iter()
            .filter_map(|(_, car)| car.owner())
            .collect::<Vec<_>>()
    });
    let deleted = raw(DELETED).and_then(|owner| owner.parse().ok());
    ids.filter_map(|id| read_record(id)?.owner())
        .chain(unsaved)
        .chain(deleted)
        .collect()
}

/// Notes whose passes are the car's that was deleted last.
pub(super) fn write_deleted(owner: Option<f64>) {
    match owner {
        Some(owner) => crate::browser::store(DELETED, &owner.to_string()),
        None => forget_key(DELETED),
    }
}

/// The first id from this one on under which nothing is kept, not even something unreadable.
pub(super) fn free_id(from: u32) -> u32 {
    (from.max(1)..).find(|id| !is_taken(*id)).unwrap_or(from)
}

/// Saves a car over the text that this window knows, with a stamp above the one there.
pub(super) fn write(id: u32, mut record: Record) -> Written {
    let (now, seen) = (raw_car(id), seen::of(id));
    if now.is_some() && now.as_ref() != seen.as_ref().map(|seen| &seen.text) {
        return Written::Elsewhere;
    }
    let unsaved = of_unsaved(id, |record| (record.stamp, record.base));
    let known = seen.as_ref().filter(|_| now.is_some());
    let before = unsaved.or(known.map(|seen| (seen.stamp, seen.base)));
    let stamp = before.map_or(0.0, |(stamp, _)| stamp);
    record.stamp = js_sys::Date::now().max(stamp + 1.0);
    record.base = match (before, &now) {
        (Some((stamp, base)), _) if stamp > 0.0 => base,
        (_, Some(text)) => mark_of(text),
        _ => 0,
    };
    let now_ms = page_ms();
    let never = (f64::NEG_INFINITY, f64::NEG_INFINITY);
    let (written_ms, mut good_ms) = seen.map_or(never, |seen| (seen.written_ms, seen.good_ms));
    let is_due = now_ms - written_ms >= STOOD_MS || now_ms - good_ms >= LONGEST_MS;
    if let (Some(storage), Some(now), true) = (storage(), &now, is_due) {
        good_ms = now_ms;
        if storage.set_item(&good_key(id), now).is_err() {
            // The newest needs the room more.
            let _ = storage.remove_item(&good_key(id));
        }
    }
    put(id, &record, good_ms)
}

/// Writes a record as it is, whatever is there, and reads it back.
pub(super) fn put_back(id: u32, record: &Record) -> Written {
    put(id, record, f64::NEG_INFINITY)
}

fn put(id: u32, record: &Record, good_ms: f64) -> Written {
    let text = record.to_text();
    let put = |text: &String| {
        let storage = storage()?;
        storage.set_item(&key(id), text).ok()?;
        (raw_car(id).as_ref() == Some(text)).then_some(())
    };
    let is_kept = text.as_ref().is_some_and(|text| {
        put(text)
            .or_else(|| in_the_room_of_good(id, || put(text)))
            .is_some()
    });
    unsaved(|cars| {
        cars.retain(|(of, _)| *of != id);
        if !is_kept {
            cars.push((id, record.clone()));
        }
    });
    if let (true, Some(text)) = (is_kept, &text) {
        let now = Seen {
            text: text.clone(),
            stamp: record.stamp,
            base: record.base,
            written_ms: page_ms(),
            good_ms,
        };
        seen::note(id, Some(now));
    }
    spare::write(id, text);
    if is_kept {
        Written::Kept
    } else {
        Written::Refused
    }
}

/// Writes once more without the save before, which comes back where that does not help: the newest needs the room more.
fn in_the_room_of_good(id: u32, put: impl FnOnce() -> Option<()>) -> Option<()> {
    let good = raw(&good_key(id))?;
    forget_key(&good_key(id));
    put().or_else(|| {
        crate::browser::store(&good_key(id), &good);
        None
    })
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
    forget_unsaved(id);
    spare::write(id, None);
    forget_key(&good_key(id));
    forget_key(&key(id));
    seen::note(id, None);
}

pub(super) fn forget_key(key: &str) {
    if has_storage() {
        LocalStorage::delete(key);
    }
}
