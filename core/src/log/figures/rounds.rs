//! Between passes: starts of the engine, and the voltage while nothing is driven.

use super::reading::read;
use super::{Between, Crank};
use crate::log::analysis::Sampling;
use crate::log::cut::{median_of, samples};
use crate::log::joined::Joined;
use crate::log::passes::{Pass, RUNS_RPM, Span};
use crate::log::{Missing, Recording, Seen};

/// Voltages a second that a cranking dip takes.
pub const DIPS_HZ: f64 = 100.0;
/// Under this the engine stands, rpm.
const STANDS_RPM: f64 = 40.0;
/// A starter turns at most so long before the engine runs, s.
const CRANKS_S: f64 = 8.0;
/// A dip of at least this, V, on a 12 V system.
const LEAST_DIP_V: f64 = 0.4;
/// How much is read, s.
const READ_S: f64 = 5.0;

/// Every start of the engine.
pub fn cranks(recording: &Recording, scale: f64, sampling: &Sampling) -> Seen<Vec<Crank>> {
    let mut found = Vec::new();
    let mut stood: Option<f64> = None;
    for (&at, &rpm) in recording.rpm.time().iter().zip(recording.rpm.values()) {
        if f64::from(rpm) < STANDS_RPM {
            stood = Some(at);
        } else if f64::from(rpm) > RUNS_RPM
            && let Some(last) = stood.take()
            && at - last < CRANKS_S
        {
            found.extend(crank(recording, last, at, scale));
        }
    }
    if found.is_empty() {
        return Seen::Missing(Missing::Moment);
    }
    if sampling.volts_hz < DIPS_HZ * 0.93 {
        return Seen::TooSlow {
            hz: sampling.volts_hz,
            needs_hz: DIPS_HZ,
        };
    }
    Seen::Found(found)
}

/// One start: the engine stood last at `stood_s` and ran by itself at `runs_s`.
fn crank(recording: &Recording, stood_s: f64, runs_s: f64, scale: f64) -> Option<Crank> {
    let volts = &recording.volts;
    // The voltage falls before the engine is seen to turn.
    let dip = Span::new(stood_s - 0.5, runs_s + 0.1);
    let rested_v = median_of(volts, Span::new(stood_s - 3.5, stood_s - 0.5))?;
    let lowest_v = samples(volts, dip)
        .map(|sample| sample.1)
        .fold(f64::MAX, f64::min);
    if rested_v - lowest_v < LEAST_DIP_V * scale {
        return None;
    }
    let half = (rested_v + lowest_v) / 2.0;
    let under: Vec<f64> = samples(volts, dip)
        .filter(|sample| sample.1 < half)
        .map(|sample| sample.0)
        .collect();
    let at_s = *under.first()?;
    Some(Crank {
        at_s,
        rested_v,
        lowest_v,
        seconds: runs_s - at_s,
    })
}

/// Voltage between passes.
pub fn between(
    recording: &Recording,
    joined: &Joined,
    passes: &[Pass],
    sampling: &Sampling,
) -> Vec<Between> {
    passes
        .windows(2)
        .map(|two| {
            let span = Span::new(two[0].span.to_s, two[1].span.from_s);
            let last = |stands: bool| {
                let is_so = |rpm: f64| {
                    if stands {
                        rpm < STANDS_RPM
                    } else {
                        rpm > RUNS_RPM
                    }
                };
                let limit = two[1].highest_rpm * 0.4;
                let slow = samples(&recording.rpm, span).filter(|sample| sample.1 < limit);
                slow.filter(|sample| is_so(sample.1))
                    .last()
                    .map(|sample| sample.0)
            };
            let read_to = |to: Option<f64>| {
                let to = to?;
                read(
                    joined,
                    Span::new((to - READ_S).max(span.from_s), to),
                    sampling,
                )
            };
            Between {
                span,
                off: read_to(last(true)),
                running: read_to(last(false)),
            }
        })
        .collect()
}
