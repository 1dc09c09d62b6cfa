//! From what a log shows to how each cause stands.

use super::against::{blinds, is_blind, rules_out};
use super::assemble::{Symptom, assemble, symptom};
use super::picture::Picture;
use super::{Cause, Diagnosis, Sign};

/// An explanation counts when it takes away this part of the scatter ...
pub const EXPLAINS: f64 = 0.45;
/// ... and leaves at most this part of what the next best one leaves.
const CLEARER: f64 = 0.85;
/// Ragged: scatter at high engine speed over that at low ...
const RAGGED_TIMES: f64 = 2.5;
/// ... and at least this, V of a 12 V system.
const RAGGED_V: f64 = 0.08;
/// A machine in good order and its belt lose less than this, as a fraction: creep and slip are
/// 1 % (0 to 2, from memory), two tachometers make another percent.
pub const SLIPS: f64 = 0.04;
/// A fade over this, V of a 12 V system, is more than the set-point's own way with warmth
/// (10 mV/K over 40 K) ...
const FADES_V: f64 = 0.55;
/// Wandering at constant engine speed over this, V of a 12 V system.
const WANDERS_V: f64 = 0.13;
/// Part of the time that has to be good for a clean bill.
const GOOD_PART: f64 = 0.97;
/// A battery rests between these after it started an engine, V of a 12 V system.
const RESTS_V: (f64, f64) = (11.4, 13.9);
/// A running engine this far over the battery at rest charges it, V of a 12 V system: what
/// is left in the plates after a charge is less.
const CHARGES_OVER_OFF_V: f64 = 0.6;
/// A battery that carries the car sinks by at least this a minute, V of a 12 V system: 20 A out
/// of 50 Ah take 0.7 % of the charge.
const SINKS_V: f64 = 0.005;
/// Straying over this, V of a 12 V system, is more than battery and warmth make.
const STRAYS_V: f64 = 0.5;
/// With a clean bill all of it lies within this, V of a 12 V system: a small drop from idle
/// under load is normal (common practice).
const STEADY_V: f64 = 0.6;
/// Voltages at high engine speed that a clean bill takes.
const LEAST_HIGH: usize = 8;
/// A clean bill takes so long of a running engine, s.
const LEAST_S: f64 = 8.0;

/// What the picture shows, symptom by symptom.
fn symptoms(picture: &Picture) -> Vec<Symptom> {
    let mut found = Vec::new();
    if let Some(none) = not_charging(picture) {
        // Nothing else can be read off a voltage that is the battery's own.
        return vec![none];
    }
    found.extend(too_high(picture));
    let lost = dropped_out(picture);
    let is_lost = lost.is_some();
    found.extend(lost);
    if !is_lost {
        found.extend(falls(picture));
        found.extend(fades(picture));
        found.extend(changes(picture));
    }
    found.extend(turns_on_late(picture));
    found.extend(low(picture));
    found.extend(reading(picture));
    if found.is_empty() {
        found.extend(strays(picture));
    }
    found
}

/// The voltage moves, and nothing that was seen explains it.
fn strays(picture: &Picture) -> Option<Symptom> {
    let volts = picture
        .strays_v
        .filter(|volts| *volts > STRAYS_V * picture.bands.scale)?;
    let causes = [
        Cause::Regulator,
        Cause::Commanded,
        Cause::HeatFade,
        Cause::LoadSteps,
    ];
    Some(symptom(&causes, vec![Sign::Wanders { volts }]))
}

/// Nothing until the engine was revved: a machine without an exciter wire does that, one with
/// it has lost it.
fn turns_on_late(picture: &Picture) -> Option<Symptom> {
    let bands = &picture.bands;
    let (before_v, after_v) = picture.revved?;
    let is_late = bands.serve && before_v < bands.not_charging_v + bands.doubt_v;
    (is_late && after_v > bands.low_v).then(|| {
        symptom(
            &[Cause::LostWire, Cause::Healthy],
            vec![Sign::UntilRevved { before_v, after_v }],
        )
    })
}

