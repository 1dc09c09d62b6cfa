//! The sizes on hand by the whole day.

use super::day::{Ends, Rounds};
use super::model::Twist;
use crate::car::Car;
use crate::choose;
use crate::day::Accuracy;
use crate::drive::Pulley;
use crate::gates::{Judged, Verdict, judge};
use crate::tolerance::Tolerances;

/// A size on hand over the day.
#[derive(Clone, Debug, PartialEq)]
pub struct Ranked {
    /// The pulley.
    pub pulley: Pulley,
    /// Its judgment.
    pub judged: Judged,
    /// Charge at the day's end, 0 to 1.
    pub end_soc: f64,
    /// Lowest voltage with the engine running, V.
    pub lowest_v: f64,
    /// The round in which the day ends, and what ends it.
    pub ends: Option<(u32, Ends)>,
}

/// The sizes on hand, best first: those that no gate fails before those that one may and those
/// that one does; among equals those whose day lasts, then those with more charge at its end;
/// sizes a hair apart in charge go by the lowest voltage.
pub fn rank(car: &Car, tolerances: &Tolerances) -> Vec<Ranked> {
    let mut ranked: Vec<Ranked> = car
        .drive
        .on_hand
        .iter()
        .map(|pulley| {
            let judged = judge(tolerances, &choose::candidate(car, pulley));
            let day = Rounds::new(car, tolerances.resolved(), tolerances.nominal(), &judged);
            let run = day.run(Accuracy::COARSE, Twist::default());
            let rounds = day.summed(&run);
            Ranked {
                pulley: *pulley,
                end_soc: rounds.last().map_or(0.0, |round| round.end_soc),
                lowest_v: rounds
                    .iter()
                    .map(|round| round.lowest_v)
                    .fold(f64::INFINITY, f64::min),
                ends: day.ended(&run),
                judged,
            }
        })
        .collect();
    let standing = |ranked: &Ranked| match ranked.judged.verdict {
        Verdict::Holds => 0,
        Verdict::TooClose { .. } => 1,
        Verdict::Over { .. } | Verdict::Short { .. } => 2,
    };
    // A thousandth of charge is no difference.
    let charge = |ranked: &Ranked| (ranked.end_soc * 1e3).round();
    ranked.sort_by(|a, b| {
        standing(a)
            .cmp(&standing(b))
            .then(a.ends.is_some().cmp(&b.ends.is_some()))
            .then(charge(b).total_cmp(&charge(a)))
            .then(b.lowest_v.total_cmp(&a.lowest_v))
    });
    ranked
}
