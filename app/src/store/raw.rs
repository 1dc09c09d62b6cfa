//! The text that a stopped app gives out (`app/build/guard.js`): everything that is kept, as it lay there. Its cars and
//! their kept passes are read; what goes with a car on its own phone, such as texts that were not taken or what is only
//! tried, is left.

use super::disk;
use super::record::{Record, Saved};
use super::shelf::{SPARE, WAITING};
use super::waiting;
use laneside_core::car::file::FileError;
use laneside_core::car::several::{Carried, MOST_CARS};
use serde::Deserialize;
use serde_json::value::RawValue;
use std::collections::BTreeMap;

/// What such a text says it is.
const FORMAT: &str = "laneside-raw";

const VERSION: u32 = 1;

/// The longest such text that is looked at, in bytes: more than a phone's local storage holds, and passes.
pub const LONGEST_RAW: usize = 32 * 1024 * 1024;

#[derive(Deserialize)]
struct Head {
    format: String,
    version: u32,
}

/// The texts in it stay as they are until one is needed.
#[derive(Deserialize)]
struct Raw<'a> {
    #[serde(borrow)]
    entries: Vec<(String, &'a RawValue)>,
    #[serde(borrow)]
    passes: Vec<((f64, f64), &'a RawValue)>,
}

/// Kept passes with their numbers, by the bits of whose they are.
type Passes<'a> = BTreeMap<u64, Vec<(f64, &'a RawValue)>>;

/// The cars of such a text by their numbers, and how many of them could not be read; `None` where it is another file.
pub fn read(text: &str) -> Option<Result<(Vec<Carried>, usize), FileError>> {
    let head: Head = serde_json::from_str(text).ok()?;
    (head.format == FORMAT).then(|| {
        if head.version > VERSION {
            return Err(FileError::Newer {
                found: head.version,
            });
        }
        cars(serde_json::from_str(text)?)
    })
}

fn cars(raw: Raw<'_>) -> Result<(Vec<Carried>, usize), FileError> {
    // What there is of each car, what is read first coming first.
    let mut copies: BTreeMap<u32, Vec<&RawValue>> = BTreeMap::new();
    for of in [disk::id_of, disk::good_id_of] {
        for (key, text) in &raw.entries {
            if let Some(id) = of(key) {
                copies.entry(id).or_default().push(text);
            }
        }
    }
    let mut passes = Passes::new();
    let mut waiting = Vec::new();
    for ((owner, number), text) in raw.passes {
        if owner == SPARE {
            copies.entry(number as u32).or_default().push(text);
        } else if owner == WAITING {
            waiting.push(text);
        } else {
            let of = passes.entry(owner.to_bits()).or_default();
            of.push((number, text));
        }
    }
    // Each of those that were set aside is a car of its own.
    let aside = raw.entries.iter().filter(|(key, _)| disk::is_aside(key));
    let copies = copies
        .into_values()
        .chain(aside.map(|(_, text)| vec![*text]));
    let copies: Vec<Vec<&RawValue>> = copies.collect();
    let count = copies.len() + waiting.len();
    if count == 0 || count > MOST_CARS {
        return Err(FileError::Count {
            found: count,
            most: MOST_CARS,
        });
    }
    let found = copies.iter().filter_map(|texts| car(texts, &mut passes));
    let waiting = waiting
        .into_iter()
        .filter_map(|text| waiting::read(&text_of(text)?));
    let cars: Vec<Carried> = found.chain(waiting).collect();
    let unread = count - cars.len();
    Ok((cars, unread))
}

/// The newest of a car's copies that can be read, with its passes.
fn car(copies: &[&RawValue], passes: &mut Passes) -> Option<Carried> {
    let mut newest: Option<(String, Saved)> = None;
    for copy in copies {
        let Some(text) = text_of(copy) else { continue };
        let Some(record) = Record::from_text(&text) else {
            continue;
        };
        let is_newer = newest
            .as_ref()
            .is_none_or(|(other, _)| record.is_newer_than(other));
        if is_newer && let Some(saved) = record.read() {
            newest = Some((text, saved));
        }
    }
    let (_, saved) = newest?;
    let own = saved
        .note
        .owner
        .and_then(|owner| passes.remove(&owner.to_bits()));
    let mut own = own.unwrap_or_default();
    own.sort_by(|(one, _), (other, _)| other.total_cmp(one));
    let texts: Vec<String> = own.iter().filter_map(|(_, text)| text_of(text)).collect();
    let texts: Vec<&str> = texts.iter().map(String::as_str).collect();
    Some(Carried::new(saved.own_car(), &texts))
}

fn text_of(raw: &RawValue) -> Option<String> {
    serde_json::from_str(raw.get()).ok()
}
