//! The diagnosis held against the logs of a second generator, of another hand
//! (`tests/fixtures/make_unseen.py`), with another machine, other drives and other loggers. The
//! clean bill's limits were set on its seeds 20261125 (the committed one), 77 and 78: what another
//! seed gives is the measure.
//!
//! Validation. Source of the battery: PyBaMM (Sulzer et al., JOSS 2021), its lead-acid `Full` model with the parameters of
//! Sulzer 2019 and its `SPMe` with those of Prada 2013. All else about these cars is invented.

#![allow(clippy::unwrap_used)]

#[path = "../log_causes/score.rs"]
mod score;
mod set;

use laneside_core::log::diagnose::Outcome;
use laneside_core::log::passes::Rules;
use laneside_core::log::{Seen, analysis};
use score::{Score, Tally, code};
use set::Log;
use std::collections::BTreeMap;

fn score(log: &Log, outcome: &Outcome) -> Score {
    match outcome {
        Outcome::PointsTo(named) if named.iter().all(|cause| log.may_be(*cause)) => Score::Right,
        Outcome::PointsTo(_) => Score::Wrong,
        Outcome::OneOf(few) if few.iter().any(|cause| log.may_be(*cause)) => Score::Among,
        Outcome::OneOf(_) => Score::NotAmong,
        Outcome::CannotTell => Score::CannotTell,
    }
}

fn of(tally: &Tally, scores: &[Score]) -> usize {
    let each = scores.iter().filter_map(|score| tally.scores.get(score));
    each.sum()
}

/// Judges every log, prints the confusion table, and gives the tallies by what is wrong.
fn judge(logs: &[Log]) -> BTreeMap<String, Tally> {
    let mut table: BTreeMap<String, Tally> = BTreeMap::new();
    for log in logs {
        let outcome = analysis::analyze(&log.recording(), &log.known(), &Rules::default())
            .diagnosis
            .outcome;
        let said = match &outcome {
            Outcome::PointsTo(named) => code(named),
            Outcome::OneOf(few) => format!("one of {}", code(few)),
            Outcome::CannotTell => "cannot tell".to_owned(),
        };
        let score = score(log, &outcome);
        if score == Score::Wrong {
            println!(
                "wrong: log {} ({} Hz, {}), {} {} of {:.2} V: {said}",
                log.id,
                log.rate,
                log.kind,
                log.name(),
                log.how,
                log.effect_v,
            );
        }
        let row = match (log.identifiable, log.truth().len()) {
            (false, _) => "(hidden by the logger)".to_owned(),
            (true, 1) => log.name(),
            (true, _) => "(two at once)".to_owned(),
        };
        let tally = table.entry(row).or_default();
        *tally.scores.entry(score).or_default() += 1;
        *tally.said.entry(said).or_default() += 1;
    }
    println!("{:24} right among open not-among wrong", "");
    for (row, tally) in &table {
        let of = |score| of(tally, &[score]);
        println!(
            "{row:24} {:5} {:5} {:4} {:9} {:5}",
            of(Score::Right),
            of(Score::Among),
            of(Score::CannotTell),
            of(Score::NotAmong),
            of(Score::Wrong)
        );
        let mut said: Vec<_> = tally.said.iter().collect();
        said.sort_by_key(|(_, count)| std::cmp::Reverse(**count));
        for (said, count) in said {
            println!("    {count:3} {said}");
        }
    }
    let total = |score| {
        table
            .values()
            .map(|tally| of(tally, &[score]))
            .sum::<usize>()
    };
    println!(
        "{} logs: {} right, {} among the few named, {} cannot tell, {} not among the few named, {} wrong",
        logs.len(),
        total(Score::Right),
        total(Score::Among),
        total(Score::CannotTell),
        total(Score::NotAmong),
        total(Score::Wrong)
    );
    table
}

/// Passes and shifts at 20 Hz and more, against what was driven.
#[derive(Debug, Default)]
struct Driven {
    passes: usize,
    found: usize,
    /// Found where nothing was driven.
    invented: usize,
    shifts: usize,
    met: usize,
    /// Found where none was.
    extra: usize,
}

