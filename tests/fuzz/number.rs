//! Feeds the parser of typed quantities with made-up texts, and checks what comes out.
//!
//! `cargo run --profile fuzz -p laneside-tests --features fuzz --bin fuzz-number -- [RUNS] [SEED]`. The texts are made of what
//! people and keyboards put into numbers, then mutated. What is read must be finite, must not depend on blanks around it,
//! and, shown by the app's own format in the same units, must be read again as the number it shows.

mod mutate;
mod runs;

use anyhow::{Context, Result, ensure};
use laneside_core::quantity::System;
use laneside_core::quantity::parse::Kind;
use laneside_core::quantity::plain::{read, show};
use rand::RngExt;
use rand::rngs::StdRng;
use std::time::Duration;

const BITS: &[&str] = &[
    "0",
    "1",
    "2",
    "9",
    "12",
    "007",
    "250",
    "000",
    "13.8",
    "13,8",
    "7,000",
    "7.000",
    "1,234.5",
    "1.234,5",
    ".5",
    ",5",
    "5.",
    "1/4",
    "3/16",
    "9/4",
    "1/0",
    "0/8",
    "2 1/4",
    "2-1/4",
    "-",
    "+",
    "--",
    ".",
    ",",
    "/",
    ":",
    "'",
    "\"",
    "”",
    "″",
    "’",
    "\u{2212}",
    "\u{2013}",
    "\u{a0}",
    "\u{202f}",
    "\u{200b}",
    "\u{feff}",
    "½",
    "¼",
    "⅞",
    "⅓",
    "２",
    "．",
    "٣",
    "in",
    "IN.",
    "inch",
    "mm",
    "cm",
    "m",
    "ft",
    "rpm",
    "1/min",
    "k",
    "K",
    "A",
    "amps",
    "mA",
    "V",
    "mV",
    "W",
    "kW",
    "hp",
    "Ω",
    "mohm",
    "ohm",
    "%",
    "°C",
    "°F",
    "C",
    "f",
    "s",
    "sec",
    "min",
    "h",
    "mph",
    "km/h",
    "lb",
    "kg",
    "N",
    "lbf",
    "Hz",
    "Ah",
    "mAh",
    "e",
    "E",
    "1e9",
    "1e999",
    "NaN",
    "inf",
    "1:40",
    "2.4:1",
    "1:2.4",
    "12:00:00",
    " ",
    "  ",
    "\t",
    "\n",
    "\0",
    "99999999999999999999",
    "0.00000000000000000001",
    "\u{1F600}",
    "<b>",
    "\u{fffd}",
    "ſ",
    "İ",
    "ß",
];

fn text(random: &mut StdRng) -> String {
    let mut text = String::new();
    for _ in 0..random.random_range(0..5) {
        text.push_str(mutate::pick(random, BITS));
    }
    let mut bytes = text.into_bytes();
    if random.random_bool(0.3) {
        mutate::mutate(random, &mut bytes, BITS, 3);
    }
    String::from_utf8_lossy(&bytes).into_owned()
}

fn case(random: &mut StdRng) -> Result<usize> {
    let text = text(random);
    let kind = Kind::ALL[random.random_range(0..Kind::ALL.len())];
    let system = [System::Inch, System::Metric][random.random_range(0..2)];
    let found = read(&text, kind, system);
    let around = read(&format!(" \u{a0}{text}\t "), kind, system);
    ensure!(
        found.as_ref().ok() == around.as_ref().ok(),
        "{kind:?} {system:?}: {found:?}, with blanks around {around:?}"
    );
    let Ok(found) = found else {
        return Ok(0);
    };
    ensure!(found.is_finite(), "{kind:?}: read as {found}");
    // Beyond what any field takes, a shown number has too few digits to say the same again.
    if found.abs() > 1e9 {
        return Ok(1);
    }
    let shown = show(found, kind, system).to_string();
    let again = read(&shown, kind, system)
        .with_context(|| format!("{kind:?}: {found} is shown as {shown:?}, which is refused"))?;
    let third = show(again, kind, system).to_string();
    ensure!(
        shown == third,
        "{kind:?}: {found} is shown as {shown:?}, read as {again}, shown as {third:?}"
    );
    Ok(2)
}

fn main() -> Result<()> {
    runs::runs(
        [
            "refused",
            "read, out of all ranges",
            "read, and read again as shown",
        ],
        5_000_000,
        Duration::from_secs(1),
        |random| format!("{:?}", text(random)),
        case,
    )
}
