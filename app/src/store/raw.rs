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
    let count = copies.len();
    if count + waiting.len() == 0 || count > MOST_CARS {
        return Err(FileError::Count {
            found: count,
            most: MOST_CARS,
        });
    }
    let found = copies.iter().filter_map(|texts| car(texts, &mut passes));
    // One's own come first: of what waited, there is what fits behind them.
    let waited = waiting
        .iter()
        .filter_map(|text| waiting::read(&text_of(text)?));
    let found = found.chain(waited.map(|(_, one)| one));
    let cars: Vec<Carried> = found.take(MOST_CARS).collect();
    let unread = count + waiting.len() - cars.len();
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

#[cfg(test)]
mod tests {
    use super::*;
    use laneside_core::car::demo;

    fn text(own: usize, waiting: usize) -> String {
        let file = demo::nettle().to_file().unwrap();
        let record = serde_json::json!({ "file": file }).to_string();
        let entries: Vec<(String, &str)> = (1..=own)
            .map(|id| (format!("laneside.car.{id}"), record.as_str()))
            .collect();
        let waited = demo::tansy().to_file().unwrap();
        let passes: Vec<((f64, usize), String)> = (0..waiting)
            .map(|at| ((WAITING, at), format!("{at} 0 0\n{waited}")))
            .collect();
        let whole = serde_json::json!({
            "format": FORMAT, "version": VERSION, "entries": entries, "passes": passes,
        });
        whole.to_string()
    }

    /// What waited to be kept takes no own car its place.
    #[test]
    fn own_cars_come_before_what_waited() {
        for (own, waiting, cars, unread) in [
            (2, 1, 3, 0),
            (0, 2, 2, 0),
            (MOST_CARS, 1, MOST_CARS, 1),
            (MOST_CARS - 1, 3, MOST_CARS, 2),
        ] {
            let (found, left) = read(&text(own, waiting)).unwrap().unwrap();
            assert_eq!((found.len(), left), (cars, unread), "{own} and {waiting}");
            let is_own = |one: &&Carried| one.car.name == demo::nettle().name;
            assert_eq!(found.iter().filter(is_own).count(), own);
        }
        for own in [0, MOST_CARS + 1] {
            assert!(matches!(
                read(&text(own, 0)),
                Some(Err(FileError::Count { .. }))
            ));
        }
    }
}
