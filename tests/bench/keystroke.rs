//! What an entry on the page Pulleys costs the phone's main thread until the chart is redrawn.
//!
//! `cargo run --release -p laneside-tests --features browser --bin keystroke`, after
//! `bash app/serve.sh --build-only`. The processor runs at a quarter of its speed. Entries are real
//! taps: on the stepper of the pulley to try, and on the keys of the pad while it is typed. Printed
//! are the median and the 95th percentile in milliseconds, and as multiples of a fixed unit of work
//! in the same page: milliseconds differ from machine to machine, multiples differ less.

use std::time::Duration;

use anyhow::{Context, Result, ensure};
use laneside_core::car::{Car, demo};
use laneside_core::quantity::System;
use laneside_tests::browser::chromium::{DRAW_APART, Profile};
use laneside_tests::browser::{Chromium, Screen, built_app};
use laneside_tests::server::Server;
use serde::Deserialize;

const THROTTLE: f64 = 4.0;
const NOTES: &str = include_str!("keystroke.js");
/// Longer than the page waits before it works out what takes longer.
const REST: Duration = Duration::from_millis(700);

/// Rounds of entries; a round is seven taps on the stepper, and eight keys.
const ROUNDS: usize = 8;
const STEPS: [&str; 7] = ["last", "last", "first", "first", "first", "last", "first"];
const KEYS: [(System, [&str; 8]); 2] = [
    (
        System::Inch,
        [
            "3",
            "1/4",
            "Take back",
            "Take back",
            "Take back",
            "5",
            "Take back",
            "2",
        ],
    ),
    (
        System::Metric,
        ["8", "0", "Take back", "5", "Point", "2", "Take back", "4"],
    ),
];

/// One entry, as the page noted it; times in milliseconds.
#[derive(Debug, Deserialize)]
struct Entry {
    /// The task of the event.
    task: f64,
    /// The frames until the chart was redrawn.
    frames: Vec<f64>,
    /// Both.
    work: f64,
    /// From the touch to the end of the next frame.
    paint: f64,
    /// From the touch to the end of the frame with the chart.
    chart: f64,
    /// Whether the chart was redrawn at all.
    redrawn: bool,
}

/// By nearest rank: the samples are few, and an interpolated one was never seen.
fn percentile(mut values: Vec<f64>, percent: usize) -> f64 {
    values.sort_by(f64::total_cmp);
    let last = values.len().saturating_sub(1);
    values
        .get((last * percent + 50) / 100)
        .copied()
        .unwrap_or(f64::NAN)
}

fn report(name: &str, entries: &[Entry], unit: f64) {
    println!("{name}: {} entries that redrew the chart", entries.len());
    type Part = fn(&Entry) -> f64;
    let parts: [(&str, Part); 5] = [
        ("main-thread work", |entry| entry.work),
        ("  of that the event's task", |entry| entry.task),
        ("  of that the frames", |entry| entry.frames.iter().sum()),
        ("entry to next paint", |entry| entry.paint),
        ("entry to chart redrawn", |entry| entry.chart),
    ];
    for (part, read) in parts {
        let values: Vec<f64> = entries.iter().map(read).collect();
        let (middle, high) = (percentile(values.clone(), 50), percentile(values, 95));
        println!(
            "  {part:<28} {middle:6.1} ms (95 % {high:6.1} ms)  {:6.1} units ({:6.1})",
            middle / unit,
            high / unit
        );
    }
}

async fn taken(chromium: &Chromium) -> Result<Vec<Entry>> {
    let take = "return entries.splice(0)";
    let all: Vec<Entry> = serde_json::from_value(chromium.script(take, vec![]).await?)?;
    Ok(all.into_iter().filter(|entry| entry.redrawn).collect())
}

async fn measure(chromium: &Chromium, car: Car) -> Result<()> {
    let name = car.name.clone();
    let keys = KEYS.iter().find(|(units, _)| *units == car.units);
    let (_, keys) = keys.context("no keys for these units")?;
    chromium.throttle_cpu(1.0).await?;
    chromium.save_cars(&[car], "pulleys").await?;
    chromium.wait_for("canvas").await?;
    chromium.script(NOTES, vec![]).await?;
    chromium.throttle_cpu(THROTTLE).await?;
    let unit = chromium.script("return unit()", vec![]).await?;
    let unit = unit.as_f64().context("the unit takes no time")?;
    println!("{name}: unit of ten thousand square roots, {unit:.3} ms");

    for _ in 0..ROUNDS {
        for end in STEPS {
            let button = format!(".pair > :nth-child(2) .step:{end}-child");
            if chromium.count(&format!("{button}:disabled")).await? == 0 {
                chromium.tap(&button).await?;
                tokio::time::sleep(REST).await;
            }
        }
    }
    let steps = taken(chromium).await?;
    ensure!(steps.len() >= 50, "only {} steps", steps.len());
    report(&format!("{name}, stepper"), &steps, unit);

    chromium.tap("#tried").await?;
    chromium.wait_for(".pad").await?;
    chromium.tap_keys(&["Clear"]).await?;
    taken(chromium).await?;
    for _ in 0..ROUNDS {
        for key in keys {
            chromium.tap_keys(&[key]).await?;
            tokio::time::sleep(REST).await;
        }
        chromium.tap_keys(&["Clear"]).await?;
        tokio::time::sleep(REST).await;
    }
    report(&format!("{name}, pad"), &taken(chromium).await?, unit);
    let long = "return long.splice(0).map(([, duration]) => duration)";
    let long: Vec<f64> = serde_json::from_value(chromium.script(long, vec![]).await?)?;
    println!(
        "  tasks over 50 ms: {}, the longest {:.0} ms, the middle one {:.0} ms",
        long.len(),
        percentile(long.clone(), 100),
        percentile(long, 50)
    );
    Ok(())
}

#[tokio::main]
async fn main() -> Result<()> {
    let server = Server::start(&built_app()?, 0)?;
    let profile = Profile::new()?;
    let chromium = Chromium::start_with(&profile, Screen::PHONE, &DRAW_APART).await?;
    chromium.open(&server.url()).await?;
    for car in demo::cars() {
        measure(&chromium, car).await?;
    }
    chromium.close().await
}
