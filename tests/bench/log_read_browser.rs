//! Reads one log in a browser by Laneside's reader and by readers in JavaScript: `bash tests/bench/log_read.sh` builds
//! the page and runs it.
//!
//! Printed are the middle times and, the figure that differs little from machine to machine, how many times as long the
//! others take in the same page; and the most memory that the module took, as a multiple of the file.

use anyhow::{Context, Result, ensure};
use laneside_tests::browser::{Chromium, Profile, Screen};
use laneside_tests::server::Server;
use serde::Deserialize;
use serde_json::json;
use std::collections::BTreeMap;
use std::path::PathBuf;
use std::time::Duration;

const ROUNDS: u32 = 5;

#[derive(Deserialize)]
struct Measured {
    bytes: f64,
    memory: f64,
    taken: BTreeMap<String, Vec<f64>>,
    /// Sums of the columns, by reader.
    found: BTreeMap<String, Vec<f64>>,
}

fn median(times: &[f64]) -> f64 {
    let mut times = times.to_vec();
    times.sort_by(f64::total_cmp);
    times.get(times.len() / 2).copied().unwrap_or(f64::NAN)
}

/// All readers must have read the same: Laneside gives the time apart, and singles instead of doubles.
fn check(found: &BTreeMap<String, Vec<f64>>) -> Result<()> {
    let ours = found.get("laneside").context("Laneside read nothing")?;
    for (name, sums) in found.iter().filter(|(name, _)| *name != "laneside") {
        let theirs = sums.get(1..).unwrap_or_default();
        ensure!(
            theirs.len() + 1 == ours.len(),
            "{name} reads {} columns",
            sums.len()
        );
        for (ours, theirs) in ours.iter().zip(theirs) {
            let apart = (ours / theirs - 1.0).abs();
            ensure!(
                apart < 1e-6,
                "{name} sums a column to {theirs}, Laneside to {ours}"
            );
        }
    }
    Ok(())
}

#[tokio::main]
async fn main() -> Result<()> {
    let folder: PathBuf = std::env::args().nth(1).context("which folder?")?.into();
    let server = Server::start(&folder, 0)?;
    let profile = Profile::new()?;
    let chromium = Chromium::start(&profile, Screen::PHONE).await?;
    chromium.client().goto(&server.url()).await?;
    chromium
        .wait_until("the page", "return globalThis.ready === true", vec![])
        .await?;
    let start = "globalThis.done = undefined;
        run(arguments[0]).then((result) => { globalThis.done = result; }, (error) => { globalThis.done = String(error); });";
    chromium.script(start, vec![json!(ROUNDS)]).await?;
    let mut result = serde_json::Value::Null;
    while result.is_null() {
        tokio::time::sleep(Duration::from_secs(1)).await;
        result = chromium
            .script("return globalThis.done ?? null", vec![])
            .await?;
    }
    chromium.close().await?;
    let measured: Measured =
        serde_json::from_value(result.clone()).with_context(|| result.to_string())?;
    check(&measured.found)?;
    let time = |name: &str| {
        measured
            .taken
            .get(name)
            .map_or(f64::NAN, |times| median(times))
    };
    let ours = time("laneside, from the file");
    let alone = time("laneside, bytes in hand");
    for (name, times) in &measured.taken {
        let of = if name.ends_with("from the file") {
            ours
        } else {
            alone
        };
        let times = median(times);
        println!(
            "{name:<36} {times:8.1} ms  {:6.2} times Laneside's",
            times / of
        );
    }
    println!(
        "memory of the module at most {:.2} times the file of {:.1} MB",
        measured.memory / measured.bytes,
        measured.bytes / 1e6
    );
    Ok(())
}
