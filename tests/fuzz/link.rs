//! Feeds what takes handed-on cars with mutated codes, links' contents and files of several cars.
//!
//! `cargo run --profile fuzz -p laneside-tests --features fuzz --bin fuzz-link -- [RUNS] [SEED]`. Codes are spoilt, left out,
//! doubled, shuffled and mixed with those of another car: what is put together from them must be what was sent, or be
//! refused. A file that is read must be written and read again as the same cars. Base45 that is read must be written again
//! as the same text.

mod mutate;
mod runs;
mod tree;

use anyhow::{Context, Result, ensure};
use laneside_core::car::several::{read, write};
use laneside_core::car::{Car, demo};
use laneside_core::carry::base45;
use laneside_core::carry::parts::{Collected, MARK, Refused, split};
use laneside_core::log::kept::KeptPass;
use laneside_tests::cars;
use rand::RngExt;
use rand::rngs::StdRng;
use rand::seq::SliceRandom;
use std::sync::LazyLock;
use std::time::Duration;

static CARS: LazyLock<Vec<Car>> = LazyLock::new(|| {
    vec![
        demo::nettle(),
        demo::tansy(),
        demo::tansy_short(),
        cars::over(),
        cars::holds(),
        cars::no_size(),
    ]
});

const NO_PASSES: &[KeptPass] = &[];

/// Pieces of codes.
const BITS: &[&str] = &[
    "LS1:",
    "LS2:",
    "LS",
    ":",
    ":::",
    "000",
    "GGW",
    "%69 VD92EX0",
    "\u{0}",
    "\u{fffd}",
    "a",
];

fn some_cars(random: &mut StdRng) -> Vec<&'static Car> {
    let count = [1, 1, 2, 3, 6][random.random_range(0..5)];
    (0..count)
        .filter_map(|_| CARS.get(random.random_range(0..CARS.len())))
        .collect()
}

/// A file of some cars as it is written.
fn file(random: &mut StdRng) -> Result<String> {
    let cars: Vec<_> = some_cars(random)
        .into_iter()
        .map(|car| (car, NO_PASSES))
        .collect();
    Ok(write(&cars)?.0)
}

/// The same with something wrong in it.
fn spoilt(random: &mut StdRng) -> Result<String> {
    let text = file(random)?;
    if random.random_bool(0.8) {
        let mut inside = serde_json::from_str(&text)?;
        for _ in 0..random.random_range(1..4) {
            tree::change(random, &mut inside);
        }
        return Ok(inside.to_string());
    }
    let mut bytes = text.into_bytes();
    mutate::mutate(random, &mut bytes, tree::BITS, 4);
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

/// What a camera reads off somebody's screen, or two persons' screens, and what was sent.
fn seen(random: &mut StdRng) -> Result<(Vec<u8>, Vec<String>)> {
    // A real one is squeezed; any bytes do.
    let sent: Vec<u8> = (0..random.random_range(1..4_000))
        .map(|_| random.random())
        .collect();
    let mut texts = split(&sent).context("it is short enough")?;
    if random.random_bool(0.3) {
        let other: Vec<u8> = sent.iter().map(|byte| byte ^ 1).collect();
        texts.extend(split(&other).context("it is as long")?);
    }
    let again = texts[random.random_range(0..texts.len())].clone();
    texts.push(again);
    texts.shuffle(random);
    for text in &mut texts {
        if random.random_bool(0.3) {
            let mut bytes = std::mem::take(text).into_bytes();
            mutate::mutate(random, &mut bytes, BITS, 2);
            *text = String::from_utf8_lossy(&bytes).into_owned();
        }
    }
    Ok((sent, texts))
}

fn show(random: &mut StdRng) -> String {
    let shown = if random.random_bool(0.5) {
        seen(random).map(|(_, texts)| format!("{texts:?}"))
    } else {
        spoilt(random)
    };
    shown.unwrap_or_else(|fault| fault.to_string())
}

/// Codes: refused in part, or whole.
fn codes(random: &mut StdRng) -> Result<usize> {
    let (sent, texts) = seen(random)?;
    let other: Vec<u8> = sent.iter().map(|byte| byte ^ 1).collect();
    let mut collected = Collected::default();
    let mut outcome = 0;
    for text in &texts {
        if let Some(bytes) = text.strip_prefix(MARK).and_then(base45::decode) {
            let again = format!("{MARK}{}", base45::encode(&bytes));
            ensure!(&again == text, "{text} became {again}");
        }
        let before = collected.progress();
        match collected.take(text) {
            Ok(Some(whole)) => {
                ensure!(whole == sent || whole == other, "not what was sent");
                outcome = 1;
            }
            Ok(None) => ensure!(collected.progress() >= before, "it lost a piece"),
            Err(Refused::Damaged) => ensure!(collected.progress() == (0, 0), "it kept damage"),
            Err(_) => ensure!(collected.progress() == before, "a refused code changed it"),
        }
        let (taken, all) = collected.progress();
        ensure!(
            collected.wanted().len() == all - taken,
            "it wants another number"
        );
    }
    Ok(outcome)
}

/// A file: refused, or read.
fn cars(random: &mut StdRng) -> Result<usize> {
    let Ok(carried) = read(&spoilt(random)?) else {
        return Ok(2);
    };
    let list: Vec<_> = carried
        .iter()
        .map(|one| (&one.car, one.passes.as_slice()))
        .collect();
    let (text, left_out) = write(&list)?;
    ensure!(left_out == 0, "passes that fit were left out");
    let again = read(&text).context("what was written is not read")?;
    ensure!(again.len() == carried.len(), "another number of cars");
    for (one, other) in carried.iter().zip(&again) {
        ensure!(one.car == other.car, "another car: {:?}", other.car);
        ensure!(one.passes == other.passes, "other passes");
    }
    Ok(3)
}

fn case(random: &mut StdRng) -> Result<usize> {
    if random.random_bool(0.5) {
        codes(random)
    } else {
        cars(random)
    }
}

fn main() -> Result<()> {
    runs::runs(
        [
            "codes, none whole",
            "codes, put together as sent",
            "files refused",
            "files read",
        ],
        1_000_000,
        // Wall time, on a machine that may have other work.
        Duration::from_secs(10),
        show,
        case,
    )
}