/// Nothing charges at all.
fn not_charging(picture: &Picture) -> Option<Symptom> {
    let (bands, read) = (&picture.bands, &picture.read);
    if !bands.serve || read.best > bands.not_charging_v + 0.15 * bands.scale + bands.doubt_v {
        return None;
    }
    let mut signs = vec![Sign::NotCharging { volts: read.best }];
    if let Some(off_v) = picture.off_v {
        let running_v = read.best;
        if running_v > off_v + CHARGES_OVER_OFF_V * bands.scale {
            // It charges, whatever the number is: the reading is too low, or the set-point.
            signs.push(Sign::HigherThanOff { off_v, running_v });
            return Some(symptom(&[Cause::ReadingPlace, Cause::Regulator], signs));
        }
        signs.push(Sign::SameAsOff { off_v, running_v });
        // A machine that gives something shows it when it turns faster.
        let rises = read
            .idle
            .zip(read.mid.or(read.high))
            .map_or(0.0, |(idle, above)| above - idle);
        let is_alone = read.typical < off_v + 0.05 * bands.scale && rises < 0.15 * bands.scale;
        return Some(if is_alone {
            symptom(&[Cause::BatteryAlone], signs)
        } else {
            symptom(
                &[Cause::BatteryAlone, Cause::ReadingPlace, Cause::LoadSteps],
                signs,
            )
        });
    }
    if let Some(volts_per_minute) = picture.sinks_v {
        signs.push(Sign::Sinks { volts_per_minute });
        if volts_per_minute > SINKS_V * bands.scale {
            return Some(symptom(&[Cause::BatteryAlone], signs));
        }
    }
    Some(symptom(&[Cause::BatteryAlone, Cause::ReadingPlace], signs))
}

/// Too high a voltage.
fn too_high(picture: &Picture) -> Option<Symptom> {
    let (bands, read) = (&picture.bands, &picture.read);
    let is_long = picture.over_s > 3.0 && picture.over_s > 0.05 * picture.running_s;
    if !is_long {
        return None;
    }
    let high = Sign::TooHigh {
        volts: read.highest,
        limit_v: bands.high_v,
    };
    let odd = picture
        .off_v
        .filter(|off_v| *off_v > RESTS_V.1 * bands.scale);
    Some(match odd {
        // The logger shows too much with the engine off as well.
        Some(off_v) => symptom(
            &[Cause::ReadingPlace, Cause::Overcharge],
            vec![high, Sign::OddAtRest { off_v }],
        ),
        None => symptom(&[Cause::Overcharge], vec![high]),
    })
}

/// It charged, and then did not any more.
fn dropped_out(picture: &Picture) -> Option<Symptom> {
    let lost = picture.lost?;
    let drops = Sign::DropsOut {
        volts: -lost.volts,
        at_s: lost.at_s,
    };
    let stays = Sign::StaysDown { volts: -lost.volts };
    Some(symptom(
        &[Cause::LostWire, Cause::Regulator],
        vec![drops, stays],
    ))
}

/// Whether an explanation stands out against another one.
fn clearer(gain: f64, other: f64) -> bool {
    1.0 - gain <= CLEARER * (1.0 - other)
}

/// Whether voltage falls with engine speed and nothing else explains it as well.
pub fn falls_with_rpm(picture: &Picture) -> Option<bool> {
    let (fall, explained) = (picture.fall(), &picture.explained);
    if -fall.volts < picture.worth_v || fall.gain < EXPLAINS {
        return None;
    }
    let others = [explained.during, explained.throttle, explained.since];
    Some(others.iter().all(|other| clearer(fall.gain, other.gain)))
}

/// Whether the voltage is ragged at high engine speed alone.
fn is_ragged(picture: &Picture) -> Option<bool> {
    let ragged = picture.ragged.found()?;
    let least = (RAGGED_V * picture.bands.scale).max(3.0 * ragged.logger_v);
    Some(ragged.high_v > RAGGED_TIMES * ragged.low_v && ragged.high_v > least)
}

