//! How finely a log was written.

use super::analysis::Sampling;
use super::passes::Span;
use super::robust::{median, quantile};
use super::{Recording, Signal};

/// Samples that are looked at for rates, steps and noise: enough for a percent.
const LOOKED_AT: usize = 20_000;
/// A gap is this many times the usual interval ...
const GAP_INTERVALS: f64 = 4.0;
/// ... and at least this long, s.
const GAP_LEAST_S: f64 = 0.3;
/// A log that has at least this part of the samples its usual interval makes lost a few.
const FEW_LOST: f64 = 0.8;
/// Differences under this are rounding of the stored number, V.
const ROUNDING_V: f64 = 5e-5;
/// Engine speed moves when it changes by so much within a second, rpm.
const MOVES_RPM: f64 = 400.0;

/// The usual interval between two different times, s.
pub fn interval_s(signal: &Signal) -> Option<f64> {
    let time = signal.time();
    let stride = (time.len() / LOOKED_AT).max(1);
    let mut intervals: Vec<f64> = time
        .windows(2)
        .step_by(stride)
        .map(|two| two[1] - two[0])
        .filter(|interval| *interval > 0.0)
        .collect();
    median(&mut intervals)
}

/// The interval from which on nobody knows what happened in between, s.
pub fn gap_s(signal: &Signal) -> f64 {
    gap_of(interval_s(signal))
}

fn gap_of(usual_s: Option<f64>) -> f64 {
    usual_s.map_or(GAP_LEAST_S, |usual| {
        (GAP_INTERVALS * usual).max(GAP_LEAST_S)
    })
}

/// Different times a second, gaps left out; and the gaps: how many, and how long together.
fn rate(signal: &Signal) -> (f64, usize, f64) {
    let usual_s = interval_s(signal);
    let gap = gap_of(usual_s);
    let (mut different, mut gaps, mut gaps_s, mut known_s) = (0usize, 0, 0.0, 0.0);
    for two in signal.time().windows(2) {
        let interval = two[1] - two[0];
        if interval > gap {
            gaps += 1;
            gaps_s += interval;
        } else if interval > 0.0 {
            different += 1;
            known_s += interval;
        }
    }
    let mean_hz = if known_s > 0.0 {
        different as f64 / known_s
    } else {
        0.0
    };
    // A few samples lost here and there do not make a log slower where it has them.
    let usual_hz = usual_s.map_or(mean_hz, |usual| 1.0 / usual);
    let hz = if mean_hz > FEW_LOST * usual_hz {
        usual_hz
    } else {
        mean_hz
    };
    (hz, gaps, gaps_s)
}

/// How often engine speed is really new where it moves: some loggers write the last value
/// again and again.
fn fresh_hz(rpm: &Signal, written_hz: f64) -> f64 {
    let (time, values) = (rpm.time(), rpm.values());
    let mut rates = Vec::new();
    let mut start = 0;
    while start < time.len() && rates.len() < 400 {
        let from = time[start];
        let end = start + time[start..].partition_point(|&at| at < from + 1.0);
        let window = &values[start..end];
        let (low, high) = window
            .iter()
            .fold((f32::MAX, f32::MIN), |(low, high), &value| {
                (low.min(value), high.max(value))
            });
        if f64::from(high - low) > MOVES_RPM {
            let changes = window.windows(2).filter(|two| two[0] != two[1]).count();
            // Where each sample is new, the rate is theirs: one more than there are changes.
            let is_fresh = changes + 1 == window.len();
            rates.push((changes + usize::from(is_fresh)) as f64);
        }
        start = end.max(start + 1);
    }
    // The last second of a log and slow stretches count too low: take a high one.
    let fresh = quantile(&mut rates, 0.75).unwrap_or(written_hz);
    if fresh > 0.0 && fresh < 0.6 * written_hz {
        fresh
    } else {
        written_hz
    }
}

/// Steps in which a signal was written, and how far single samples scatter.
fn grain(signal: &Signal) -> (f64, f64) {
    let values = signal.values();
    let stride = (values.len() / LOOKED_AT).max(1);
    let mut steps: Vec<f64> = values
        .windows(2)
        .step_by(stride)
        .map(|two| f64::from(two[1] - two[0]).abs())
        .filter(|step| *step > ROUNDING_V)
        .collect();
    let step = quantile(&mut steps, 0.02).unwrap_or(0.0);
    // Second differences leave out every straight line: their variance is 1.5 times that of a sample.
    let mut bends: Vec<f64> = values
        .windows(3)
        .step_by(stride)
        .map(|three| f64::from(three[1] - (three[0] + three[2]) / 2.0).abs())
        .collect();
    let noise = median(&mut bends).map_or(0.0, |bend| 1.4826 * bend / 1.5f64.sqrt());
    (step, noise.max(step / 12.0f64.sqrt()))
}

/// How finely a log was written.
pub fn sampling(recording: &Recording) -> Sampling {
    let (rpm, volts) = (&recording.rpm, &recording.volts);
    let ends = |signal: &Signal| Some((*signal.time().first()?, *signal.time().last()?));
    let (from_s, to_s) = match (ends(rpm), ends(volts)) {
        (Some(one), Some(other)) => (one.0.min(other.0), one.1.max(other.1)),
        (Some(only), None) | (None, Some(only)) => only,
        (None, None) => return Sampling::default(),
    };
    let (written_hz, ..) = rate(rpm);
    let (volts_hz, gaps, gaps_s) = rate(volts);
    let (step_v, noise_v) = grain(volts);
    Sampling {
        span: Span { from_s, to_s },
        rpm_hz: fresh_hz(rpm, written_hz),
        volts_hz,
        step_v,
        noise_v,
        gaps,
        gaps_s,
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn rate_step_noise_and_gaps() {
        let time: Vec<f64> = (0..2_000)
            .map(|at| f64::from(at) * 0.02 + if at >= 1_000 { 5.0 } else { 0.0 })
            .collect();
        let volts = time
            .iter()
            .map(|at| ((14.0 + (at * 977.0).sin() * 0.2) * 10.0).round() as f32 / 10.0)
            .collect();
        // Written at 50 Hz, new at 10 Hz.
        let rpm = (0..2_000u16)
            .map(|at| 1_000.0 + f32::from(at / 5 % 40) * 150.0)
            .collect();
        let recording = Recording {
            rpm: Signal::new(time.clone(), rpm).unwrap(),
            volts: Signal::new(time, volts).unwrap(),
            ..Recording::default()
        };
        let found = sampling(&recording);
        assert!(
            (found.volts_hz - 50.0).abs() < 0.1 && (found.rpm_hz - 10.0).abs() < 1.1,
            "{found:?}"
        );
        assert!((found.step_v - 0.1).abs() < 0.001);
        assert!((0.05..0.25).contains(&found.noise_v));
        assert_eq!(found.gaps, 1);
        assert!((found.gaps_s - 5.02).abs() < 1e-9);
        assert_eq!(sampling(&Recording::default()), Sampling::default());
    }
}
