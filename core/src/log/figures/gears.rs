//! Voltage within each gear and after each shift.

use super::{Gear, Recovery, Slope};
use crate::log::analysis::Sampling;
use crate::log::cut::{center_of, samples};
use crate::log::joined::{Follower, Joined};
use crate::log::look::Look;
use crate::log::passes::{Pass, Shift, Span};
use crate::log::robust;
use crate::log::{Missing, Seen, Within};

/// Samples that a slope takes.
pub const LEAST_SAMPLES: usize = 5;
/// Samples a second that a recovery takes: those of a shift.
const RECOVERY_HZ: f64 = 20.0;
/// More points than this say no more about a line: they are averaged.
const MOST_POINTS: usize = 300;
/// What the shift itself does to the voltage is over by then, s.
const SETTLES_S: f64 = 0.15;
/// How much before and after a shift is compared, s.
const LOOKED_AT_S: f64 = 0.5;
/// Part of the change at which it counts as done: one time constant.
const DONE_PART: f64 = 0.632;
/// Engine speed of a gear has to change by this part for a slope.
const LEAST_RANGE: f64 = 0.05;

/// Every gear of a pass.
pub fn gears(look: &Look, pass: &Pass) -> Vec<Gear> {
    let (recording, joined, sampling) = (look.recording, look.joined, look.sampling);
    let shifts: &[Shift] = pass.shifts.found().map_or(&[], Vec::as_slice);
    let spans = pass.gears.iter();
    spans
        .map(|&span| {
            let next = shifts.iter().find(|shift| shift.at_s >= span.to_s - 1e-9);
            let recovery = match (&pass.shifts, next) {
                (Seen::TooSlow { hz, needs_hz }, _) => Seen::TooSlow {
                    hz: *hz,
                    needs_hz: *needs_hz,
                },
                (_, Some(shift)) if (shift.at_s - span.to_s).abs() < 1e-6 => {
                    recovery(joined, span, shift, sampling)
                }
                _ => Seen::Missing(Missing::Moment),
            };
            let speed = |at: f64| {
                let around = Span::new(at - 0.05, at + 0.05);
                crate::log::cut::median_of(&recording.rpm, around)
            };
            let ends = samples(&recording.rpm, span).map(|sample| sample.1);
            let first = speed(span.from_s).or_else(|| ends.clone().next());
            Gear {
                span,
                rpm: (
                    first.unwrap_or(0.0),
                    speed(span.to_s).or_else(|| ends.last()).unwrap_or(0.0),
                ),
                slope: slope(look, span),
                recovery,
            }
        })
        .collect()
}

/// Voltage over alternator speed within a gear.
fn slope(look: &Look, gear: Span) -> Seen<Slope> {
    let (recording, joined, sampling) = (look.recording, look.joined, look.sampling);
    let known = look.known;
    let all = joined.samples(gear).count();
    if all < LEAST_SAMPLES {
        return Seen::TooSlow {
            hz: sampling.volts_hz,
            needs_hz: LEAST_SAMPLES as f64 / gear.seconds().max(0.1),
        };
    }
    let from_s = gear.from_s
        + if all > 2 * LEAST_SAMPLES {
            SETTLES_S
        } else {
            0.0
        };
    let span = Span::new(from_s, gear.to_s);
    let mut measured = recording.alternator_rpm.as_ref().map(Follower::new);
    let ratio = known.ratio.map_or(1.0, |ratio| ratio.value);
    let of_alternator = measured.is_some() || known.ratio.is_some();
    let points: Vec<(f64, f64)> = joined
        .samples(span)
        .filter_map(|(at, rpm, volts)| {
            let speed = match &mut measured {
                Some(measured) => measured.at(at)?,
                None => rpm * ratio,
            };
            Some((speed / 1_000.0, volts))
        })
        .collect();
    let samples = points.len();
    let points = averaged(&points, MOST_POINTS);
    // A handful of samples does not tell its own scatter; the log as a whole does.
    let noise_v = sampling.noise_v * (points.len() as f64 / samples.max(1) as f64).sqrt();
    let speeds = points.iter().map(|point| point.0);
    let (low, high) = speeds.fold((f64::MAX, f64::MIN), |(low, high), speed| {
        (low.min(speed), high.max(speed))
    });
    if samples < LEAST_SAMPLES || high - low < LEAST_RANGE * high {
        return Seen::Missing(Missing::Samples);
    }
    match robust::line(&points, sampling.step_v, noise_v) {
        Some(line) => Seen::Found(Slope {
            per_1000_rpm: Within {
                value: line.slope,
                half_width: line.half_width,
            },
            over_gear_v: line.slope * (high - low),
            of_alternator,
            samples,
        }),
        None => Seen::Missing(Missing::Samples),
    }
}

