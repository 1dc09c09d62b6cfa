//! The car file: one JSON object `{"format": "laneside-car", "version": 1, "car": {...}}`, with the
//! kept passes of its logs after the car as `"passes": [...]`, each with a version of its own.
//! Several cars in one file are version 2, of which [`super::several`] tells.
//!
//! Numbers are plain, with their unit at the end of the field's name. Every field is
//! described in `core/data/car.schema.json`; an absent field is something not entered.
//! Files of every version ever written are read for good: a new version comes with one
//! migration from the version before it. A newer version than this program knows is
//! refused, not guessed at.

use serde::{Deserialize, Serialize};
use serde_json::value::RawValue;

use super::several::Carried;
use super::{Car, check::Fault, tree::Tree};

/// What every car file says it is.
pub const FORMAT: &str = "laneside-car";

/// The newest version that is read.
pub const VERSION: u32 = super::several::VERSION;

/// The version written for one car: what read it once reads it still.
const ONE_CAR: u32 = 1;

/// The longest text of a car that is looked at, in bytes: many times the largest car.
pub const LONGEST: usize = 256 * 1024;

/// The longest file that is looked at, in bytes: a car with the passes of some seasons.
pub const LONGEST_FILE: usize = 8 * 1024 * 1024;

/// Why a text is no car.
#[derive(Debug, thiserror::Error)]
pub enum FileError {
    /// More text than is taken.
    #[error("found {found} bytes, needs {most} at the most")]
    TooLong {
        /// Its length in bytes.
        found: usize,
        /// How long it may be: [`LONGEST`] for a car alone, more for a file.
        most: usize,
    },
    /// Not JSON, or not the fields of a car file.
    #[error("not a car file: {0}")]
    Unreadable(#[from] serde_json::Error),
    /// Some other format.
    #[error("found format {found:?}, needs {FORMAT:?}")]
    Foreign {
        /// What it says it is.
        found: String,
    },
    /// Written by a newer program.
    #[error("found version {found}, this program reads up to {VERSION}")]
    Newer {
        /// Its version.
        found: u32,
    },
    /// A car that does not hold together.
    #[error("the car does not hold: {0}")]
    Invalid(#[from] Fault),
    /// Not as many cars as can be taken.
    #[error("found {found} cars, needs 1 to {most}")]
    Count {
        /// How many are in it.
        found: usize,
        /// How many may be.
        most: usize,
    },
    /// One of several cars cannot be read.
    #[error("car {place} of the file: {fault}")]
    OneOf {
        /// Which one, counted from 1.
        place: usize,
        /// What is wrong with it.
        fault: Box<FileError>,
    },
}

#[derive(Deserialize)]
struct Head<'a> {
    format: String,
    version: u32,
    /// Read only once the version is known to be one this program reads.
    #[serde(borrow, default)]
    car: Option<&'a RawValue>,
    #[serde(borrow, default)]
    cars: Option<&'a RawValue>,
}

/// What a text holds, by its version.
pub(super) enum Content<'a> {
    /// Version 1: the text of one car.
    One(&'a str),
    /// Version 2: the text of a list of cars.
    Several(&'a str),
}

/// What a text holds, once it says that this program can read it.
#[inline]
pub(super) fn content(text: &str) -> Result<Content<'_>, FileError> {
    if text.len() > LONGEST_FILE {
        return Err(FileError::TooLong {
            found: text.len(),
            most: LONGEST_FILE,
        });
    }
    let head: Head = serde_json::from_str(text)?;
    if head.format != FORMAT {
        return Err(FileError::Foreign { found: head.format });
    }
    if head.version == 0 {
        let found = format!("{FORMAT} version 0");
        return Err(FileError::Foreign { found });
    }
    if head.version > VERSION {
        return Err(FileError::Newer {
            found: head.version,
        });
    }
    Ok(match head.version {
        ONE_CAR => Content::One(head.car.map_or("null", RawValue::get)),
        _ => Content::Several(head.cars.map_or("null", RawValue::get)),
    })
}

#[derive(Serialize)]
struct Whole<'a> {
    format: &'static str,
    version: u32,
    car: &'a Car,
}

impl Car {
    /// Reads a car file.
    ///
    /// # Errors
    /// [`FileError`], one variant per cause. Nothing is ever read halfway.
    // Inlined, as the writing is, so that it is compiled with its caller: the app's profile asks
    // for few bytes, this crate's for speed, which neither needs.
    #[inline]
    pub fn from_file(text: &str) -> Result<Self, FileError> {
        match content(text)? {
            Content::One(car) => Self::from_part(car),
            Content::Several(_) => match <[Carried; 1]>::try_from(super::several::read(text)?) {
                Ok([one]) => Ok(one.car),
                Err(cars) => Err(FileError::Count {
                    found: cars.len(),
                    most: 1,
                }),
            },
        }
    }

