//! What every entry in a page costs the main thread, noted by a script in that page.

use anyhow::Result;
use laneside_tests::browser::Chromium;
use serde::Deserialize;

/// The script; see there.
pub const SCRIPT: &str = include_str!("keystroke.js");

/// One entry, as the page noted it; times in milliseconds.
#[derive(Debug, Deserialize)]
pub struct Entry {
    /// The task of the event.
    pub task: f64,
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
pub fn percentile(mut values: Vec<f64>, percent: usize) -> f64 {
    values.sort_by(f64::total_cmp);
    let last = values.len().saturating_sub(1);
    values
        .get((last * percent + 50) / 100)
        .copied()
        .unwrap_or(f64::NAN)
}

pub fn report(name: &str, entries: &[Entry], unit: f64) {
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

pub async fn taken(chromium: &Chromium) -> Result<Vec<Entry>> {
    let take = "return entries.splice(0)";
    let all: Vec<Entry> = serde_json::from_value(chromium.script(take, vec![]).await?)?;
    Ok(all.into_iter().filter(|entry| entry.redrawn).collect())
}
