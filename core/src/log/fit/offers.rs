//! What a pass of a log can fix of the car.

use super::{Fixed, Offer};
use crate::bus::Sense;
use crate::car::entry::Field;
use crate::car::{Car, EngineState};
use crate::data::race_memory::UNCALIBRATED_V;
use crate::log::analysis::{Analysis, PassFound};
use crate::log::cut::{center_of, median_of};
use crate::log::diagnose::{Cause, Outcome};
use crate::log::figures::gears::averaged;
use crate::log::joined::{Follower, Joined};
use crate::log::robust::{self, median};
use crate::log::{Known, Recording, Within};
use crate::race::PassStudy;
use crate::resolve::InputId;
use crate::tolerance::Tolerances;
use crate::wiring::Place;

/// How well a plateau of the voltage tells the set-point, V: the machine's own droop.
const PLATEAU_V: f64 = 0.05;
/// A plateau reaches this far under its top, V of a 12 V system, besides the noise.
const HELD_V: f64 = 0.1;
/// The top is what this part of the moments stays under: a spike is none.
const TOP_PART: f64 = 0.95;
/// A plateau has at least this part of the moments.
const LEAST_PLATEAU: f64 = 0.15;
/// How well the model knows the current that makes the drop to the reading, as a part of it.
const CURRENT_PART: f64 = 0.25;
/// Moments at which model and log are compared.
const MOMENTS: usize = 200;
/// The model regulates where it is within this of its set-point, V.
const REGULATES_V: f64 = 0.05;
/// A loss of output is a fall by this, V of a 12 V system.
const LOSS_V: f64 = 0.35;
/// A current out of the alternator has to change by this to tell a resistance, A.
const LEAST_RANGE_A: f64 = 15.0;
/// What may be off by more than this, V of a 12 V system, says less of a set-point or a reading than is known without it.
const MOST_DOUBT_V: f64 = 0.6;
/// Two clamps or shunts are each within this part (from memory).
const CLAMP: f64 = 0.03;

/// Everything that this pass can fix.
pub fn offers(
    recording: &Recording,
    analysis: &Analysis,
    found: &PassFound,
    car: &Car,
    tolerances: &Tolerances,
    simulated: &PassStudy,
) -> Vec<Offer> {
    let joined = Joined::of(recording);
    let known = Known::of(car);
    let mut offers = Vec::new();
    if charges(found) {
        offers.extend(set_point_or_offset(
            recording, analysis, found, car, tolerances, simulated,
        ));
        offers.extend(path(recording, &joined, found, car, tolerances));
    }
    offers.extend(lose_and_recover(&joined, analysis, found, &known));
    offers.extend(load(recording, found, car));
    offers
}

/// Whether the pass has a voltage that the regulator held.
fn charges(found: &PassFound) -> bool {
    let none = [Cause::BatteryAlone, Cause::LostWire, Cause::ReadingPlace];
    !matches!(&found.diagnosis.outcome, Outcome::PointsTo(causes) if causes.iter().any(|cause| none.contains(cause)))
}