    /// Reads the text of a car within a file.
    #[inline]
    pub(super) fn from_part(car: &str) -> Result<Self, FileError> {
        if car.len() > LONGEST {
            return Err(FileError::TooLong {
                found: car.len(),
                most: LONGEST,
            });
        }
        let car = Self::deserialize(serde_json::from_str::<Tree>(car)?)?;
        car.check()?;
        Ok(car)
    }

    /// Writes a car file.
    ///
    /// # Errors
    /// Only when the car holds a number that JSON cannot write, which [`Car::check`] keeps out.
    #[inline]
    pub fn to_file(&self) -> Result<String, FileError> {
        Ok(serde_json::to_string_pretty(&self.whole())?)
    }

    /// Writes a car file without blanks, to be carried in a link or a code.
    ///
    /// # Errors
    /// As [`Car::to_file`].
    #[inline]
    pub fn to_short_file(&self) -> Result<String, FileError> {
        Ok(serde_json::to_string(&self.whole())?)
    }

    fn whole(&self) -> Whole<'_> {
        Whole {
            format: FORMAT,
            version: ONE_CAR,
            car: self,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::car::demo;
    use crate::quantity::{System, rpm};

    #[test]
    fn demo_cars_read_back_as_written() {
        for car in demo::cars() {
            let text = car.to_file().unwrap();
            let read = Car::from_file(&text).unwrap();
            assert_eq!(read.to_file().unwrap(), text);
            // Once read, a car is the same to the last bit.
            assert_eq!(Car::from_file(&read.to_file().unwrap()).unwrap(), read);
        }
    }

    #[test]
    fn foreign_newer_broken_and_invalid_files_are_told_apart() {
        let mut car = Car::new("Try", System::Metric);
        let text = car.to_file().unwrap();
        let foreign = text.replace(FORMAT, "something-else");
        assert!(matches!(
            Car::from_file(&foreign),
            Err(FileError::Foreign { .. })
        ));
        let newer = text.replace("\"version\": 1", "\"version\": 3");
        assert!(matches!(
            Car::from_file(&newer),
            Err(FileError::Newer { found: 3 })
        ));
        assert!(matches!(
            Car::from_file(&text[..text.len() / 2]),
            Err(FileError::Unreadable(_))
        ));
        let padded = text.replace("\"car\": {", &format!("\"car\": {{{}", " ".repeat(LONGEST)));
        // Each is told the limit that it is over.
        for (long, limit) in [
            (padded, LONGEST),
            (" ".repeat(LONGEST_FILE + 1), LONGEST_FILE),
        ] {
            let Err(FileError::TooLong { found, most }) = Car::from_file(&long) else {
                panic!("taken");
            };
            assert_eq!(most, limit);
            assert!(found > most);
        }
        car.engine.limiter = Some(rpm(90_000.0));
        let invalid = car.to_file().unwrap();
        assert!(matches!(
            Car::from_file(&invalid),
            Err(FileError::Invalid(Fault::Range { .. }))
        ));
    }

    #[test]
    fn unknown_fields_are_refused_rather_than_lost() {
        let text = Car::new("Try", System::Inch).to_file().unwrap();
        let odd = text.replace("\"engine\": {", "\"engine\": {\"nitro\": 1");
        assert!(Car::from_file(&odd).is_err());
    }

    #[test]
    fn every_part_is_of_its_type_and_there_once() {
        let text = demo::cars()[0].to_file().unwrap();
        for (good, bad) in [
            ("\"name\": \"", "\"name\": 1, \"name\": \""),
            ("\"name\": \"", "\"name\": [\"a\"], \"other\": \""),
            ("\"idle_rpm\": ", "\"idle_rpm\": \"800\", \"launch_rpm\": "),
            ("\"idle_rpm\": ", "\"idle_rpm\": 1, \"idle_rpm\": "),
            (
                "\"phases\": [",
                "\"phases\": [[\"a\", null, {\"state\": \"off\"}],",
            ),
            ("\"phases\": [", "\"phases\": [null,"),
            ("\"state\": \"idle\"", "\"state\": \"asleep\""),
            ("\"state\": \"at\"", "\"state\": \"at\", \"state\": \"at\""),
            ("\"invented\": true", "\"invented\": 1"),
            ("\"units\": \"", "\"units\": null, \"other\": \""),
        ] {
            assert!(text.contains(good), "{good}");
            let found = Car::from_file(&text.replacen(good, bad, 1));
            assert!(matches!(found, Err(FileError::Unreadable(_))), "{bad}");
        }
    }
}
