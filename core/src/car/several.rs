//! Several cars in one file, version 2 of the car file:
//! `{"format": "laneside-car", "version": 2, "cars": [{"car": {...}, "passes": [...]}, ...]}`.
//!
//! Each car is written as in version 1, with its kept passes beside it. A file of one car stays version 1, so
//! that older programs read it; either is read here, whole or not at all.

use serde::Deserialize;
use serde_json::value::RawValue;

use super::Car;
use super::file::{Content, FORMAT, FileError, LONGEST, LONGEST_FILE, content};
use crate::log::kept::KeptPass;

/// The version written for several cars.
pub const VERSION: u32 = 2;

/// How many cars a file holds at the most.
pub const MOST_CARS: usize = 100;

/// How many kept passes a car is written and taken with at the most: more than two a day for half a year.
pub const MOST_PASSES: usize = 400;

/// A car as a file holds it.
#[derive(Clone, Debug, PartialEq)]
pub struct Carried {
    /// The car.
    pub car: Car,
    /// Its kept passes, the newest first.
    pub passes: Vec<KeptPass>,
    /// How many of its passes this program does not know.
    pub unknown: usize,
    /// How many passes it has beyond [`MOST_PASSES`], the oldest, which are not looked at.
    pub surplus: usize,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Entry<'a> {
    #[serde(borrow)]
    car: &'a RawValue,
    #[serde(borrow, default)]
    passes: Option<Vec<&'a RawValue>>,
}

/// The passes beside the car of version 1.
#[derive(Deserialize)]
struct WithPasses<'a> {
    #[serde(borrow, default)]
    passes: Option<Vec<&'a RawValue>>,
}

/// Reads a car file of any version: its cars in their order, one at least.
///
/// # Errors
/// [`FileError`], one variant per cause. Nothing is ever read halfway: one car that does not hold and none is read.
#[inline]
pub fn read(text: &str) -> Result<Vec<Carried>, FileError> {
    let cars = match content(text)? {
        Content::One(car) => {
            let WithPasses { passes } = serde_json::from_str(text)?;
            return Ok(vec![carried(Car::from_part(car)?, passes.as_deref())]);
        }
        Content::Several(cars) => cars,
    };
    // Texts first, which cost little: what is in them is read only if they are not too many.
    let texts: Vec<&RawValue> = serde_json::from_str(cars)?;
    if texts.is_empty() || texts.len() > MOST_CARS {
        return Err(FileError::Count {
            found: texts.len(),
            most: MOST_CARS,
        });
    }
    let read = |(place, text): (usize, &RawValue)| {
        entry(text.get()).map_err(|fault| FileError::OneOf {
            place: place + 1,
            fault: Box::new(fault),
        })
    };
    texts.into_iter().enumerate().map(read).collect()
}

fn entry(text: &str) -> Result<Carried, FileError> {
    let entry: Entry = serde_json::from_str(text)?;
    Ok(carried(
        Car::from_part(entry.car.get())?,
        entry.passes.as_deref(),
    ))
}

/// A car with the passes beside it in a file.
fn carried(car: Car, passes: Option<&[&RawValue]>) -> Carried {
    let texts: Vec<&str> = passes
        .iter()
        .copied()
        .flatten()
        .map(|text| text.get())
        .collect();
    Carried::new(car, &texts)
}

impl Carried {
    /// A car with what can be read of its passes, the texts of which are given from the newest on: what is left out is
    /// counted.
    pub fn new(car: Car, passes: &[&str]) -> Self {
        let taken = passes.len().min(MOST_PASSES);
        let read = passes.iter().take(taken);
        let read: Vec<KeptPass> = read.filter_map(|text| KeptPass::from_text(text)).collect();
        Self {
            car,
            unknown: taken - read.len(),
            surplus: passes.len() - taken,
            passes: read,
        }
    }
}

