//! How long a study takes, natively, as a multiple of a plain sum in the same run: `cargo bench -p laneside-tests --bench
//! study`. Milliseconds differ from machine to machine; the multiples differ little.

use laneside_core::car::{Car, demo};
use laneside_core::choose::{Side, crank_to_judge, ways_out, window};
use laneside_core::gates::{Candidate, judge};
use laneside_core::resolve::{Pulleys, Resolved};
use laneside_core::study::{Study, curves, findings};
use laneside_core::tolerance::Tolerances;
use std::hint::black_box;
use std::time::{Duration, Instant};

/// The shortest of many runs: what the work takes when nothing else gets in its way.
fn shortest(runs: u32, mut work: impl FnMut()) -> Duration {
    (0..runs)
        .map(|_| {
            let start = Instant::now();
            work();
            start.elapsed()
        })
        .min()
        .unwrap_or_default()
}

/// The unit: ten thousand square roots, one after another.
fn unit() -> Duration {
    shortest(400, || {
        let mut sum = black_box(1.0_f64);
        for _ in 0..10_000 {
            sum = (sum + 1.0).sqrt();
        }
        black_box(sum);
    })
}

fn report(car: &Car, unit: Duration) {
    let Ok(resolved) = Resolved::new(car) else {
        eprintln!("{}: blanks left", car.name);
        return;
    };
    let tolerances = Tolerances::new(resolved);
    let top = tolerances.nominal().params.limiter_rpm;
    let grid: Vec<f64> = (0..60).map(|step| top * f64::from(step) / 59.0).collect();
    let on_car = Candidate {
        pulleys: Pulleys::ON_CAR,
        own: None,
        rated_rpm: None,
    };
    let study = Study::new(car).ok();
    let other = Pulleys::with_alternator(80.0);
    let line = |name: &str, runs: u32, work: &mut dyn FnMut()| {
        let took = shortest(runs, work);
        println!(
            "{:<8} {name:<34} {:>8.3} ms  {:>7.1} units",
            car.name,
            1_000.0 * took.as_secs_f64(),
            took.as_secs_f64() / unit.as_secs_f64()
        );
    };
    line("study", 200, &mut || {
        black_box(Study::new(car).ok());
    });
    line("curves, 60 points, two pulleys", 200, &mut || {
        black_box(curves(&tolerances, Pulleys::ON_CAR, None, &grid));
        black_box(curves(&tolerances, other, None, &grid));
    });
    line("judging the pulleys on the car", 200, &mut || {
        black_box(judge(&tolerances, &on_car));
    });
    line("window of alternator pulleys", 200, &mut || {
        black_box(window(&tolerances, Side::Alternator, crank_to_judge(car)));
    });
    line("findings", 50, &mut || {
        black_box(study.as_ref().map(|study| findings(car, study)));
    });
    line("ways out", 5, &mut || {
        black_box(ways_out(car));
    });
}

fn main() {
    let unit = unit();
    println!(
        "unit: ten thousand square roots, {:.4} ms",
        1_000.0 * unit.as_secs_f64()
    );
    for car in demo::cars() {
        report(&car, unit);
    }
}
