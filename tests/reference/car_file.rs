//! The car file: its JSON Schema against the demo cars and against the parser, and the example that reads one.

use laneside_core::car::{Car, demo};
use laneside_core::study::{Study, findings, race_findings};
use serde_json::{Value, json};
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

const NETTLE: &str = include_str!("../../core/data/nettle.car.json");
const TANSY: &str = include_str!("../../core/data/tansy.car.json");
const TANSY_SHORT: &str = include_str!("../../core/data/tansy-24a.car.json");
const SCHEMA: &str = include_str!("../../core/data/car.schema.json");

fn schema() -> jsonschema::Validator {
    let schema: Value = serde_json::from_str(SCHEMA).unwrap();
    jsonschema::draft202012::meta::validate(&schema).unwrap();
    jsonschema::draft202012::new(&schema).unwrap()
}

/// Verification: the files beside the core are what the core exports today.
#[test]
fn demo_files_are_the_exported_demo_cars() {
    let short = demo::tansy_short();
    let cars = demo::cars();
    for (car, file) in cars
        .iter()
        .chain([&short])
        .zip([NETTLE, TANSY, TANSY_SHORT])
    {
        assert_eq!(
            car.to_file().unwrap(),
            file.trim_end(),
            "{}: export it again",
            car.name
        );
        assert_eq!(Car::from_file(file).unwrap().name, car.name);
    }
}

/// Validation. Source: JSON Schema draft 2020-12, by the `jsonschema` crate: the schema is one, and both demo cars and an empty
/// car hold to it.
#[test]
fn cars_hold_to_the_schema() {
    let schema = schema();
    let empty = Car::new("Empty", laneside_core::quantity::System::Metric);
    for text in [NETTLE, TANSY, TANSY_SHORT, &empty.to_file().unwrap()] {
        let file: Value = serde_json::from_str(text).unwrap();
        let errors: Vec<String> = schema
            .iter_errors(&file)
            .map(|error| format!("{}: {error}", error.instance_path()))
            .collect();
        assert!(errors.is_empty(), "{errors:?}");
    }
}