/// Writes cars with their kept passes, the newest first, into one file; how many passes found no room is told as
/// well. One car alone is written as version 1.
///
/// # Errors
/// [`FileError::Count`] for none or too many, [`FileError::TooLong`] where the cars alone are too much for a file.
#[inline]
pub fn write<'a, P>(cars: &[(&Car, P)]) -> Result<(String, usize), FileError>
where
    P: IntoIterator<Item = &'a KeptPass> + Clone,
{
    if cars.is_empty() || cars.len() > MOST_CARS {
        return Err(FileError::Count {
            found: cars.len(),
            most: MOST_CARS,
        });
    }
    let texts: Vec<String> = cars
        .iter()
        .map(|(car, _)| Ok(serde_json::to_string_pretty(car)?))
        .collect::<Result<_, FileError>>()?;
    // All cars come before any pass: of what does not fit, the passes are left out.
    let mut found: usize = texts.iter().map(String::len).sum();
    if found > LONGEST_FILE - LONGEST {
        return Err(FileError::TooLong {
            found,
            most: LONGEST_FILE - LONGEST,
        });
    }
    let mut left_out = 0;
    let mut entries = Vec::new();
    for (text, (_, passes)) in texts.iter().zip(cars) {
        let mut written = Vec::new();
        for pass in passes.clone() {
            match pass.to_text() {
                Some(pass)
                    if written.len() < MOST_PASSES
                        && found + pass.len() <= LONGEST_FILE - LONGEST =>
                {
                    found += pass.len();
                    written.push(pass);
                }
                _ => left_out += 1,
            }
        }
        entries.push((text, written));
    }
    let part = |passes: &[String]| match passes {
        [] => String::new(),
        passes => format!(",\n\"passes\": [\n{}\n]", passes.join(",\n")),
    };
    let whole = if let [(car, passes)] = &entries[..] {
        format!(
            "{{\n\"format\": \"{FORMAT}\",\n\"version\": 1,\n\"car\": {car}{}\n}}",
            part(passes)
        )
    } else {
        let entries: Vec<String> = entries
            .iter()
            .map(|(car, passes)| format!("{{\"car\": {car}{}}}", part(passes)))
            .collect();
        format!(
            "{{\n\"format\": \"{FORMAT}\",\n\"version\": {VERSION},\n\"cars\": [\n{}\n]\n}}",
            entries.join(",\n")
        )
    };
    Ok((whole, left_out))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::car::demo;

    fn written(cars: &[Car]) -> String {
        let pairs: Vec<(&Car, [&KeptPass; 0])> = cars.iter().map(|car| (car, [])).collect();
        write(&pairs).unwrap().0
    }

    #[test]
    fn cars_read_back_in_their_order() {
        let cars = demo::cars();
        let read = read(&written(&cars)).unwrap();
        assert_eq!(read.len(), cars.len());
        for (carried, car) in read.iter().zip(&cars) {
            assert_eq!(carried.car.to_file().unwrap(), car.to_file().unwrap());
            assert_eq!((carried.passes.len(), carried.unknown), (0, 0));
        }
    }

    /// Passes that are no list, or there twice, are not passed over in silence.
    #[test]
    fn passes_that_are_no_list_are_refused() {
        let one = demo::nettle().to_file().unwrap();
        let beside = |passes: &str| one.replacen("\"car\": ", &format!("{passes}, \"car\": "), 1);
        for passes in [
            "\"passes\": 1",
            "\"passes\": {}",
            "\"passes\": [], \"passes\": []",
        ] {
            let text = beside(passes);
            assert!(
                matches!(read(&text), Err(FileError::Unreadable(_))),
                "{passes}"
            );
            let two =
                written(&demo::cars()).replacen("{\"car\": ", &format!("{{{passes}, \"car\": "), 1);
            assert!(
                matches!(read(&two), Err(FileError::OneOf { place: 1, .. })),
                "{passes}"
            );
        }
        assert_eq!(read(&beside("\"passes\": null")).unwrap().len(), 1);
    }

    #[test]
    fn of_too_many_passes_the_oldest_are_left_out_and_counted() {
        let one = demo::nettle().to_file().unwrap();
        for (count, surplus) in [(MOST_PASSES, 0), (MOST_PASSES + 3, 3)] {
            let passes = vec!["1"; count].join(",");
            let text = one.replacen(
                "\"car\": ",
                &format!("\"passes\": [{passes}], \"car\": "),
                1,
            );
            let [read] = <[Carried; 1]>::try_from(read(&text).unwrap()).unwrap();
            assert_eq!(
                (read.passes.len(), read.unknown, read.surplus),
                (0, MOST_PASSES, surplus)
            );
        }
    }

    #[test]
    fn one_car_alone_is_as_it_ever_was() {
        let [car, ..] = demo::cars();
        let text = written(std::slice::from_ref(&car));
        assert!(text.contains("\"version\": 1,"));
        assert_eq!(
            Car::from_file(&text).unwrap().to_file().unwrap(),
            car.to_file().unwrap()
        );
        assert_eq!(read(&car.to_file().unwrap()).unwrap().len(), 1);
        assert_eq!(read(&car.to_short_file().unwrap()).unwrap().len(), 1);
    }

    #[test]
    fn several_are_no_single_car() {
        let text = written(&demo::cars());
        let found = Car::from_file(&text);
        assert!(matches!(found, Err(FileError::Count { found: 2, most: 1 })));
    }

    #[test]
    fn none_and_too_many_are_refused() {
        let many = vec![demo::nettle(); MOST_CARS + 1];
        let pairs: Vec<(&Car, [&KeptPass; 0])> = many.iter().map(|car| (car, [])).collect();
        assert!(matches!(write(&pairs), Err(FileError::Count { .. })));
        assert!(matches!(write(&pairs[..0]), Err(FileError::Count { .. })));
        let entry = "{\"car\":{\"name\":\"A\",\"units\":\"inch\"}}";
        for count in [0, MOST_CARS + 1] {
            let list = vec![entry; count].join(",");
            let text = format!("{{\"format\":\"{FORMAT}\",\"version\":2,\"cars\":[{list}]}}");
            assert!(
                matches!(read(&text), Err(FileError::Count { .. })),
                "{count}"
            );
        }
    }

    #[test]
    fn one_that_does_not_hold_spoils_the_file_and_is_named() {
        let text = written(&demo::cars());
        let second = text.rfind("\"limiter_rpm\": ").unwrap();
        let bad = format!(
            "{}\"limiter_rpm\": 9{}",
            &text[..second],
            &text[second + 15..]
        );
        let Err(FileError::OneOf { place, fault }) = read(&bad) else {
            panic!("taken");
        };
        assert_eq!(place, 2);
        assert!(matches!(*fault, FileError::Invalid(_)), "{fault}");
        // What is beside car and passes is no entry of this version.
        let odd = text.replacen("{\"car\": ", "{\"note\": 1, \"car\": ", 1);
        assert!(matches!(read(&odd), Err(FileError::OneOf { place: 1, .. })));
    }

    #[test]
    fn a_deep_nest_is_refused_and_not_followed() {
        let deep = "[".repeat(100_000);
        for text in [
            format!("{{\"format\":\"{FORMAT}\",\"version\":2,\"cars\":[{deep}"),
            format!("{{\"format\":\"{FORMAT}\",\"version\":1,\"car\":{deep}"),
            format!(
                "{{\"format\":\"{FORMAT}\",\"version\":1,\"car\":{deep}{}}}",
                "]".repeat(100_000)
            ),
        ] {
            assert!(matches!(read(&text), Err(FileError::Unreadable(_))));
        }
    }
}
