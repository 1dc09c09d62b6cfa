//! From what a log shows to how each cause stands.

use super::against::{blinds, is_blind, rules_out};
use super::assemble::assemble;
use super::picture::Picture;
use super::symptoms::{STRAYS_V, WANDERS_V, symptoms};
use super::{Blind, Diagnosis, Sign, cannot_tell};

/// Part of the time that has to be good for a clean bill.
const GOOD_PART: f64 = 0.97;
/// With a clean bill all of it lies within this, V of a 12 V system: a small drop from idle
/// under load is normal (common practice).
const STEADY_V: f64 = 0.6;
/// Its lowest voltages over idle lie within this of the middle, V of a 12 V system, ...
const TAIL_V: f64 = 0.33;
/// ... those at idle within this, V of a 12 V system, ...
const IDLE_TAIL_V: f64 = 0.5;
/// ... it falls by less than this over 1000 rpm within the gears, V of a 12 V system, ...
const LEVEL_V: f64 = 0.08;
/// ... and over this every chemistry is being charged, V of a 12 V system.
const SURELY_CHARGING_V: f64 = 13.5;
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
    let within = |seen: Option<f64>, most: f64| seen.is_none_or(|volts| volts < most * scale);
    picture.running_s >= LEAST_S
        && picture.high_count >= LEAST_HIGH
        && read.lowest > least - bands.doubt_v
        && read.typical - read.lowest < IDLE_TAIL_V * scale
        && read.idle.is_none_or(|idle| idle > least + bands.doubt_v)
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