/// The measured plateau against the model's, where both regulate: the set-point, or, where
/// that was entered, what the reading is off.
fn set_point_or_offset(
    recording: &Recording,
    analysis: &Analysis,
    found: &PassFound,
    car: &Car,
    tolerances: &Tolerances,
    simulated: &PassStudy,
) -> Option<Offer> {
    let span = found.pass.span;
    let params = &tolerances.nominal().params;
    let width = span.seconds() / MOMENTS as f64;
    let highest = simulated.holds.samples.iter().map(|moment| moment.shown_v);
    let highest = highest.fold(f64::MIN, f64::max);
    let mut pairs: Vec<(f64, f64)> = (0..MOMENTS)
        .filter_map(|place| {
            let since = (place as f64 + 0.5) * width;
            let model = simulated.holds.at(since)?.shown_v;
            let at = span.from_s + since;
            let around = crate::log::passes::Span::new(at - width, at + width);
            Some((model, median_of(&recording.volts, around)?))
        })
        .filter(|(model, _)| *model > highest - REGULATES_V)
        .collect();
    // The measured plateau: what stays at the top, since a fault only lowers the voltage. A voltage that
    // falls all along holds nothing, and fixes nothing.
    let mut volts: Vec<f64> = pairs.iter().map(|pair| pair.1).collect();
    let top = robust::quantile(&mut volts, TOP_PART)?;
    let held = top - HELD_V * analysis.bands.scale - 2.0 * analysis.sampling.noise_v;
    pairs.retain(|pair| pair.1 >= held);
    if (pairs.len() as f64) < LEAST_PLATEAU * MOMENTS as f64 {
        return None;
    }
    let mut volts: Vec<f64> = pairs.iter().map(|pair| pair.1).collect();
    let line = median(&mut volts)?;
    let mut off: Vec<f64> = pairs.iter().map(|(model, volts)| volts - model).collect();
    let (off, scatter) = robust::center(&mut off)?;
    // What the model loses between regulator and reading is known no better than path and current.
    let drop = params.set_point_v + params.supply.offset_v - highest;
    let doubt = PLATEAU_V
        .hypot(scatter)
        .hypot(drop * path_part(tolerances).hypot(CURRENT_PART));
    if doubt > MOST_DOUBT_V * analysis.bands.scale {
        return None;
    }
    let wiring = &car.wiring;
    let calibrated = wiring.meter_v.is_some() && wiring.shown_v.is_some();
    if car.alternator.set_point.is_some() && !calibrated {
        let shown = line + off;
        let offset = params.supply.offset_v + off;
        return Some(Offer {
            fixed: Fixed::Offset,
            value: Within {
                value: offset,
                half_width: doubt.hypot(0.1),
            },
            present: Some(params.supply.offset_v),
            edits: vec![
                (Field::MeterVolts, shown - offset),
                (Field::ShownVolts, shown),
            ],
        });
    }
    let reading = if calibrated { 0.0 } else { UNCALIBRATED_V };
    let value = params.set_point_v + off;
    Some(Offer {
        fixed: Fixed::SetPoint,
        value: Within {
            value,
            half_width: doubt.hypot(reading),
        },
        present: Some(params.set_point_v),
        edits: vec![(Field::SetPoint, value)],
    })
}

/// How well the resistance of the charge path is known, as a part of it.
fn path_part(tolerances: &Tolerances) -> f64 {
    let inputs = tolerances.resolved().supply_inputs.iter();
    let (off, whole) = inputs
        .filter(|input| {
            matches!(
                input.id,
                InputId::LeadResistance | InputId::GroundResistance
            )
        })
        .fold((0.0_f64, 0.0), |(off, whole), input| {
            let widest = (input.highest - input.value).max(input.value - input.lowest);
            (off.hypot(widest), whole + input.value)
        });
    if whole > 0.0 { off / whole } else { 0.0 }
}

