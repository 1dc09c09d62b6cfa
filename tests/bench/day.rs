//! How long a day takes, natively, as a multiple of a plain sum in the same run: `cargo bench -p laneside-tests --bench day`.
//! Milliseconds differ from machine to machine; the multiples differ little. `tests/fixtures/make_day.py --time` times the
//! same day by SciPy.

use laneside_core::battery::State;
use laneside_core::day::{Accuracy, Start, simulate};
use laneside_tests::days::{Electrics, eight_rounds};
use std::hint::black_box;
use std::time::{Duration, Instant};

/// The middle and the shortest of many runs.
fn times(runs: usize, mut work: impl FnMut()) -> (Duration, Duration) {
    let mut took: Vec<Duration> = (0..runs)
        .map(|_| {
            let start = Instant::now();
            work();
            start.elapsed()
        })
        .collect();
    took.sort_unstable();
    (
        took.get(runs / 2).copied().unwrap_or_default(),
        took.first().copied().unwrap_or_default(),
    )
}

/// The unit: ten thousand square roots, one after another.
fn unit() -> Duration {
    times(400, || {
        let mut sum = black_box(1.0_f64);
        for _ in 0..10_000 {
            sum = (sum + 1.0).sqrt();
        }
        black_box(sum);
    })
    .0
}

fn main() -> anyhow::Result<()> {
    let unit = unit();
    println!(
        "unit: ten thousand square roots, {:.4} ms",
        1_000.0 * unit.as_secs_f64()
    );
    let cars = [Electrics::with_ratio(2.5)?, Electrics::with_ratio(1.95)?];
    let day = eight_rounds()?;
    let start = Start {
        battery: State::rested(0.9, 25.0),
        alternator_c: 25.0,
    };
    for (name, accuracy) in [
        ("as drawn", Accuracy::FINE),
        ("for ranking", Accuracy::COARSE),
    ] {
        let mut steps = 0;
        let (median, shortest) = times(100, || {
            steps = 0;
            for car in &cars {
                steps += black_box(simulate(&car.supplied(), start, &day, accuracy)).steps;
            }
        });
        println!(
            "8 rounds in 6 h, two pulleys, {name:<12} median {:>7.3} ms  shortest {:>7.3} ms  {:>7.1} units  {steps} steps",
            1_000.0 * median.as_secs_f64(),
            1_000.0 * shortest.as_secs_f64(),
            median.as_secs_f64() / unit.as_secs_f64(),
        );
    }
    Ok(())
}
