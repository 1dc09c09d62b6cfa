//! The car files of every version ever written: each must be read for good, into the very cars that are in it.
//!
//! Verification. The files are never changed; a new version adds one.

use laneside_core::car::file::{FileError, VERSION};
use laneside_core::car::several::{self, Carried};
use serde_json::Value;
use std::path::{Path, PathBuf};

fn golden() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../core/data/golden")
}

fn text(version: u32) -> String {
    let path = golden().join(format!("{version}.car.json"));
    std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

/// Whether everything of `old` is in `new` with the same value. What a later version adds is no harm.
fn holds(new: &Value, old: &Value, place: &str) {
    match (new, old) {
        (Value::Object(new), Value::Object(old)) => {
            for (key, old) in old {
                let place = format!("{place}/{key}");
                let new = new.get(key).unwrap_or_else(|| panic!("{place} is lost"));
                holds(new, old, &place);
            }
        }
        (Value::Array(new), Value::Array(old)) => {
            assert_eq!(new.len(), old.len(), "{place}");
            for (at, (new, old)) in new.iter().zip(old).enumerate() {
                holds(new, old, &format!("{place}/{at}"));
            }
        }
        (Value::Number(new), Value::Number(old)) => {
            let (new, old) = (new.as_f64().unwrap(), old.as_f64().unwrap());
            assert!(
                (new - old).abs() <= 1e-8 * old.abs().max(1.0),
                "{place}: {new} for {old}"
            );
        }
        _ => assert_eq!(new, old, "{place}"),
    }
}

/// The cars of a file as they stand in it, each with its passes, whatever its version.
fn as_written(file: &Value) -> Vec<Value> {
    match file.get("cars") {
        Some(cars) => cars.as_array().unwrap().clone(),
        None => vec![file.clone()],
    }
}

fn assert_reads(read: &[Carried], file: &Value) {
    let written = as_written(file);
    assert_eq!(read.len(), written.len());
    for (carried, old) in read.iter().zip(&written) {
        let new: Value = serde_json::from_str(&carried.car.to_file().unwrap()).unwrap();
        holds(&new["car"], &old["car"], "car");
        let old = old["passes"].as_array().cloned().unwrap_or_default();
        assert_eq!((carried.passes.len(), carried.unknown), (old.len(), 0));
        for (pass, old) in carried.passes.iter().zip(&old) {
            let new: Value = serde_json::from_str(&pass.to_text().unwrap()).unwrap();
            holds(&new["pass"], &old["pass"], "pass");
        }
    }
}

#[test]
fn every_version_has_its_file_and_is_read_for_good() {
    for version in 1..=VERSION {
        let text = text(version);
        let file: Value = serde_json::from_str(&text).unwrap();
        assert_eq!(file["version"], version);
        assert_reads(&several::read(&text).unwrap(), &file);
    }
    let files = std::fs::read_dir(golden()).unwrap().count();
    assert_eq!(files, VERSION as usize, "one file a version");
}

/// What is there to be lost: every optional part.
#[test]
fn the_files_have_every_optional_part() {
    for version in 1..=VERSION {
        let file: Value = serde_json::from_str(&text(version)).unwrap();
        let car = &as_written(&file)[0];
        for place in [
            "/car/loads",
            "/car/phases",
            "/car/belt_drive/pulleys",
            "/car/swap/ticked",
            "/car/swap/notes",
            "/car/swap/before/readings",
            "/car/swap/done/drive",
            "/car/history/0",
            "/passes/0/pass",
        ] {
            assert!(car.pointer(place).is_some(), "{version}: no {place}");
        }
    }
}

#[test]
fn a_version_newer_than_any_is_refused_and_told() {
    let newer = text(VERSION).replacen(
        &format!("\"version\": {VERSION}"),
        &format!("\"version\": {}", VERSION + 1),
        1,
    );
    match several::read(&newer) {
        Err(error @ FileError::Newer { found }) => {
            assert_eq!(found, VERSION + 1);
            let told = error.to_string();
            assert!(told.contains(&format!("up to {VERSION}")), "{told}");
        }
        other => panic!("{other:?}"),
    }
}

/// Validation. Source: JSON Schema draft 2020-12, by the `jsonschema` crate.
#[test]
fn golden_files_hold_to_the_schema() {
    let schema: Value =
        serde_json::from_str(include_str!("../../core/data/car.schema.json")).unwrap();
    let schema = jsonschema::draft202012::new(&schema).unwrap();
    for version in 1..=VERSION {
        let file: Value = serde_json::from_str(&text(version)).unwrap();
        let errors: Vec<String> = schema
            .iter_errors(&file)
            .map(|error| format!("{}: {error}", error.instance_path()))
            .collect();
        assert!(errors.is_empty(), "{version}: {errors:?}");
    }
}