/// At most so many points, neighbors averaged.
pub fn averaged(points: &[(f64, f64)], most: usize) -> Vec<(f64, f64)> {
    let size = points.len().div_ceil(most.max(1)).max(1);
    points
        .chunks(size)
        .map(|chunk| {
            let count = chunk.len() as f64;
            let sum = chunk
                .iter()
                .fold((0.0, 0.0), |sum, point| (sum.0 + point.0, sum.1 + point.1));
            (sum.0 / count, sum.1 / count)
        })
        .collect()
}

/// What voltage does after a shift.
fn recovery(joined: &Joined, gear: Span, shift: &Shift, sampling: &Sampling) -> Seen<Recovery> {
    if sampling.volts_hz < RECOVERY_HZ * 0.93 {
        return Seen::TooSlow {
            hz: sampling.volts_hz,
            needs_hz: RECOVERY_HZ,
        };
    }
    let before = Span::new(
        (shift.at_s - LOOKED_AT_S / 2.0).max(gear.from_s),
        shift.at_s,
    );
    let after = Span::new(
        shift.done_s + SETTLES_S,
        shift.done_s + SETTLES_S + LOOKED_AT_S / 2.0,
    );
    let (Some(low), Some(high)) = (
        center_of(&joined.volts, before),
        center_of(&joined.volts, after),
    ) else {
        return Seen::Missing(Missing::Samples);
    };
    let doubt = |(_, sigma, count): (f64, f64, usize)| {
        let sigma = f64::max(sigma, sampling.noise_v);
        sigma * 1.25 / (count as f64).sqrt()
    };
    let half_width = (2.0 * doubt(low).hypot(doubt(high))).hypot(sampling.step_v / 2.0);
    let change = high.0 - low.0;
    let within_s = (change.abs() > half_width)
        .then(|| {
            let line = low.0 + DONE_PART * change;
            let looked = Span::new(shift.at_s, after.to_s);
            samples(&joined.volts, looked)
                .find(|(_, volts)| (volts - line) * change.signum() >= 0.0)
                .map(|(at, _)| at - shift.at_s)
        })
        .flatten();
    Seen::Found(Recovery {
        volts: Within {
            value: change,
            half_width,
        },
        within_s,
        hysteresis_v: hysteresis(joined, gear, shift, sampling),
    })
}

/// Voltage in the next gear less that in this one at the same engine speed.
fn hysteresis(joined: &Joined, gear: Span, shift: &Shift, sampling: &Sampling) -> Option<Within> {
    let rpm = shift.to_rpm + 0.4 * (shift.from_rpm - shift.to_rpm);
    let near = 0.1 * (shift.from_rpm - shift.to_rpm);
    let next = Span::new(shift.done_s + SETTLES_S, shift.done_s + 4.0);
    let at_speed = |span: Span| {
        let mut volts: Vec<f64> = joined
            .samples(span)
            .filter(|sample| (sample.1 - rpm).abs() <= near)
            .map(|sample| sample.2)
            .collect();
        let count = volts.len();
        let (middle, sigma) = robust::center(&mut volts)?;
        (count >= 2).then(|| {
            (
                middle,
                sigma.max(sampling.noise_v) * 1.25 / (count as f64).sqrt(),
            )
        })
    };
    let (lower, higher) = (at_speed(gear)?, at_speed(next)?);
    Some(Within {
        value: higher.0 - lower.0,
        half_width: (2.0 * lower.1.hypot(higher.1)).hypot(sampling.step_v / 2.0),
    })
}
