//! The text that a stopped app gives out (`app/build/guard.js`): everything that is kept, as it lay there. Its cars and
//! their kept passes are read; what goes with a car on its own phone, such as texts that were not taken, is left.

use super::disk;
use super::record::Record;
use super::shelf::SPARE;
use laneside_core::car::file::FileError;
use laneside_core::car::several::{Carried, MOST_CARS};
use serde::Deserialize;
use std::collections::BTreeMap;

/// What such a text says it is.
const FORMAT: &str = "laneside-raw";

const VERSION: u32 = 1;

/// The longest such text that is looked at, in bytes: all that a phone keeps of a hundred cars.
pub const LONGEST_RAW: usize = 64 * 1024 * 1024;

#[derive(Deserialize)]
struct Head {
    format: String,
    version: u32,
}

#[derive(Deserialize)]
struct Raw {
    entries: Vec<(String, String)>,
    passes: Vec<((f64, f64), String)>,
}

/// The cars of such a text by their numbers, and how many of them could not be read; `None` where it is another file.
pub fn read(text: &str) -> Option<Result<(Vec<Carried>, usize), FileError>> {
    let head: Head = serde_json::from_str(text).ok()?;
    (head.format == FORMAT).then(|| {
        if head.version > VERSION {
            return Err(FileError::Newer {
                found: head.version,
            });
        }
        cars(&serde_json::from_str(text)?)
    })
}

fn cars(raw: &Raw) -> Result<(Vec<Carried>, usize), FileError> {
    // What there is of each car, the place that is read first coming first.
    let mut copies: BTreeMap<u32, Vec<&str>> = BTreeMap::new();
    let mut add = |id, text| copies.entry(id).or_default().push(text);
    for of in [disk::id_of, disk::good_id_of] {
        let found = raw.entries.iter();
        found
            .filter_map(|(key, text)| Some((of(key)?, text)))
            .for_each(|(id, text)| add(id, text));
    }
    for ((owner, number), text) in &raw.passes {
        if *owner == SPARE {
            add(*number as u32, text);
        }
    }
    let found: Vec<Option<Carried>> = copies.values().map(|texts| car(texts, raw)).collect();
    let count = found.len();
    let cars: Vec<Carried> = found.into_iter().flatten().collect();
    if cars.is_empty() {
        return Err(FileError::Count {
            found: 0,
            most: MOST_CARS,
        });
    }
    let unread = count - cars.len();
    Ok((cars, unread))
}

/// The newest of a car's copies that can be read, with its passes.
fn car(texts: &[&str], raw: &Raw) -> Option<Carried> {
    let read = texts.iter().filter_map(|text| {
        let record = Record::from_text(text)?;
        let car = record.read()?.car;
        Some((record, car))
    });
    // Of two with one stamp the first.
    let newest = read.reduce(|best, one| {
        if one.0.stamp > best.0.stamp {
            one
        } else {
            best
        }
    });
    let (record, car) = newest?;
    let mut passes: Vec<(f64, &str)> = raw
        .passes
        .iter()
        .filter(|((owner, _), _)| *owner != SPARE && Some(*owner) == record.owner())
        .map(|((_, number), text)| (*number, text.as_str()))
        .collect();
    passes.sort_by(|(one, _), (other, _)| other.total_cmp(one));
    let passes: Vec<&str> = passes.into_iter().map(|(_, text)| text).collect();
    Some(Carried::new(car, &passes))
}
