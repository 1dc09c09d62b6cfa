//! What an entry on the page Pulleys costs the phone's main thread until the chart is redrawn.
//!
//! `cargo run --release -p laneside-tests --features browser --bin keystroke`, after
//! `bash app/serve.sh --build-only`. The processor runs at a quarter of its speed. Entries are real
//! taps: on the stepper of the pulley to try, and on the keys of the pad while it is typed. Printed
//! are the median and the 95th percentile in milliseconds, and as multiples of a fixed unit of work
//! in the same page: milliseconds differ from machine to machine, multiples differ less.

mod notes;

use std::time::Duration;

use anyhow::{Context, Result, ensure};
use laneside_core::car::{Car, demo};
use laneside_core::quantity::System;
use laneside_tests::browser::chromium::DRAW_APART;
use laneside_tests::browser::{Chromium, Profile, Screen, built_app};
use laneside_tests::server::Server;
use notes::{percentile, report, taken};

const THROTTLE: f64 = 4.0;
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

async fn measure(chromium: &Chromium, car: Car) -> Result<()> {
    let name = car.name.clone();
    let keys = KEYS.iter().find(|(units, _)| *units == car.units);
    let (_, keys) = keys.context("no keys for these units")?;
    chromium.throttle_cpu(1.0).await?;
    chromium.save_cars(&[car], "pulleys").await?;
    chromium.wait_for("canvas").await?;
    chromium.script(notes::SCRIPT, vec![]).await?;
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
