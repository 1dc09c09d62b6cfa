//! The diagnosis held against logs of known cause, made by a generator that shares none of the core's models
//! (`tests/fixtures/make_logs.py`: the battery by PyBaMM, another machine, another logger).
//!
//! Validation. Source of the battery: PyBaMM (Sulzer et al., JOSS 2021), its lead-acid `Full` model with the parameters of Sulzer
//! 2019 and its `SPMe` with those of Prada 2013. All else about these cars is invented.

#![allow(clippy::unwrap_used)]

mod score;

use flate2::read::GzDecoder;
use laneside_core::battery::Chemistry;
use laneside_core::log::diagnose::{Cause, Outcome};
use laneside_core::log::passes::{PassKind, Rules};
use laneside_core::log::{Analysis, Known, Recording, Seen, Signal, Within, analysis};
use score::{Score, Tally, code};
use serde::Deserialize;
use std::collections::BTreeMap;
use std::io::Read;

#[derive(Deserialize)]
struct Set {
    logs: Vec<Log>,
}

#[derive(Deserialize)]
struct Log {
    id: usize,
    causes: Vec<Cause>,
    size: f64,
    kind: String,
    visible: bool,
    /// How often the fan was switched.
    toggles: u32,
    /// Whether too little at idle comes of it.
    short_at_idle: bool,
    /// Median while it runs, as on a 12 V system.
    running_v: f64,
    hz: f64,
    chemistry: String,
    cells: u8,
    ratio: f64,
    celsius: f64,
    passes: Vec<Truth>,
    t_ms: Vec<i64>,
    rpm_10: Vec<i64>,
    v_cv: Vec<i64>,
}

#[derive(Deserialize)]
struct Truth {
    from: f64,
    to: f64,
    shifts: Option<Vec<f64>>,
    missed: bool,
}

fn summed(deltas: &[i64], unit: f64) -> impl Iterator<Item = f64> {
    deltas.iter().scan(0, move |sum, delta| {
        *sum += delta;
        Some(*sum as f64 * unit)
    })
}

impl Log {
    fn recording(&self) -> Recording {
        let time: Vec<f64> = summed(&self.t_ms, 1e-3).collect();
        let signal = |deltas: &[i64], unit| {
            let values = summed(deltas, unit).map(|value| value as f32).collect();
            Signal::new(time.clone(), values).unwrap()
        };
        Recording {
            rpm: signal(&self.rpm_10, 10.0),
            volts: signal(&self.v_cv, 0.01),
            ..Recording::default()
        }
    }

    /// What the racer has entered: every other one nothing at all.
    fn known(&self) -> Known {
        let mut known = Known::nothing();
        if self.id.is_multiple_of(4) || self.id % 4 == 3 {
            known.chemistry = Some(match self.chemistry.as_str() {
                "lithium" => Chemistry::LithiumIronPhosphate,
                "agm" => Chemistry::Agm,
                _ => Chemistry::Flooded,
            });
            known.scale = if self.cells == 8 { 8.0 / 6.0 } else { 1.0 };
            known.air_c = Some(self.celsius);
            known.ratio = Some(Within {
                value: self.ratio,
                half_width: 0.05,
            });
        }
        known
    }

    fn analysis(&self) -> Analysis {
        analysis::analyze(&self.recording(), &self.known(), &Rules::default())
    }

    /// Whether it is what is wrong with this car.
    fn is_cause(&self, cause: Cause) -> bool {
        self.is_true(cause) && (cause != Cause::LoadSteps || self.causes.contains(&cause))
    }

    /// Whether a cause is rightly named.
    fn is_true(&self, cause: Cause) -> bool {
        self.causes.contains(&cause)
            // What cannot be seen in it is not there for its reader.
            || (!self.visible && cause == Cause::Healthy)
            // A lost exciter leaves the battery alone, a lost sense wire charges too high: both are so.
            || (matches!(cause, Cause::BatteryAlone | Cause::Overcharge)
                && self.causes.contains(&Cause::LostWire))
            // Whatever makes it so: too little at idle, too high all the time.
            || (cause == Cause::ShortAtIdle && self.short_at_idle)
            || (cause == Cause::Overcharge && self.running_v > 14.7)
            // The fan is a load that steps, in any car.
            || (cause == Cause::LoadSteps && self.toggles > 0)
    }
}

fn set(bytes: &[u8]) -> Vec<Log> {
    let mut text = String::new();
    GzDecoder::new(bytes).read_to_string(&mut text).unwrap();
    serde_json::from_str::<Set>(&text).unwrap().logs
}

fn committed() -> Vec<Log> {
    set(include_bytes!("../fixtures/logs.json.gz"))
}

fn score(log: &Log, outcome: &Outcome) -> Score {
    match outcome {
        Outcome::PointsTo(causes) if causes.iter().any(|cause| !log.is_true(*cause)) => {
            Score::Wrong
        }
        Outcome::PointsTo(causes) if causes.iter().any(|cause| log.is_cause(*cause)) => {
            Score::Right
        }
        // The fan alone: true, and beside the point.
        Outcome::PointsTo(_) => Score::NotAmong,
        Outcome::OneOf(causes) if causes.iter().any(|cause| log.is_true(*cause)) => Score::Among,
        Outcome::OneOf(_) => Score::NotAmong,
        Outcome::CannotTell => Score::CannotTell,
    }
}

