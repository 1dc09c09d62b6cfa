//! Feeds the import of cars with mutated files, and asks everything of what is taken.
//!
//! `cargo run --profile fuzz -p laneside-tests --features fuzz --bin fuzz-car -- [RUNS] [SEED]`. The files are those of the demo
//! cars and of the cars of every verdict, with values replaced, left out, doubled and swapped inside, or bytes changed. A
//! file that is taken must be written and read again as the same car, and every answer of that car, its pass, day, belt and
//! job card too, must come without a panic, in seconds, and finite.

mod mutate;
mod runs;
mod tree;

use anyhow::{Context, Result, ensure};
use laneside_core::belt::BeltStudy;
use laneside_core::car::entry::{Field, set, shown};
use laneside_core::car::several;
use laneside_core::car::swap::JobCard;
use laneside_core::car::{Car, demo};
use laneside_core::finding::Finding;
use laneside_core::study::{Study, findings, race_findings};
use laneside_tests::cars;
use rand::RngExt;
use rand::rngs::StdRng;
use serde_json::Value;
use std::sync::LazyLock;
use std::time::Duration;

static SEEDS: LazyLock<Vec<String>> = LazyLock::new(|| {
    let mut cars = vec![
        demo::nettle(),
        demo::tansy(),
        demo::tansy_short(),
        cars::over(),
        cars::holds(),
        cars::short_at_idle(),
        cars::too_close(),
        cars::no_size(),
    ];
    let carded = demo::nettle();
    if let Ok(study) = Study::new(&carded) {
        let mut car = carded.clone();
        car.swap = JobCard::new(&carded, &study, "2026-01-01");
        cars.extend(car.swapped("2026-01-02").ok());
        cars.push(car);
    }
    cars.iter().filter_map(|car| car.to_file().ok()).collect()
});

fn file(random: &mut StdRng) -> String {
    let seed = &SEEDS[random.random_range(0..SEEDS.len())];
    let mut text = seed.clone();
    if random.random_bool(0.9)
        && let Ok(mut tree) = serde_json::from_str::<Value>(seed)
    {
        for _ in 0..random.random_range(1..6) {
            // Mostly inside the car: the envelope has few fields.
            match tree.get_mut("car") {
                Some(car) if random.random_bool(0.95) => tree::change(random, car),
                _ => tree::change(random, &mut tree),
            }
        }
        text = tree.to_string();
    } else {
        let mut bytes = text.into_bytes();
        mutate::mutate(random, &mut bytes, tree::BITS, 5);
        text = String::from_utf8_lossy(&bytes).into_owned();
    }
    text
}

fn finite(found: &[Finding]) -> Result<()> {
    for one in found {
        let spread = one
            .spread
            .map_or([0.0; 2], |spread| [spread.down, spread.up]);
        let inputs = one.working.inputs.iter().map(|input| input.value);
        let mut numbers = one.value.into_iter().chain(spread).chain(inputs);
        ensure!(numbers.all(f64::is_finite), "not finite: {one:?}");
    }
    Ok(())
}

fn case(random: &mut StdRng) -> Result<usize> {
    let text = file(random);
    let _ = several::read(&text);
    let Ok(car) = Car::from_file(&text) else {
        return Ok(0);
    };
    let again = Car::from_file(&car.to_file()?).context("what was written is not read")?;
    ensure!(car == again, "written and read, another car: {again:?}");
    for field in Field::singles() {
        let text = shown(&car, field);
        // What is shown may be rounded out of a range, and is then refused as typed text would be.
        let _ = set(&car, field, &text);
    }
    let study = Study::new(&car).ok();
    let belt = BeltStudy::new(&car, study.as_ref());
    let Some(study) = study else {
        return Ok(1);
    };
    finite(&findings(&car, &study))?;
    let Some(card) = JobCard::new(&car, &study, "2026-01-01") else {
        return Ok(2);
    };
    ensure!(card.outdated(&card).is_none(), "a card outdated by itself");
    if random.random_bool(0.25) {
        finite(&race_findings(&car, &study))?;
    }
    Ok(if belt.is_ok() { 4 } else { 3 })
}

fn main() -> Result<()> {
    runs::runs(
        [
            "refused",
            "taken, too little entered for an answer",
            "answered, nothing to swap",
            "answered, no belt",
            "answered, with belt",
        ],
        100_000,
        // Wall time, on a machine that may have other work.
        Duration::from_secs(30),
        file,
        case,
    )
}
