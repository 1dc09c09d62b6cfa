//! From what a log shows to how each cause stands.

use super::against::{blinds, is_blind, rules_out};
use super::assemble::assemble;
use super::idle::IDLE_UNDER_V;
use super::picture::Picture;
use super::symptoms::{EXPLAINS, STRAYS_V, WANDERS_V, symptoms};
use super::{Blind, Diagnosis, Sign, cannot_tell};

/// Part of the time that has to be good for a clean bill.
const GOOD_PART: f64 = 0.97;
/// With a clean bill all of it lies within this, V of a 12 V system: a small drop from idle
/// under load is normal (common practice).
const STEADY_V: f64 = 0.3;
/// Its lowest voltages over idle lie within this of the middle, V of a 12 V system, ...
const TAIL_V: f64 = 0.33;
/// ... those at idle within this, V of a 12 V system, ...
const IDLE_TAIL_V: f64 = 0.22;
/// ... it falls by less than this over 1000 rpm within the gears, V of a 12 V system, ...
const LEVEL_V: f64 = 0.08;
/// ... and over this every chemistry is being charged, V of a 12 V system.
const SURELY_CHARGING_V: f64 = 13.5;
/// Idle is over the rest by no more than this, V of a 12 V system, or something at speed takes it away, ...
const IDLE_OVER_V: f64 = 0.28;
/// ... nothing explains a fall over engine speed of so much, V of a 12 V system, ...
const FALL_V: f64 = 0.15;
/// ... it is over the set-point by no more than a cold machine and the meter make, V of a 12 V
/// system, ...
const OVER_SET_POINT_V: f64 = 0.25;
/// ... without a set-point to compare it is well in the band: over this, V of a 12 V system, ...
const WELL_CHARGING_V: f64 = 13.6;
/// ... and so far under its upper edge, V of a 12 V system, ...
const WELL_UNDER_V: f64 = 0.1;
/// ... and the battery at rest is one that starts an engine, V of a 12 V system.
const RESTS_V: f64 = 12.0;
/// Voltages at high engine speed that a clean bill takes.
const LEAST_HIGH: usize = 8;
/// A clean bill takes so long of a running engine, s.
const LEAST_S: f64 = 8.0;

/// Whether everything is as it should be, as far as the log shows it.
fn is_good(picture: &Picture) -> bool {
    let (bands, read) = (&picture.bands, &picture.read);
    let scale = bands.scale;
    // A lithium battery carries the car alone at what is good for another one.
    let least = if picture.chemistry_known && bands.serve {
        bands.low_v
    } else {
        bands.low_v.max(SURELY_CHARGING_V * scale)
    };
    let lowest = picture.driven_lowest_v;
    let is_level = picture
        .contrasts
        .iter()
        .all(|change| (-IDLE_UNDER_V * scale..=IDLE_OVER_V * scale).contains(&change.volts));
    let fall = picture.fall();
    let is_as_set = match picture.set_point_v {
        Some(set_v) => read.typical < set_v + OVER_SET_POINT_V * scale,
        None => {
            read.highest < bands.good_v - WELL_UNDER_V * scale
                && read.typical > WELL_CHARGING_V * scale
        }
    };
    let within = |seen: Option<f64>, most: f64| seen.is_none_or(|volts| volts < most * scale);
    picture.running_s >= LEAST_S
        && picture.high_count >= LEAST_HIGH
        && read.lowest > least - bands.doubt_v
        && read.typical - read.lowest < IDLE_TAIL_V * scale
        && read.idle.is_some_and(|idle| idle > least + bands.doubt_v)
        && !picture.contrasts.is_empty()
        && is_level
        && is_as_set
        && picture.steps.is_empty()
        && (-fall.volts < FALL_V * scale || fall.gain < EXPLAINS / 2.0)
        && picture.off_v.is_none_or(|off_v| off_v > RESTS_V * scale)
        && lowest > least
        && read.typical - lowest < TAIL_V * scale
        && read.highest - lowest < STEADY_V * scale
        && picture.good_s > GOOD_PART * picture.running_s
        && picture.over_s < 0.02 * picture.running_s
        && within(picture.in_gears_v.map(|slope| -slope), LEVEL_V)
        && within(picture.strays_v, STRAYS_V / 2.0)
        && within(picture.wander_v, WANDERS_V / 1.5)
}

/// Judges every cause.
pub fn judge(picture: &Picture) -> Diagnosis {
    if picture.nominal_unknown {
        return cannot_tell(Blind::Nominal);
    }
    let symptoms = symptoms(picture);
    let clean = (symptoms.is_empty() && is_good(picture)).then_some(Sign::Good {
        lowest_v: picture.read.lowest,
        highest_v: picture.read.highest,
    });
    assemble(
        &symptoms,
        clean,
        &|cause| rules_out(picture, cause),
        &|cause| is_blind(picture, cause),
        blinds(picture),
    )
}
