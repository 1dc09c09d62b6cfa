//! Typed text and car files.

use crate::cars::{any_text, car, field, likely_text, mutated_file};
use laneside_core::car::entry::{Field, set, set_measured, shown};
use laneside_core::car::{Car, demo};
use laneside_core::drive::Measure;
use laneside_core::quantity::System;
use proptest::prelude::*;
use proptest::sample::select;
use std::sync::LazyLock;

static SCHEMA: LazyLock<jsonschema::Validator> = LazyLock::new(|| {
    let schema = serde_json::from_str(include_str!("../../core/data/car.schema.json")).unwrap();
    jsonschema::draft202012::new(&schema).unwrap()
});

fn units() -> impl Strategy<Value = System> {
    select(System::ALL.to_vec())
}

proptest! {
    /// Any text in any field of any car is taken or refused, and a car that took it is valid.
    #[test]
    fn any_text_is_taken_or_refused(
        which in 0_usize..2, units in units(), field in field(), text in any_text(),
        measure in select(Measure::ALL.to_vec()),
    ) {
        let mut car = demo::cars()[which].clone();
        car.units = units;
        for changed in [set(&car, field, &text), set_measured(&car, field, &text, measure)].into_iter().flatten() {
            prop_assert_eq!(changed.check(), Ok(()));
            let _ = shown(&changed, field);
            let text = changed.to_file().unwrap();
            let read = Car::from_file(&text);
            prop_assert!(read.is_ok(), "{:?}: {:?}", read.err(), field);
            prop_assert_eq!(read.unwrap().to_file().unwrap(), text);
        }
    }

    /// What a field shows can be typed again, and from then on shows the same. (`7.00 in`, a little under seven, may
    /// become `7 in`: what is shown is rounded.)
    #[test]
    fn shown_text_reads_back(
        which in 0_usize..2, units in units(),
        (field, text) in field().prop_flat_map(|field| (Just(field), likely_text(field))),
    ) {
        let mut car = demo::cars()[which].clone();
        car.units = units;
        let car = set(&car, field, &text).unwrap_or(car);
        let text = shown(&car, field);
        // A phase that is not at a speed of its own, or a load that is not there, shows nothing and takes nothing.
        if text.is_empty() {
            return Ok(());
        }
        let again = set(&car, field, &text);
        prop_assert!(again.is_ok(), "{field:?} shows {text:?}: {again:?}");
        let again = again.unwrap();
        let text = shown(&again, field);
        let third = set(&again, field, &text);
        prop_assert!(third.is_ok(), "{field:?} shows {text:?}: {third:?}");
        prop_assert_eq!(shown(&third.unwrap(), field), text);
    }

    /// A field emptied shows nothing; the car stays valid or says why not.
    #[test]
    fn emptied_fields_show_nothing(field in field()) {
        let car = demo::nettle();
        if let Ok(changed) = set(&car, field, "") {
            let text = shown(&changed, field);
            let shows = match field {
                // A stage or a pulley on hand goes away as a whole, and what follows it moves up; duty falls back to
                // all, and starts to none.
                Field::OnHand(_) | Field::LoadDuty(..) | Field::StepStarts(_) => true,
                _ => text.is_empty(),
            };
            prop_assert!(shows, "{field:?} shows {text:?}");
        }
    }

    /// A car file is the same text however often it is read and written, and from the first reading on the car is the
    /// same to the last bit (writing rounds behind the ninth decimal).
    #[test]
    fn car_files_read_back(car in car()) {
        let text = car.to_file().unwrap();
        let read = Car::from_file(&text).unwrap();
        prop_assert_eq!(read.to_file().unwrap(), text.clone());
        prop_assert_eq!(Car::from_file(&text).unwrap(), read);
    }

    /// What the core writes holds to the schema of the car file.
    #[test]
    fn car_files_hold_to_the_schema(car in car()) {
        let file = serde_json::from_str(&car.to_file().unwrap()).unwrap();
        let errors: Vec<String> = SCHEMA.iter_errors(&file).map(|error| error.to_string()).collect();
        prop_assert!(errors.is_empty(), "{errors:?}");
    }

    /// Whatever a file says, it is read whole or refused.
    #[test]
    fn any_file_is_read_or_refused(text in mutated_file(), cut in 0_usize..6_000, noise in any::<String>()) {
        let _ = Car::from_file(&noise);
        let _ = Car::from_file(text.get(..cut).unwrap_or(&text));
        if let Ok(car) = Car::from_file(&text) {
            prop_assert_eq!(car.check(), Ok(()));
        }
    }
}