fn ragged_sign(picture: &Picture) -> Option<Sign> {
    let ragged = picture.ragged.found()?;
    let (high_v, low_v) = (ragged.high_v, ragged.low_v);
    Some(if is_ragged(picture)? {
        Sign::RaggedAtSpeed { high_v, low_v }
    } else {
        Sign::SmoothAtSpeed { high_v, low_v }
    })
}

/// Voltage falls with engine speed.
fn falls(picture: &Picture) -> Option<Symptom> {
    let is_clear = falls_with_rpm(picture)?;
    let fall = picture.fall();
    let mut signs = vec![Sign::FallsWithRpm {
        volts: -fall.volts,
        from_rpm: fall.from_rpm,
        to_rpm: picture.range.1,
    }];
    if fall.follows_s < 1.0 && picture.explained.returns > 0 {
        signs.push(Sign::BackAtOnce {
            volts: -fall.volts,
            within_s: fall.follows_s,
        });
    }
    signs.extend(ragged_sign(picture));
    let beside = &picture.beside;
    if let Some(fraction) = beside.slip {
        if fraction > SLIPS {
            signs.push(Sign::AlternatorFallsBehind { fraction });
            return Some(symptom(&[Cause::BeltSlip], signs));
        }
        signs.push(Sign::AlternatorFollows { fraction });
    }
    let mut causes = vec![Cause::BeltSlip, Cause::RpmLoad, Cause::BrushFloat];
    if !is_clear {
        causes.extend([Cause::LoadSteps, Cause::Commanded]);
    }
    if beside.slip.is_some() {
        causes.retain(|cause| *cause != Cause::BeltSlip);
    }
    if let Some((slow, fast)) = beside.amps {
        let change = fast - slow;
        if change < -0.1 * slow.abs() {
            signs.push(Sign::AmpsFall { amps: -change });
            causes.retain(|cause| *cause != Cause::RpmLoad);
        } else {
            signs.push(Sign::AmpsHold { amps: change });
            causes.retain(|cause| !matches!(cause, Cause::BeltSlip | Cause::BrushFloat));
        }
    }
    if let Some((highest_rpm, limit_rpm, _)) = picture.limit {
        signs.push(if highest_rpm > limit_rpm {
            Sign::OverLimit {
                highest_rpm,
                limit_rpm,
            }
        } else {
            Sign::UnderLimit {
                highest_rpm,
                limit_rpm,
            }
        });
    }
    causes.retain(|cause| rules_out(picture, *cause).is_empty());
    if is_clear && is_ragged(picture) == Some(true) && causes.contains(&Cause::BrushFloat) {
        causes = vec![Cause::BrushFloat];
    }
    (!causes.is_empty()).then_some(Symptom { causes, signs })
}

/// Lower at the same engine speed later on.
fn fades(picture: &Picture) -> Option<Symptom> {
    let fade = picture.fade.found()?;
    let least = FADES_V * picture.bands.scale;
    let is_fading = fade.volts.value < -least && -fade.volts.value > 2.0 * fade.volts.half_width;
    is_fading.then(|| {
        symptom(
            &[Cause::HeatFade, Cause::Regulator],
            vec![Sign::Fades {
                volts: -fade.volts.value,
                over_s: fade.over_s,
            }],
        )
    })
}

