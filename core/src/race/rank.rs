//! Sizes ranked by the whole day.

use super::day::DayEnd;
use super::model::Twist;
use super::rounds::{Ends, Rounds};
use crate::car::Car;
use crate::choose::{self, Standing, Window};
use crate::drive::Pulley;
use crate::sort::sort_short;
use crate::tolerance::Tolerances;
use crate::turns::Turns;
use std::cmp::Ordering;

/// Charge and voltage closer than this are no difference between two sizes, parts of full and
/// V.
const NO_DIFFERENCE: (f64, f64) = (0.002, 0.05);

/// A size over the day.
#[derive(Clone, Debug, PartialEq)]
pub struct Ranked {
    /// The pulley.
    pub pulley: Pulley,
    /// How it stands at the gates.
    pub standing: Standing,
    /// Distance of its effective diameter from the middle of the window, mm.
    pub off_middle_mm: f64,
    /// Charge at the day's end, 0 to 1.
    pub end_soc: f64,
    /// Lowest voltage with the engine running, V: with output over the limit gone, where the
    /// pass meets it; `None` where it never runs.
    pub lowest_v: Option<f64>,
    /// The round in which the day ends, and what ends it.
    pub ends: Option<(u32, Ends)>,
}

/// Sizes, best first. First how they stand at the gates, since an alternator spun past what it
/// stands gives nothing; among equals those whose day lasts. Of those too close to call the ones
/// nearest to the middle of the window come next: more charge there is bought with a speed that may
/// be too much. Then those with more charge at the day's end, then those with the higher lowest
/// voltage, then those nearest to the middle.
pub async fn rank(
    car: &Car,
    tolerances: &Tolerances,
    window: &Window,
    sizes: &[Pulley],
    turns: &impl Turns,
) -> Vec<Ranked> {
    let mut ranked = Vec::new();
    for by_gates in choose::rank(car, tolerances, window, sizes, turns).await {
        turns.pause().await;
        let pulleys = choose::candidate(car, &by_gates.pulley).pulleys;
        let day = Rounds::new(car, tolerances.resolved(), tolerances.nominal(), pulleys);
        let DayEnd {
            end_soc,
            lowest_v,
            ends,
        } = DayEnd::of(&day, &day.coarse(Twist::LOSES));
        ranked.push(Ranked {
            pulley: by_gates.pulley,
            standing: by_gates.standing,
            off_middle_mm: by_gates.off_middle_mm,
            ends,
            end_soc,
            lowest_v,
        });
    }
    let steps = |value: f64, step: f64| (value / step).round();
    sort_short(&mut ranked, |a, b| {
        let charge = |ranked: &Ranked| steps(ranked.end_soc, NO_DIFFERENCE.0);
        let volts = |ranked: &Ranked| steps(ranked.lowest_v.unwrap_or(0.0), NO_DIFFERENCE.1);
        a.standing
            .cmp(&b.standing)
            .then(a.ends.is_some().cmp(&b.ends.is_some()))
            .then_with(|| match a.standing {
                Standing::TooClose => a.off_middle_mm.total_cmp(&b.off_middle_mm),
                _ => Ordering::Equal,
            })
            .then(charge(b).total_cmp(&charge(a)))
            .then(volts(b).total_cmp(&volts(a)))
            .then(a.off_middle_mm.total_cmp(&b.off_middle_mm))
    });
    ranked
}