/// Alternator speeds at which output goes and comes back: where the voltage crosses the middle
/// between held and lost. Only where the log says that speed makes the loss.
fn lose_and_recover(
    joined: &Joined,
    analysis: &Analysis,
    found: &PassFound,
    known: &Known,
) -> Vec<Offer> {
    let is_float = match &found.diagnosis.outcome {
        Outcome::PointsTo(causes) | Outcome::OneOf(causes) => causes.contains(&Cause::BrushFloat),
        Outcome::CannotTell => false,
    };
    let (Some(ratio), true) = (known.ratio, is_float) else {
        return Vec::new();
    };
    let span = found.pass.span;
    let mut held: Vec<f64> = joined.samples(span).map(|sample| sample.2).collect();
    let (Some(high), Some(low)) = (
        robust::quantile(&mut held.clone(), 0.85),
        robust::quantile(&mut held, 0.05),
    ) else {
        return Vec::new();
    };
    if high - low < LOSS_V * analysis.bands.scale {
        return Vec::new();
    }
    let line = (high + low) / 2.0;
    let (mut lose, mut recover) = (Vec::new(), Vec::new());
    let mut is_held = true;
    for (_, rpm, volts) in joined.samples(span) {
        let margin = 0.15 * (high - low);
        if is_held && volts < line - margin {
            lose.push(rpm * ratio.value);
            is_held = false;
        } else if !is_held && volts > line + margin {
            recover.push(rpm * ratio.value);
            is_held = true;
        }
    }
    let offer = |fixed: Fixed, mut speeds: Vec<f64>, edited: bool| {
        let spread = robust::quantile(&mut speeds.clone(), 1.0)?
            - robust::quantile(&mut speeds.clone(), 0.0)?;
        let value = median(&mut speeds)?;
        let part = ratio.half_width / ratio.value;
        // One crossing alone may be off by what the voltage lags behind.
        let scatter = (spread / 2.0).max(0.04 * value);
        Some(Offer {
            fixed,
            value: Within {
                value,
                half_width: scatter.hypot(part * value),
            },
            present: (fixed == Fixed::Lose).then_some(known.limits.continuous.0),
            edits: if edited {
                vec![(Field::Continuous, value)]
            } else {
                Vec::new()
            },
        })
    };
    let is_pointed = matches!(&found.diagnosis.outcome, Outcome::PointsTo(_));
    [
        offer(Fixed::Lose, lose, is_pointed),
        offer(Fixed::Recover, recover, false),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// Load on the pass: what the alternator gives less what goes into the battery.
fn load(recording: &Recording, found: &PassFound, car: &Car) -> Option<Offer> {
    let span = found.pass.span;
    let (given, given_scatter, _) = center_of(recording.alternator_amps.as_ref()?, span)?;
    let (stored, stored_scatter, _) = center_of(recording.battery_amps.as_ref()?, span)?;
    let value = given - stored;
    let phase = car
        .phases
        .iter()
        .position(|phase| phase.engine == EngineState::Pass)?;
    let read_at = median_of(&recording.volts, span)?;
    Some(Offer {
        fixed: Fixed::Load,
        value: Within {
            value,
            half_width: (CLAMP * given.abs().hypot(stored.abs()))
                .hypot(given_scatter.hypot(stored_scatter) / 3.0),
        },
        present: car
            .phases
            .get(phase)
            .and_then(|phase| phase.clamp)
            .map(|clamp| crate::quantity::InElectricCurrent::amps(clamp.current)),
        edits: if value > 0.0 {
            vec![
                (Field::PhaseClamp(phase), value),
                (Field::PhaseClampVoltage(phase), read_at),
            ]
        } else {
            Vec::new()
        },
    })
}

/// Resistance of the charge path: how the battery's voltage falls with the current, the
/// regulator holding the stud.
fn path(
    recording: &Recording,
    joined: &Joined,
    found: &PassFound,
    car: &Car,
    tolerances: &Tolerances,
) -> Option<Offer> {
    let amps = recording.alternator_amps.as_ref()?;
    let is_behind = car.wiring.read_at == Some(Place::Battery);
    let at_stud = car.wiring.sense == Some(Sense::Alternator);
    if !is_behind || !at_stud {
        return None;
    }
    let mut follower = Follower::new(amps);
    let points: Vec<(f64, f64)> = joined
        .samples(found.pass.span)
        .filter_map(|(at, _, volts)| Some((follower.at(at)?, volts)))
        .collect();
    let mut currents: Vec<f64> = points.iter().map(|point| point.0).collect();
    let range =
        robust::quantile(&mut currents.clone(), 0.95)? - robust::quantile(&mut currents, 0.05)?;
    if range < LEAST_RANGE_A {
        return None;
    }
    let line = robust::line(&averaged(&points, 400), 0.0, 0.0)?;
    let value = -line.slope;
    (value > 2.0 * line.half_width).then(|| Offer {
        fixed: Fixed::PathOhm,
        value: Within {
            value,
            half_width: line.half_width.hypot(CLAMP * value),
        },
        present: Some(tolerances.nominal().params.supply.path_ohm()),
        edits: Vec::new(),
    })
}
