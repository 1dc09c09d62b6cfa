//! What idle shows against what is over it, with the causes that make it.

use super::assemble::{Symptom, symptom};
use super::picture::Picture;
use super::{Cause, Sign};

/// So many changes between idle and what is over it are no coincidence.
const SURE_IDLES: usize = 3;
/// With a clean bill idle is at most this far under what is over it, V of a 12 V system.
pub const IDLE_UNDER_V: f64 = 0.15;

/// Nothing until the engine was revved: a machine without an exciter wire does that, one with
/// it has lost it.
pub fn turns_on_late(picture: &Picture) -> Option<Symptom> {
    let bands = &picture.bands;
    let (before_v, after_v) = picture.revved?;
    let is_late = bands.serve && before_v < bands.not_charging_v + bands.doubt_v;
    (is_late && after_v > bands.low_v).then(|| {
        let signs = vec![Sign::UntilRevved { before_v, after_v }];
        symptom(&[Cause::LostWire, Cause::Healthy], signs)
    })
}

/// The best voltage over idle; what goes wrong at high speed may hide it from the middle.
fn above(picture: &Picture) -> Option<f64> {
    let read = &picture.read;
    let seen = [read.mid, read.high]
        .into_iter()
        .flatten()
        .reduce(f64::max)?;
    Some(seen.max(read.best))
}

/// Whether the voltage is low each time the engine comes to idle, and back when it leaves it.
pub fn is_low_at_each_idle(picture: &Picture) -> bool {
    let contrasts = &picture.contrasts;
    let low = contrasts
        .iter()
        .filter(|change| change.volts < -picture.worth_v);
    let risen = low.clone().filter(|change| change.seconds > 0.0).count();
    risen > 0 && low.count() * 3 > contrasts.len() * 2
}

/// Low at idle, or everywhere.
pub fn low(picture: &Picture) -> Option<Symptom> {
    let (bands, read) = (&picture.bands, &picture.read);
    if let (Some(idle_v), Some(above_v)) = (read.idle, above(picture))
        && idle_v < bands.low_v - bands.doubt_v / 2.0
        && above_v > bands.low_v
        && above_v - idle_v > picture.worth_v
        && is_low_at_each_idle(picture)
    {
        let signs = vec![Sign::LowAtIdle { idle_v, above_v }];
        let all = [
            Cause::ShortAtIdle,
            Cause::LostWire,
            Cause::LoadSteps,
            Cause::Regulator,
        ];
        // Low once or twice, it may as well be something that was on at that time.
        let causes = if picture.contrasts.len() < SURE_IDLES {
            &all[..]
        } else {
            &all[..1]
        };
        return Some(symptom(causes, signs));
    }
    if !bands.serve || read.best > bands.low_v - bands.doubt_v / 2.0 {
        return None;
    }
    let rises = read
        .idle
        .zip(read.high)
        .map_or(0.0, |(idle, high)| high - idle);
    // Short of output at every speed, it is shortest at idle; a low set-point or reading is
    // not.
    let causes = if rises > 0.1 * bands.scale {
        [
            Cause::ShortAtIdle,
            Cause::HeatFade,
            Cause::Regulator,
            Cause::ReadingPlace,
        ]
    } else {
        [
            Cause::ReadingPlace,
            Cause::Regulator,
            Cause::Commanded,
            Cause::BatteryAlone,
        ]
    };
    let signs = vec![Sign::LowAtEverySpeed {
        volts: read.typical,
    }];
    Some(symptom(&causes, signs))
}

/// Somewhat lower at most of the idles: a machine that just does not keep up there, or one in good
/// order with everything on.
pub fn dips_at_idle(picture: &Picture) -> Option<Symptom> {
    let contrasts = &picture.contrasts;
    let least = IDLE_UNDER_V * picture.bands.scale;
    let lower = contrasts.iter().filter(|change| change.volts < -least);
    let (idle_v, above_v) = (picture.read.idle?, above(picture)?);
    (lower.count() * 2 > contrasts.len()).then(|| {
        let signs = vec![Sign::LowAtIdle { idle_v, above_v }];
        symptom(&[Cause::ShortAtIdle, Cause::Healthy], signs)
    })
}