/// Judges logs, prints the confusion table, and gives the tallies by true cause.
fn judge(logs: &[&Log]) -> BTreeMap<String, Tally> {
    let mut table: BTreeMap<String, Tally> = BTreeMap::new();
    for log in logs {
        let outcome = log.analysis().diagnosis.outcome;
        let truth = match (log.visible, log.causes.len()) {
            (true, _) => code(&log.causes),
            (false, _) => "(not to be seen)".to_owned(),
        };
        let said = match &outcome {
            Outcome::PointsTo(causes) => code(causes),
            Outcome::OneOf(causes) => format!("one of {}", code(causes)),
            Outcome::CannotTell => "cannot tell".to_owned(),
        };
        let score = score(log, &outcome);
        if score == Score::Wrong {
            println!(
                "wrong: log {} ({} Hz, {}, size {}), {}: {said}",
                log.id,
                log.hz,
                log.kind,
                log.size,
                code(&log.causes)
            );
        }
        let tally = table.entry(truth).or_default();
        *tally.scores.entry(score).or_default() += 1;
        *tally.said.entry(said).or_default() += 1;
    }
    for (truth, tally) in &table {
        let mut said: Vec<_> = tally.said.iter().collect();
        said.sort_by_key(|(_, count)| std::cmp::Reverse(**count));
        println!("{truth}: {:?}", tally.scores);
        for (said, count) in said {
            println!("    {count:3} {said}");
        }
    }
    let total = |score| {
        let each = table.values().filter_map(|tally| tally.scores.get(&score));
        each.sum::<usize>()
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

/// What of a cause's held-out logs is at least named or among the few named.
const FLOORS: [(&str, f64); 11] = [
    ("battery_alone", 0.75),
    ("commanded", 0.5),
    ("healthy", 0.75),
    ("heat_fade", 0.5),
    ("load_steps", 0.75),
    ("lost_wire", 0.8),
    ("overcharge", 0.75),
    ("reading_place", 0.55),
    ("regulator", 0.65),
    ("rpm_load", 0.65),
    ("short_at_idle", 0.45),
];

/// Every second log, by place of its cause in the plan: nobody looked at these while the thresholds were set.
fn held_out(logs: &[Log]) -> Vec<&Log> {
    logs.iter().filter(|log| log.id % 2 == 1).collect()
}

#[test]
fn causes_are_named_narrowed_or_left_open_and_hardly_ever_wrong() {
    let logs = committed();
    let held_out = held_out(&logs);
    let table = judge(&held_out);
    let count = |scores: &[Score], of: &dyn Fn(&str) -> bool| -> usize {
        table
            .iter()
            .filter(|(truth, _)| of(truth))
            .flat_map(|(_, tally)| &tally.scores)
            .filter(|(score, _)| scores.contains(score))
            .map(|(_, count)| count)
            .sum()
    };
    let all = |_: &str| true;
    let wrong = count(&[Score::Wrong], &all);
    assert!(
        50 * wrong < held_out.len(),
        "{wrong} of {} confident and wrong",
        held_out.len()
    );
    for (cause, floor) in FLOORS {
        let of = |truth: &str| truth == cause;
        let every = [
            Score::Right,
            Score::Among,
            Score::CannotTell,
            Score::NotAmong,
            Score::Wrong,
        ];
        let (all, met) = (
            count(&every, &of),
            count(&[Score::Right, Score::Among], &of),
        );
        assert!(all >= 10, "{all} logs of {cause}");
        assert!(met as f64 >= floor * all as f64, "{cause}: {met} of {all}");
    }
}

/// Passes and shifts at 20 Hz and more, against what was driven.
#[test]
fn passes_and_shifts_are_found() {
    let (mut passes, mut found, mut shifts, mut met, mut extra) = (0, 0, 0, 0, 0);
    for log in committed().iter().filter(|log| log.hz >= 20.0) {
        let analysis = log.analysis();
        for truth in &log.passes {
            passes += 1;
            let overlaps = |from: f64, to: f64| {
                let both = to.min(truth.to) - from.max(truth.from);
                both > 0.8 * (truth.to - truth.from) && both > 0.5 * (to - from)
            };
            let mut each = analysis.found.passes.iter();
            let Some(pass) = each.find(|pass| overlaps(pass.span.from_s, pass.span.to_s)) else {
                println!(
                    "log {} ({} Hz, {}): pass at {} not found",
                    log.id, log.hz, log.kind, truth.from
                );
                continue;
            };
            found += 1;
            let (Some(driven), PassKind::Drag, false) = (&truth.shifts, pass.kind, truth.missed)
            else {
                continue;
            };
            let Seen::Found(seen) = &pass.shifts else {
                continue;
            };
            let is_near = |a: f64, b: f64| (a - b).abs() < 0.15 + 1.5 / log.hz;
            shifts += driven.len();
            met += driven
                .iter()
                .filter(|at| seen.iter().any(|shift| is_near(shift.at_s, **at)))
                .count();
            extra += seen
                .iter()
                .filter(|shift| !driven.iter().any(|at| is_near(shift.at_s, *at)))
                .count();
        }
    }
    println!("{found} of {passes} passes; {met} of {shifts} shifts, {extra} that were none");
    assert!(passes > 200 && shifts > 300);
    assert!(found * 100 >= 97 * passes, "{found} of {passes} passes");
    assert!(met * 100 >= 95 * shifts, "{met} of {shifts} shifts");
    assert!(extra * 100 <= 3 * shifts, "{extra} shifts that were none");
}

/// Another set by the same generator, made anew with another seed: `LANESIDE_LOGS=path cargo test ... -- --ignored`.
#[test]
#[ignore = "needs a set that is not committed"]
fn a_set_of_another_seed_is_judged_alike() {
    let path = std::env::var("LANESIDE_LOGS").unwrap();
    let logs = set(&std::fs::read(path).unwrap());
    let all: Vec<&Log> = logs.iter().collect();
    let table = judge(&all);
    let wrong: usize = table
        .values()
        .filter_map(|tally| tally.scores.get(&Score::Wrong))
        .sum();
    assert!(50 * wrong < all.len(), "{wrong} of {}", all.len());
}