/// Validation. Source: the same. What the schema refuses the parser refuses too.
#[test]
fn broken_files_are_refused_by_schema_and_parser() {
    let schema = schema();
    let broken: [(&str, Value); 51] = [
        ("/format", json!("something-else")),
        ("/version", json!(2)),
        ("/car", Value::Null),
        ("/car/name", json!("  ")),
        ("/car/units", json!("furlong")),
        ("/car/engine/limiter_rpm", json!(90_000)),
        ("/car/engine/limiter_rpm", json!("7200")),
        ("/car/engine/nitro", json!(true)),
        ("/car/drive/crank/size_mm", json!(2_000)),
        ("/car/drive/crank/size_mm", json!(-150)),
        ("/car/drive/crank/measure", json!("guessed")),
        ("/car/drive/fitted", json!({ "size_mm": 60.0 })),
        // As a circumference this is a pulley of 18 mm.
        (
            "/car/drive/fitted",
            json!({ "size_mm": 57.15, "measure": "tape" }),
        ),
        (
            "/car/drive/second_stage",
            json!({ "driven": { "size_mm": 9.0, "measure": "pitch" } }),
        ),
        ("/car/alternator/rated_a", json!(0)),
        ("/car/alternator/set_point_v", json!(28)),
        ("/car/alternator/limits", json!({ "short_rpm": 20_000 })),
        ("/car/loads/0/duty/0/fraction", json!(1.5)),
        ("/car/phases/0/engine", json!({ "state": "at" })),
        ("/car/phases/0/id", json!("")),
        ("/car/battery/chemistry", json!("nickel")),
        // Six cells of lead-acid are there; of lithium they come in fours.
        ("/car/battery/chemistry", json!("lithium_iron_phosphate")),
        ("/car/battery/cells", json!(5)),
        ("/car/battery/cells", json!(6.5)),
        ("/car/battery/capacity_ah", json!(0)),
        ("/car/battery/rested_v", json!(-1)),
        ("/car/wiring/lead/size", json!({ "awg": 30 })),
        ("/car/wiring/lead/size", json!({ "awg": 3.5 })),
        ("/car/wiring/lead/size", json!({ "mm2": 0 })),
        ("/car/wiring/lead/size", json!({ "mm2": 16, "awg": 4 })),
        ("/car/wiring/lead/size", json!("16")),
        ("/car/wiring/ground/drop_at_a", json!(0)),
        ("/car/course/kind", Value::Null),
        ("/car/course/elapsed_s", json!(1)),
        ("/car/course/gears", json!([2.48, 9.0])),
        ("/car/course/points", json!([{ "seconds": 1 }])),
        (
            "/car/course/segments",
            json!([{ "name": "", "seconds": 1, "from_rpm": 1, "to_rpm": 1 }]),
        ),
        ("/car/course/costs", json!({ "coil_ohm": 0 })),
        ("/car/day/rounds", json!(2.5)),
        ("/car/day/steps", json!([{ "phase": "pits" }])),
        (
            "/car/day/steps",
            json!([{ "phase": "pits", "seconds": 60, "starts": -1 }]),
        ),
        (
            "/car/day/reading",
            json!({ "before_round": 0, "volts": 12.6 }),
        ),
        ("/car/belt_drive/pulleys/0/role", json!("spare")),
        ("/car/belt_drive/pulleys/2/diameter_mm", json!(5)),
        ("/car/belt_drive/pulleys/2/x_mm", Value::Null),
        ("/car/belt_drive/tapes/0/from", json!(-1)),
        ("/car/belt_drive/tapes/0/distance_mm", json!(0)),
        ("/car/belt_drive/mover/pulley", json!(12)),
        ("/car/belt_drive/ribs", json!(1)),
        ("/car/belt_drive/obstacles/0/across_mm", json!(-1)),
        ("/car/belt_drive/shaft/nut", json!(" ")),
    ];
    for (place, value) in broken {
        let mut file: Value = serde_json::from_str(NETTLE).unwrap();
        let (parent, field) = place.rsplit_once('/').unwrap();
        match file.pointer_mut(parent).unwrap() {
            Value::Object(fields) => fields.insert(field.to_owned(), value.clone()),
            other => panic!("{place}: {other} has no fields"),
        };
        assert!(
            !schema.is_valid(&file),
            "the schema takes {value} at {place}"
        );
        assert!(
            Car::from_file(&file.to_string()).is_err(),
            "the parser takes {value} at {place}"
        );
    }
}

/// Verification: a car with every field that a pass and a day may have holds to the schema and reads back.
#[test]
fn a_car_with_everything_entered_holds_to_the_schema() {
    let mut file: Value = serde_json::from_str(NETTLE).unwrap();
    let more = json!({
        "battery": {
            "chemistry": "lithium_iron_phosphate", "cells": 4, "capacity_ah": 30, "crank_a": 700, "crank_standard": "pulse",
            "measured_mohm": 3.5, "measured_at_c": 20, "age": "new", "charge_limit_a": 60, "rested_v": 13.3, "rested_h": 2
        },
        "wiring": {
            "lead": { "size": { "awg": -1 }, "length_m": 4.5 },
            "ground": { "size": { "mm2": 35 }, "length_m": 1, "drop_v": 0.1, "drop_at_a": 50 },
            "hot_c": 80, "fuse_a": 150, "sense": "battery", "read_at": "stud", "meter_v": 13.8, "shown_v": 13.6
        },
        "course": {
            "kind": "points", "elapsed_s": 10.2, "trap_mps": 58.5, "sixty_ft_s": 1.5, "gears": [3.0, 1.0], "final_drive": 4.1,
            "tire_mm": 711, "tire": "radial", "slip": 0.04, "shift_s": 0.2, "mishap": "missed_shift", "laps": 3,
            "points": [{ "seconds": 0, "speed_rpm": 4200 }, { "seconds": 1.5, "speed_rpm": 7100 }],
            "segments": [{ "name": "Esses", "seconds": 12, "from_rpm": 5000, "to_rpm": 7000 }],
            "costs": {
                "flow_12_lph": 200, "flow_13_5_lph": 240, "dead_12_ms": 1.1, "dead_14_ms": 0.9, "coil_mh": 4,
                "coil_ohm": 0.6, "coil_a": 8
            }
        },
        "day": {
            "kind": "test_and_tune", "rounds": 8, "late_from": 5, "late_pits_s": 900, "ambient_c": 28, "charger_a": 10,
            "charger_v": 14.4, "starter_a": 180, "starter_s": 1.5, "least_v": 12.4,
            "steps": [
                { "phase": "pits", "seconds": 600, "charger": true },
                { "phase": "lanes", "seconds": 300, "starts": 1, "off": true }
            ],
            "reading": { "before_round": 3, "volts": 12.5, "rested_h": 0.5 }
        }
    });
    for (part, value) in more.as_object().unwrap() {
        file["car"][part] = value.clone();
    }
    let text = Car::from_file(&file.to_string())
        .unwrap()
        .to_file()
        .unwrap();
    let written: Value = serde_json::from_str(&text).unwrap();
    for file in [&file, &written] {
        let errors: Vec<String> = schema()
            .iter_errors(file)
            .map(|error| error.to_string())
            .collect();
        assert!(errors.is_empty(), "{errors:?}");
    }
    for (part, value) in more.as_object().unwrap() {
        assert!(
            same(&written["car"][part], value),
            "{part}: {} is not {value}",
            written["car"][part]
        );
    }
}

