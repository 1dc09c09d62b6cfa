//! What a log shows, symptom by symptom, each with the causes that make it.

use super::against::rules_out;
use super::assemble::{Symptom, symptom};
use super::events::Change;
use super::idle::{dips_at_idle, is_low_at_each_idle, low, turns_on_late};
use super::picture::Picture;
use super::{Cause, Sign};

/// An explanation counts when it takes away this part of the scatter ...
pub const EXPLAINS: f64 = 0.45;
/// ... and leaves at most this part of what the next best one leaves.
const CLEARER: f64 = 0.85;
/// A loss at one speed explains so much more of the scatter than a growing fall, ...
const LOST_CLEARER: f64 = 0.02;
/// ... and a growing fall so much more than a loss, to be told apart.
const HINGE_CLEARER: f64 = 0.04;
/// A fall from under this part of the range is even over speed.
const EVEN_PART: f64 = 0.2;
/// Ragged: scatter at high engine speed over that at low ...
const RAGGED_TIMES: f64 = 2.0;
/// ... and at least this, V of a 12 V system.
const RAGGED_V: f64 = 0.07;
/// A machine in good order and its belt lose less than this, as a fraction: creep and slip are
/// 1 % (0 to 2, from memory), two tachometers make another percent.
pub const SLIPS: f64 = 0.04;
/// A fade over this, V of a 12 V system, is more than the set-point's own way with warmth
/// (10 mV/K over 40 K) ...
const FADES_V: f64 = 0.55;
/// Wandering at constant engine speed over this, V of a 12 V system.
pub const WANDERS_V: f64 = 0.13;
/// Straying over this, V of a 12 V system, is more than battery and warmth make.
pub const STRAYS_V: f64 = 0.5;
/// A battery rests between these after it started an engine, V of a 12 V system.
const RESTS_V: (f64, f64) = (11.4, 13.9);
/// A running engine this far over the battery at rest charges it, V of a 12 V system: what
/// is left in the plates after a charge is less.
const CHARGES_OVER_OFF_V: f64 = 0.6;
/// A battery that carries the car sinks by at least this a minute, V of a 12 V system: 20 A out
/// of 50 Ah take 0.7 % of the charge, 8 mV, and its plates polarize besides.
const SINKS_V: f64 = 0.015;
/// It strays by less than this meanwhile, V of a 12 V system.
const ALONE_STRAYS_V: f64 = 0.4;
/// And it takes so long to see it, s.
const LEAST_ALONE_S: f64 = 30.0;

/// Overcharged for sure when most of the time over the band by this, V of a 12 V system: what
/// a computer asks for, and a set-point at the band's edge, go that far.
const SURELY_OVER_V: f64 = 0.2;
/// Makers of lithium batteries differ so much in the voltage they take, V.
const ABOVE_LITHIUM_V: f64 = 0.4;
/// A larger step than this, V of a 12 V system, takes more than the wiring's drop: a load that
/// the machine cannot carry, or a machine that stops.
const LARGE_STEP_V: f64 = 0.35;

