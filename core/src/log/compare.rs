//! Two passes side by side: before a change and after it.

use serde::{Deserialize, Serialize};

use super::Within;
use super::figures::Figures;
use super::kept::KeptPass;

/// How well the lowest voltage of a pass repeats on the same car and logger, V of a 12 V system
/// (from memory).
const REPEATS_V: f64 = 0.15;
/// Two passes are alike within this part of highest engine speed and of length.
const ALIKE_PART: f64 = 0.1;
/// A fall within a gear, or a fade, is a fault over this, V of a 12 V system: a small drop
/// under load is normal (common practice).
const FAULT_V: f64 = 0.4;
/// How well times over a limit compare, s: one sample of a slow log.
const REPEATS_S: f64 = 0.2;

/// What is compared.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Measure {
    /// Voltage idling before it, V.
    Idle,
    /// Voltage at the launch, V.
    Launch,
    /// Lowest voltage, V.
    Lowest,
    /// Voltage at the stripe, V.
    Stripe,
    /// Change of voltage over the gear where it falls most, V.
    FallInGear,
    /// Fade over the pass, V.
    Fade,
    /// Time over the continuous limit (low end of an assumed one), s.
    OverContinuous,
    /// Highest alternator speed, rpm.
    HighestAlternator,
}

/// One figure of both passes.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Pair {
    /// Which.
    pub measure: Measure,
    /// Before.
    pub before: f64,
    /// After.
    pub after: f64,
    /// After less before, with how far off it may be.
    pub change: Within,
    /// Whether it is a change for the better; `None` where it is within what it may be off, or
    /// where neither way is better.
    pub better: Option<bool>,
}

/// What the change did.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Cure {
    /// What was wrong before is gone.
    Cured,
    /// It is better, and not gone.
    Better,
    /// No change beyond what the logs may be off.
    Same,
    /// It is worse.
    Worse,
    /// Nothing was wrong before.
    NothingToCure,
    /// The two cannot be compared: they lack the same figures, or were not driven alike.
    CannotTell,
}

/// Two passes side by side.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Comparison {
    /// What the change did.
    pub cure: Cure,
    /// The figure that says so.
    pub by: Option<Measure>,
    /// What is wrong after it all the same.
    pub left: Option<Measure>,
    /// Every figure that both have.
    pub pairs: Vec<Pair>,
    /// Launch of each on its log's time, s: taken off, both launch at zero.
    pub launch_s: (f64, f64),
    /// Whether they were driven alike: highest engine speed and length within a tenth.
    pub alike: bool,
}

/// A figure with how far off it may be.
fn figure(figures: &Figures, measure: Measure, scale: f64) -> Option<Within> {
    let within = |value: f64, half_width: f64| Some(Within { value, half_width });
    let read = |seen: &super::Seen<super::figures::Read>| seen.found().map(|read| read.volts);
    match measure {
        Measure::Idle => read(&figures.idle),
        Measure::Launch => read(&figures.launch),
        Measure::Stripe => read(&figures.stripe),
        Measure::Lowest => within(figures.lowest.found()?.volts, REPEATS_V * scale),
        Measure::FallInGear => {
            let slopes = figures.gears.iter().filter_map(|gear| gear.slope.found());
            let most = slopes.min_by(|a, b| a.over_gear_v.total_cmp(&b.over_gear_v))?;
            let part = most.per_1000_rpm.half_width / most.per_1000_rpm.value.abs().max(1e-6);
            within(most.over_gear_v, part * most.over_gear_v.abs())
        }
        Measure::Fade => figures.fade.found().map(|fade| fade.volts),
        Measure::OverContinuous => {
            let seconds = figures.fitted.found()?.continuous.0.seconds;
            within(seconds, REPEATS_S)
        }
        Measure::HighestAlternator => {
            let fitted = figures.fitted.found()?;
            let part = fitted.ratio.half_width / fitted.ratio.value.max(1e-6);
            within(fitted.highest_rpm, part * fitted.highest_rpm)
        }
    }
}

