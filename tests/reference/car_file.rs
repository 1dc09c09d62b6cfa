//! The car file: its JSON Schema against the demo cars and against the parser, and the example that reads one.

use laneside_core::car::{Car, demo};
use laneside_core::study::{Study, findings};
use serde_json::{Value, json};
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

const NETTLE: &str = include_str!("../../core/data/nettle.car.json");
const TANSY: &str = include_str!("../../core/data/tansy.car.json");
const SCHEMA: &str = include_str!("../../core/data/car.schema.json");

fn schema() -> jsonschema::Validator {
    let schema: Value = serde_json::from_str(SCHEMA).unwrap();
    jsonschema::draft202012::meta::validate(&schema).unwrap();
    jsonschema::draft202012::new(&schema).unwrap()
}

/// Verification: the files beside the core are what the core exports today.
#[test]
fn demo_files_are_the_exported_demo_cars() {
    for (car, file) in demo::cars().iter().zip([NETTLE, TANSY]) {
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
    for text in [NETTLE, TANSY, &empty.to_file().unwrap()] {
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
    let broken: [(&str, Value); 20] = [
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
        let wanted = serde_json::to_value(findings(&car, &study)).unwrap();
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