/// What the picture shows.
pub fn symptoms(picture: &Picture) -> Vec<Symptom> {
    if let Some(none) = not_charging(picture) {
        // Nothing else can be read off a voltage that may be the battery's own.
        return vec![none];
    }
    let mut found = Vec::new();
    let over = too_high(picture);
    let is_over = over.is_some();
    found.extend(over);
    match dropped_out(picture) {
        Some(lost) => found.push(lost),
        None => {
            found.extend(falls(picture));
            found.extend(fades(picture));
            // No computer asks for as much: what moves there has lost its sense or its
            // regulator.
            found.extend(changes(picture).into_iter().filter(|_| !is_over));
        }
    }
    found.extend(turns_on_late(picture));
    found.extend(low(picture));
    found.extend(reading(picture));
    if found.is_empty() {
        found.extend(strays(picture));
    }
    if found.is_empty() {
        found.extend(dips_at_idle(picture));
    }
    found
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
    }
    // A battery that gives sinks, and nothing else moves it: a reading with a drop before it
    // moves with the loads, a machine that gives something with engine speed.
    let sinks = picture.sinks_v.unwrap_or(0.0);
    let rises = read
        .idle
        .zip(read.mid.or(read.high))
        .map_or(0.0, |(idle, above)| above - idle);
    let is_alone = sinks > SINKS_V * bands.scale
        && picture
            .strays_v
            .is_some_and(|volts| volts < ALONE_STRAYS_V * bands.scale)
        && rises < 0.15 * bands.scale
        && read.typical > RESTS_V.0 * bands.scale
        && falls_with_rpm(picture).is_none()
        && picture.flickers == 0
        && read.typical - read.lowest < ALONE_STRAYS_V * bands.scale
        && picture.running_s > LEAST_ALONE_S;
    if sinks > 0.0 {
        signs.push(Sign::Sinks {
            volts_per_minute: sinks,
        });
    }
    Some(if is_alone {
        symptom(&[Cause::BatteryAlone], signs)
    } else {
        let causes = [Cause::BatteryAlone, Cause::ReadingPlace, Cause::LoadSteps];
        symptom(&causes, signs)
    })
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
        None if !bands.serve && read.typical < bands.high_v + ABOVE_LITHIUM_V => {
            let causes = [Cause::Overcharge, Cause::Regulator, Cause::Commanded];
            symptom(&[&causes[..], &[Cause::Healthy]].concat(), vec![high])
        }
        None if read.typical > bands.high_v + SURELY_OVER_V * bands.scale => {
            symptom(&[Cause::Overcharge], vec![high])
        }
        None => {
            let causes = [
                Cause::Overcharge,
                Cause::Regulator,
                Cause::LostWire,
                Cause::Commanded,
            ];
            symptom(&causes, vec![high])
        }
    })
}

/// It charged, and then did not any more.
fn dropped_out(picture: &Picture) -> Option<Symptom> {
    let lost = picture.lost.filter(|_| !is_low_at_each_idle(picture))?;
    let drops = Sign::DropsOut {
        volts: -lost.volts,
        at_s: lost.at_s,
    };
    let stays = Sign::StaysDown { volts: -lost.volts };
    let mut causes = vec![Cause::LostWire, Cause::Regulator, Cause::HeatFade];
    if !picture.lost_when_slow {
        // What high speed takes away is not back before the engine slows down.
        causes.extend([Cause::BrushFloat, Cause::BeltSlip]);
    }
    Some(symptom(&causes, vec![drops, stays]))
}

/// Whether an explanation stands out against another one.
fn clearer(gain: f64, other: f64) -> bool {
    1.0 - gain <= CLEARER * (1.0 - other)
}