/// A launch is within half a second of the truth; a shift within the time that an upshift takes.
const NEAR_S: f64 = 0.15;

fn driven(logs: &[Log]) -> Driven {
    let mut sum = Driven::default();
    for log in logs.iter().filter(|log| log.rate >= 20.0) {
        let analysis = analysis::analyze(&log.recording(), &log.known(), &Rules::default());
        let overlap = |truth: &(f64, f64), from: f64, to: f64| {
            let both = to.min(truth.1) - from.max(truth.0);
            both > 0.8 * (truth.1 - truth.0) && both > 0.6 * (to - from)
        };
        sum.passes += log.passes.len();
        let spans = analysis.found.passes.iter().map(|pass| pass.span);
        let spans: Vec<_> = spans.collect();
        for truth in &log.passes {
            if spans
                .iter()
                .any(|span| overlap(truth, span.from_s, span.to_s))
            {
                sum.found += 1;
            } else {
                println!(
                    "pass not found: log {} ({} Hz, {}) {truth:?}, found {spans:?}",
                    log.id, log.rate, log.kind
                );
            }
        }
        let touches = |truth: &(f64, f64), from: f64, to: f64| to.min(truth.1) > from.max(truth.0);
        sum.invented += spans
            .iter()
            .filter(|span| {
                !log.passes
                    .iter()
                    .any(|truth| touches(truth, span.from_s, span.to_s))
            })
            .count();
        if log.kind != "drag" || !log.missed.is_empty() {
            continue;
        }
        for pass in &analysis.found.passes {
            let Seen::Found(seen) = &pass.shifts else {
                continue;
            };
            let inside = |at: f64| at >= pass.span.from_s && at <= pass.span.to_s;
            let real: Vec<f64> = log
                .shifts
                .iter()
                .copied()
                .filter(|at| inside(*at))
                .collect();
            let near = |a: f64, b: f64| (a - b).abs() < NEAR_S + 2.0 / log.rate;
            sum.shifts += real.len();
            let met = real
                .iter()
                .filter(|at| seen.iter().any(|shift| near(shift.at_s, **at)));
            sum.met += met.count();
            let extra = seen
                .iter()
                .filter(|shift| !real.iter().any(|at| near(shift.at_s, *at)));
            sum.extra += extra.count();
        }
    }
    println!("{sum:?}");
    sum
}

fn committed() -> Vec<Log> {
    set::read(include_bytes!("../fixtures/unseen.bin.gz"))
}

fn wrong(table: &BTreeMap<String, Tally>) -> usize {
    table.values().map(|tally| of(tally, &[Score::Wrong])).sum()
}

#[test]
fn logs_of_a_second_generator_are_hardly_ever_called_what_they_are_not() {
    let logs = committed();
    let table = judge(&logs);
    let wrong = wrong(&table);
    assert!(
        50 * wrong < logs.len(),
        "{wrong} of {} confident and wrong",
        logs.len()
    );
}

#[test]
fn passes_and_shifts_of_a_second_generator_are_found() {
    let sum = driven(&committed());
    assert!(sum.passes > 300 && sum.shifts > 700, "{sum:?}");
    assert!(100 * sum.found >= 97 * sum.passes, "{sum:?}");
    assert!(100 * sum.invented <= 3 * sum.passes, "{sum:?}");
    assert!(100 * sum.met >= 95 * sum.shifts, "{sum:?}");
    assert!(100 * sum.extra <= 10 * sum.shifts, "{sum:?}");
}

/// A set made anew with another seed: `LANESIDE_LOGS=path cargo test --test log_unseen -- --ignored --nocapture`.
#[test]
#[ignore = "needs a set that is not committed"]
fn a_set_of_another_seed_is_judged_alike() {
    let path = std::env::var("LANESIDE_LOGS").unwrap();
    let logs = set::read(&std::fs::read(path).unwrap());
    let wrong = wrong(&judge(&logs));
    driven(&logs);
    assert!(
        50 * wrong < logs.len(),
        "{wrong} of {} confident and wrong",
        logs.len()
    );
}
