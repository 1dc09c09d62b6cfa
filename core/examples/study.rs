//! Reads an exported car file and prints every finding as JSON.
//!
//! ```text
//! cargo run -p laneside-core --example study -- core/data/nettle.car.json
//! ```

use std::process::ExitCode;

use laneside_core::car::Car;
use laneside_core::choose::ways_out;
use laneside_core::finding::Provenance;
use laneside_core::resolve::Unresolved;
use laneside_core::study::{Study, findings, race_findings};
use serde_json::json;

fn main() -> ExitCode {
    match run() {
        Ok(text) => {
            println!("{text}");
            ExitCode::SUCCESS
        }
        Err(message) => {
            eprintln!("study: {message}");
            ExitCode::FAILURE
        }
    }
}

fn run() -> Result<String, String> {
    let path = std::env::args()
        .nth(1)
        .ok_or("need the path of a car file")?;
    let text = std::fs::read_to_string(&path).map_err(|error| format!("{path}: {error}"))?;
    let car = Car::from_file(&text).map_err(|error| format!("{path}: {error}"))?;
    let study = Study::new(&car).map_err(|unresolved| match unresolved {
        Unresolved::Blanks(blanks) => format!("{path}: not entered yet: {blanks:?}"),
        Unresolved::Curve(error) => format!("{path}: output curve: {error}"),
    })?;
    let ways: Vec<_> = if study.window.sure().is_none() {
        ways_out(&car)
            .into_iter()
            .map(|way| json!({ "kind": way.kind, "from": way.from, "to": way.to, "window_mm": way.window.sure() }))
            .collect()
    } else {
        Vec::new()
    };
    let assumed: Vec<_> = study
        .assumed()
        .into_iter()
        .map(|assumed| json!({ "input": assumed.input, "share": assumed.share, "matters": assumed.matters }))
        .collect();
    // Only the pass and the day rest on these.
    let supply: Vec<_> = study
        .tolerances
        .resolved()
        .supply_inputs
        .iter()
        .filter(|input| input.provenance == Provenance::Assumed)
        .collect();
    let mut found = findings(&car, &study);
    found.extend(race_findings(&car, &study));
    let whole = json!({
        "car": car.name,
        "findings": found,
        "assumed": assumed,
        "assumed_of_pass_and_day": supply,
        "no_size_does_both": study.no_size_does_both(),
        "ways_out": ways,
    });
    serde_json::to_string_pretty(&whole).map_err(|error| error.to_string())
}