/// Whether a figure shows a fault.
fn is_fault(measure: Measure, value: f64, low_v: f64, scale: f64) -> bool {
    match measure {
        Measure::Idle | Measure::Launch | Measure::Lowest | Measure::Stripe => value < low_v,
        Measure::FallInGear | Measure::Fade => value < -FAULT_V * scale,
        Measure::OverContinuous => value > REPEATS_S,
        Measure::HighestAlternator => false,
    }
}

/// The figures in the order in which a fault of theirs is looked at: what the car dies of first.
const MEASURES: [Measure; 8] = [
    Measure::Lowest,
    Measure::FallInGear,
    Measure::Stripe,
    Measure::Fade,
    Measure::Idle,
    Measure::Launch,
    Measure::OverContinuous,
    Measure::HighestAlternator,
];

/// Compares a pass before a change with one after it.
pub fn compare(before: &KeptPass, after: &KeptPass) -> Comparison {
    let scale = before.bands.scale;
    let pairs: Vec<Pair> = MEASURES
        .iter()
        .filter_map(|&measure| {
            let (one, other) = (
                figure(&before.figures, measure, scale)?,
                figure(&after.figures, measure, scale)?,
            );
            let change = Within {
                value: other.value - one.value,
                half_width: one.half_width.hypot(other.half_width),
            };
            let rises = change.value > 0.0;
            let better = match measure {
                Measure::HighestAlternator => None,
                Measure::OverContinuous => Some(!rises),
                _ => Some(rises),
            };
            Some(Pair {
                measure,
                before: one.value,
                after: other.value,
                better: better.filter(|_| change.value.abs() > change.half_width),
                change,
            })
        })
        .collect();
    let near = |one: f64, other: f64| (one - other).abs() <= ALIKE_PART * one.max(other);
    let seconds = |kept: &KeptPass| kept.pass.span.to_s - kept.pass.span.from_s;
    let alike = before.pass.kind == after.pass.kind
        && near(before.pass.highest_rpm, after.pass.highest_rpm)
        && near(seconds(before), seconds(after));
    let low_v = (before.bands.low_v, after.bands.low_v);
    let (cure, by) = cure(&pairs, low_v, scale, alike);
    let is_left = |pair: &&Pair| is_fault(pair.measure, pair.after, low_v.1, scale);
    let left = pairs.iter().find(is_left).map(|pair| pair.measure);
    Comparison {
        cure,
        by,
        left,
        pairs,
        launch_s: (before.pass.span.from_s, after.pass.span.from_s),
        alike,
    }
}

fn cure(pairs: &[Pair], low_v: (f64, f64), scale: f64, alike: bool) -> (Cure, Option<Measure>) {
    if pairs.is_empty() {
        return (Cure::CannotTell, None);
    }
    let wrong: Vec<&Pair> = pairs
        .iter()
        .filter(|pair| is_fault(pair.measure, pair.before, low_v.0, scale))
        .collect();
    let worse = pairs.iter().find(|pair| {
        pair.better == Some(false) && is_fault(pair.measure, pair.after, low_v.1, scale)
    });
    let Some(first) = wrong.first() else {
        return match worse {
            Some(worse) => (Cure::Worse, Some(worse.measure)),
            None => (Cure::NothingToCure, None),
        };
    };
    let left = wrong
        .iter()
        .find(|pair| is_fault(pair.measure, pair.after, low_v.1, scale));
    match (left, first.better) {
        (_, Some(false)) => (Cure::Worse, Some(first.measure)),
        // A pass driven slower proves nothing.
        (_, _) if !alike => (Cure::CannotTell, Some(first.measure)),
        // What was wrong is no better, and something else is worse.
        (_, None) if worse.is_some() => (Cure::Worse, worse.map(|worse| worse.measure)),
        (None, Some(true)) => (Cure::Cured, Some(first.measure)),
        (Some(left), _) if left.better == Some(true) => (Cure::Better, Some(left.measure)),
        (_, Some(true)) => (Cure::Better, Some(first.measure)),
        _ => (Cure::Same, Some(first.measure)),
    }
}