/// Whether voltage falls with engine speed and nothing else explains it as well.
fn falls_with_rpm(picture: &Picture) -> Option<bool> {
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

/// What the shape of a fall over engine speed goes with: even from low speed on, growing from a
/// knee, or a loss at one speed.
fn shape(picture: &Picture, signs: &mut Vec<Sign>) -> Vec<Cause> {
    let (hinge, lost) = (picture.explained.hinge, picture.explained.lost);
    let (idle, top) = picture.range;
    let part = (hinge.from_rpm - idle) / (top - idle);
    if lost.gain > hinge.gain + LOST_CLEARER {
        signs.push(Sign::FromSpeed { rpm: lost.from_rpm });
        return vec![Cause::BrushFloat, Cause::BeltSlip];
    }
    if hinge.gain < lost.gain + HINGE_CLEARER {
        return vec![Cause::BeltSlip, Cause::RpmLoad, Cause::BrushFloat];
    }
    if part < EVEN_PART {
        signs.push(Sign::EvenOverSpeed {
            volts_per_1000_rpm: 1_000.0 * hinge.volts / (top - hinge.from_rpm).max(1.0),
        });
        vec![Cause::Regulator, Cause::ReadingPlace, Cause::RpmLoad]
    } else {
        vec![Cause::RpmLoad, Cause::BeltSlip, Cause::Regulator]
    }
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
    let mut causes = shape(picture, &mut signs);
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
    if causes == [Cause::RpmLoad] && beside.amps.is_none() {
        // Without a current channel it may as well be held lower on purpose, or by a fault.
        causes.extend([Cause::Regulator, Cause::Commanded]);
    }
    (!causes.is_empty()).then_some(Symptom { causes, signs })
}

/// Lower at the same engine speed later on.
fn fades(picture: &Picture) -> Option<Symptom> {
    let fade = picture.fade.found()?;
    let least = FADES_V * picture.bands.scale;
    let is_fading = fade.volts.value < -least && -fade.volts.value > 2.0 * fade.volts.half_width;
    is_fading.then(|| {
        let volts = -fade.volts.value;
        let over_s = fade.over_s;
        symptom(
            &[Cause::HeatFade, Cause::Regulator],
            vec![Sign::Fades { volts, over_s }],
        )
    })
}

/// Steps, ramps and wandering.
fn changes(picture: &Picture) -> Vec<Symptom> {
    let mut found = Vec::new();
    let largest = |changes: &[Change]| {
        let sizes = changes.iter().map(|change| change.volts.abs());
        sizes.fold(0.0, f64::max)
    };
    if picture.steps.len() >= 2 {
        let signs = vec![Sign::Steps {
            count: picture.steps.len() as u32,
            volts: largest(&picture.steps),
        }];
        let is_large = largest(&picture.steps) > LARGE_STEP_V * picture.bands.scale;
        let mut causes = vec![Cause::LoadSteps];
        if is_large {
            causes.push(Cause::Regulator);
        }
        if is_low_at_each_idle(picture) {
            causes.push(Cause::ShortAtIdle);
        }
        found.push(Symptom { causes, signs });
    }
    let ways = |up: bool| picture.ramps.iter().any(|ramp| (ramp.volts > 0.0) == up);
    if ways(true) && ways(false) && falls_with_rpm(picture) != Some(true) {
        let seconds: f64 = picture.ramps.iter().map(|ramp| ramp.seconds).sum();
        let signs = vec![Sign::Ramps {
            count: picture.ramps.len() as u32,
            volts: largest(&picture.ramps),
            seconds: seconds / picture.ramps.len() as f64,
        }];
        found.push(symptom(&[Cause::Commanded], signs));
    }
    if let Some(volts) = picture.wander_v
        && volts > WANDERS_V * picture.bands.scale
        && picture.steps.len() < 2
    {
        let causes = [Cause::Regulator, Cause::LoadSteps, Cause::ReadingPlace];
        found.push(symptom(&causes, vec![Sign::Wanders { volts }]));
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
    let (bands, best) = (&picture.bands, picture.read.best);
    let odd = picture
        .off_v
        .filter(|off_v| *off_v < RESTS_V.0 * bands.scale && best < bands.low_v);
    if let Some(off_v) = odd {
        signs.push(Sign::OddAtRest { off_v });
    }
    (!signs.is_empty()).then(|| symptom(&[Cause::ReadingPlace], signs))
}

/// The voltage moves, and nothing that was seen explains it.
fn strays(picture: &Picture) -> Option<Symptom> {
    let least = STRAYS_V * picture.bands.scale;
    let volts = picture.strays_v.filter(|volts| *volts > least)?;
    let since = picture.explained.since;
    let fades = picture
        .fade
        .found()
        .is_some_and(|fade| fade.volts.value < -picture.worth_v);
    // Downwards for good is another thing than to and fro.
    let first = if fades || since.gain > EXPLAINS {
        Cause::HeatFade
    } else {
        Cause::Commanded
    };
    let causes = [
        first,
        Cause::Regulator,
        Cause::LoadSteps,
        Cause::ReadingPlace,
    ];
    Some(symptom(&causes, vec![Sign::Wanders { volts }]))
}