/// Steps, ramps and wandering.
fn changes(picture: &Picture) -> Vec<Symptom> {
    let mut found = Vec::new();
    let largest = |changes: &[super::events::Change]| {
        changes
            .iter()
            .map(|change| change.volts.abs())
            .fold(0.0, f64::max)
    };
    if picture.steps.len() >= 2 {
        found.push(symptom(
            &[Cause::LoadSteps],
            vec![Sign::Steps {
                count: picture.steps.len() as u32,
                volts: largest(&picture.steps),
            }],
        ));
    }
    let ways = |up: bool| picture.ramps.iter().any(|ramp| (ramp.volts > 0.0) == up);
    if ways(true) && ways(false) && falls_with_rpm(picture) != Some(true) {
        let seconds = picture.ramps.iter().map(|ramp| ramp.seconds).sum::<f64>();
        found.push(symptom(
            &[Cause::Commanded],
            vec![Sign::Ramps {
                count: picture.ramps.len() as u32,
                volts: largest(&picture.ramps),
                seconds: seconds / picture.ramps.len() as f64,
            }],
        ));
    }
    if let Some(volts) = picture.wander_v
        && volts > WANDERS_V * picture.bands.scale
        && picture.steps.len() < 2
    {
        found.push(symptom(&[Cause::Regulator], vec![Sign::Wanders { volts }]));
    }
    found
}

/// Low at idle, or everywhere.
fn low(picture: &Picture) -> Vec<Symptom> {
    let (bands, read) = (&picture.bands, &picture.read);
    let mut found = Vec::new();
    if !bands.serve {
        return found;
    }
    let contrasts = &picture.contrasts;
    let low = contrasts
        .iter()
        .filter(|change| change.volts < -picture.worth_v);
    let risen = low.clone().filter(|change| change.seconds > 0.0).count();
    let is_regular = risen > 0 && low.count() * 3 > contrasts.len() * 2;
    if let (Some(idle_v), Some(above_v)) = (read.idle, read.mid.or(read.high))
        && idle_v < bands.low_v - bands.doubt_v
        && above_v > bands.low_v
        && above_v - idle_v > picture.worth_v
        && is_regular
    {
        found.push(symptom(
            &[Cause::ShortAtIdle],
            vec![Sign::LowAtIdle { idle_v, above_v }],
        ));
    } else if read.best < bands.low_v - bands.doubt_v / 2.0 {
        found.push(symptom(
            &[
                Cause::ReadingPlace,
                Cause::Regulator,
                Cause::Commanded,
                Cause::BatteryAlone,
            ],
            vec![Sign::LowAtEverySpeed {
                volts: read.typical,
            }],
        ));
    }
    found
}

/// What the place of the reading makes.
fn reading(picture: &Picture) -> Option<Symptom> {
    let mut signs = Vec::new();
    if picture.flickers >= 3 {
        signs.push(Sign::Flickers {
            count: picture.flickers,
        });
    }
    let odd = picture.off_v.filter(|off_v| {
        let (low, _) = RESTS_V;
        *off_v < low * picture.bands.scale && picture.read.best < picture.bands.low_v
    });
    if let Some(off_v) = odd {
        signs.push(Sign::OddAtRest { off_v });
    }
    (!signs.is_empty()).then(|| symptom(&[Cause::ReadingPlace], signs))
}

/// Whether everything is as it should be, as far as the log shows it.
fn is_good(picture: &Picture) -> bool {
    picture.bands.serve
        && picture.running_s >= LEAST_S
        && picture.high_count >= LEAST_HIGH
        && picture.read.lowest > picture.bands.low_v - 0.1 * picture.bands.scale
        && picture.good_s > GOOD_PART * picture.running_s
        && picture.over_s < 0.02 * picture.running_s
        && picture.read.highest - picture.read.lowest < STEADY_V * picture.bands.scale
        && picture
            .strays_v
            .is_none_or(|volts| volts < STRAYS_V / 2.0 * picture.bands.scale)
        && picture
            .wander_v
            .is_none_or(|volts| volts < WANDERS_V / 1.5 * picture.bands.scale)
}

/// Judges every cause.
pub fn judge(picture: &Picture) -> Diagnosis {
    let symptoms = symptoms(picture);
    let read = &picture.read;
    let clean = (symptoms.is_empty() && is_good(picture)).then_some(Sign::Good {
        lowest_v: read.lowest,
        highest_v: read.highest,
    });
    assemble(
        &symptoms,
        clean,
        &|cause| rules_out(picture, cause),
        &|cause| is_blind(picture, cause),
        blinds(picture),
    )
}
