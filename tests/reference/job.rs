//! The job card against the outside, and in the car file.

use laneside_core::car::entry::{Field, set};
use laneside_core::car::history::Event;
use laneside_core::car::swap::{Band, JobCard};
use laneside_core::car::{Car, Lead, demo};
use laneside_core::job::{PointsTo, Reading, Standing, drop_band};
use laneside_core::quantity::volts;
use laneside_core::study::Study;
use serde_json::Value;

const SCHEMA: &str = include_str!("../../core/data/car.schema.json");

fn with_card(mut car: Car) -> Car {
    let card = JobCard::new(&car, &Study::new(&car).unwrap(), "2026-05-02 09:30");
    car.swap = card;
    car
}

/// Validation. Source: JSON Schema draft 2020-12, by the `jsonschema` crate: cars with a card, done or not, and a history
/// hold to it and read back the same; what the schema refuses of them the parser refuses too.
#[test]
fn cards_and_histories_hold_to_the_schema() {
    let schema: Value = serde_json::from_str(SCHEMA).unwrap();
    let schema = jsonschema::draft202012::new(&schema).unwrap();
    for car in demo::cars() {
        let mut car = with_card(car.noted(Event::Noted, "2026-04-01 10:00").unwrap());
        for (field, text) in [
            (Field::CardVolts(0), "13.9"),
            (Field::CardVolts(5), "14"),
            (Field::CardDrop(0), "0.2"),
            (Field::CardAmps(1), "45"),
            (Field::CardNotes, "shim as before"),
        ] {
            car = set(&car, field, text).unwrap();
        }
        car.swap
            .as_mut()
            .unwrap()
            .toggle(laneside_core::car::swap::Task::NegativeOff);
        let done = car.swapped("2026-05-02 18:00").unwrap();
        for car in [&car, &done] {
            let text = car.to_file().unwrap();
            let file: Value = serde_json::from_str(&text).unwrap();
            let errors: Vec<String> = schema
                .iter_errors(&file)
                .map(|error| format!("{}: {error}", error.instance_path()))
                .collect();
            assert!(errors.is_empty(), "{errors:?}");
            assert_eq!(Car::from_file(&text).unwrap().to_file().unwrap(), text);
        }
        for (place, value) in [
            ("/car/swap/to", Value::Null),
            ("/car/swap/ticked", serde_json::json!(["dance"])),
            ("/car/swap/fast_idle_rpm", serde_json::json!(100)),
            (
                "/car/swap/before/expected/idle_v/low",
                serde_json::json!(-1),
            ),
            ("/car/swap/before/readings/idle_v", serde_json::json!(140)),
            ("/car/swap/notes", serde_json::json!("x".repeat(501))),
            (
                "/car/swap/done/drive/fitted",
                serde_json::json!({ "size_mm": 1.0, "measure": "called" }),
            ),
            ("/car/history/0/event", serde_json::json!("dreamed")),
            ("/car/history/0/date", serde_json::json!(" ")),
            ("/car/history/1/after/at_a", serde_json::json!(0)),
        ] {
            let mut file: Value = serde_json::from_str(&done.to_file().unwrap()).unwrap();
            *file.pointer_mut(place).unwrap() = value;
            assert!(!schema.is_valid(&file), "the schema takes {place}");
            assert!(
                Car::from_file(&file.to_string()).is_err(),
                "the parser takes {place}"
            );
        }
    }
}

/// Validation. Source: one carmaker's workshop manual, at most 0.3 V in the output lead at 30 A: a lead that just does is not
/// over it, one that drops as much at two thirds of that current is, whatever the car's own lead is expected to drop.
#[test]
fn a_lead_over_the_published_limit_is_told() {
    let mut car = demo::nettle();
    car.wiring.lead = Lead {
        drop_v: Some(0.3),
        drop_at_a: Some(20.0),
        ..Lead::default()
    };
    let car = with_card(car);
    let told = |amps: &str| {
        let car = set(&car, Field::CardAmps(0), amps).unwrap();
        let car = set(&car, Field::CardDrop(0), "0.3").unwrap();
        car.swap.unwrap().told(0, Reading::LeadDrop, 1.0).unwrap()
    };
    assert!(!told("30").points_to.contains(&PointsTo::OverPractice));
    let over = told("20");
    assert_eq!(over.standing, Standing::Within);
    assert_eq!(over.points_to, [PointsTo::OverPractice]);
}

/// Validation. Source: published charging-voltage check of 12 V flooded batteries near 20 C: under 12.6 V not charging, above 14.8 V
/// overcharging; of 16 V, 8/6 of that.
#[test]
fn published_bands_decide_between_not_charging_and_low_and_overcharging() {
    let mut car = demo::nettle();
    car.alternator.set_point = Some(volts(14.2));
    let car = with_card(car);
    let points = |text: &str, scale: f64| {
        let car = set(&car, Field::CardVolts(1), text).unwrap();
        let told = car.swap.unwrap().told(0, Reading::FastIdle, scale);
        told.unwrap().points_to
    };
    assert_eq!(points("12.55", 1.0), [PointsTo::NotCharging]);
    assert_ne!(points("12.65", 1.0), [PointsTo::NotCharging]);
    assert_ne!(points("14.75", 1.0), [PointsTo::Overcharge]);
    assert_eq!(points("14.85", 1.0), [PointsTo::Overcharge]);
    assert_ne!(points("14.85", 8.0 / 6.0), [PointsTo::Overcharge]);
}

/// Validation. Source: Ohm's law, worked by hand: 5 mOhm at 60 A drop 0.300 V, and 5 % of a clamp meter with 20 mV of the other
/// are sqrt(15^2 + 20^2) = 25 mV (JCGM 100:2008 "GUM" 5.1.2).
#[test]
fn an_expected_drop_is_ohms_law_with_both_meters() {
    let sure = Band {
        value: 5.0,
        low: 5.0,
        high: 5.0,
    };
    let drop = drop_band(sure, 60.0);
    assert!((drop.value - 0.3).abs() < 1e-12);
    assert!((drop.low - 0.275).abs() < 1e-12 && (drop.high - 0.325).abs() < 1e-12);
}

/// Validation. Source: published charging voltages (AGM 14.4 to 14.7 V) and Ohm's law: a regulator that senses at the battery and
/// is set to 14.4 V holds it there with either pulley, at any of the three readings, as long as the machine can.
#[test]
fn a_battery_sensed_regulator_is_expected_at_its_set_point() {
    let mut car = demo::nettle();
    car.wiring.sense = Some(laneside_core::bus::Sense::Battery);
    car.alternator.set_point = Some(volts(14.4));
    let card = with_card(car).swap.unwrap();
    for side in [&card.before, &card.after] {
        let expected = &side.expected;
        for band in [expected.idle_v, expected.fast_idle_v, expected.all_on_v] {
            assert!((band.value - 14.4).abs() < 1e-3, "{band:?}");
        }
    }
}