/// Whether two values are the same, `1` and `1.0` alike.
fn same(one: &Value, other: &Value) -> bool {
    match (one, other) {
        (Value::Object(one), Value::Object(other)) => {
            one.len() == other.len()
                && one
                    .iter()
                    .all(|(key, value)| other.get(key).is_some_and(|other| same(value, other)))
        }
        (Value::Array(one), Value::Array(other)) => {
            one.len() == other.len() && one.iter().zip(other).all(|(one, other)| same(one, other))
        }
        _ => one == other || one.is_number() && one.as_f64() == other.as_f64(),
    }
}

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

fn example(car: &str) -> Output {
    Command::new(env!("CARGO"))
        .args([
            "run",
            "--quiet",
            "--locked",
            "-p",
            "laneside-core",
            "--example",
            "study",
            "--",
            car,
        ])
        .current_dir(root())
        .output()
        .unwrap()
}

/// Verification: the example prints every finding of either demo car, each with its value, unit, spread, status, reason and
/// sources, and says what is wrong with a file that is not there.
#[test]
fn the_example_prints_every_finding() {
    for (name, text) in [("nettle", NETTLE), ("tansy", TANSY)] {
        let output = example(&format!("core/data/{name}.car.json"));
        assert!(
            output.status.success(),
            "{}",
            String::from_utf8_lossy(&output.stderr)
        );
        let printed: Value = serde_json::from_slice(&output.stdout).unwrap();
        let car = Car::from_file(text).unwrap();
        let study = Study::new(&car).unwrap();
        let mut wanted = findings(&car, &study);
        wanted.extend(race_findings(&car, &study));
        let wanted = serde_json::to_value(wanted).unwrap();
        let found = printed["findings"].as_array().unwrap();
        assert_eq!(found.len(), wanted.as_array().unwrap().len());
        for (finding, wanted) in found.iter().zip(wanted.as_array().unwrap()) {
            assert_eq!(finding["code"], wanted["code"]);
            for field in ["value", "unit", "spread", "status", "reason", "working"] {
                assert!(
                    finding.get(field).is_some(),
                    "{}: no {field}",
                    finding["code"]
                );
            }
            assert!(
                !finding["working"]["sources"].as_array().unwrap().is_empty(),
                "{}",
                finding["code"]
            );
        }
        let verdicts = found
            .iter()
            .filter(|finding| finding["code"] == "verdict")
            .count();
        assert_eq!(verdicts, 2, "on the car and to try");
    }
    let missing = example("core/data/nobody.car.json");
    assert!(!missing.status.success());
    assert!(String::from_utf8_lossy(&missing.stderr).contains("nobody.car.json"));
}
