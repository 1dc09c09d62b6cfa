//! How long the engine turned how fast: kept with a pass, so that the time over any limit can
//! be worked out later, whatever the pulleys.

use serde::{Deserialize, Serialize};

use super::{Signal, passes::Span};

/// Width of a bin, engine rpm.
pub const BIN_RPM: f64 = 50.0;
/// Longest time between two samples that still counts as driven through, s: over it nobody
/// knows what the engine did.
const LONGEST_GAP_S: f64 = 2.5;

/// Seconds in each bin of engine speed, from zero up.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Dwell {
    /// Seconds in each bin of [`BIN_RPM`].
    pub seconds: Vec<f64>,
    /// Highest engine speed, rpm.
    pub highest_rpm: f64,
    /// Time over which nothing was recorded, s.
    pub unknown_s: f64,
}

impl Dwell {
    /// Of a stretch of a log, in straight lines between samples.
    pub fn of(rpm: &Signal, span: Span) -> Self {
        let mut dwell = Self::default();
        let (time, values) = (rpm.time(), rpm.values());
        let from = time.partition_point(|&at| at < span.from_s);
        let to = time.partition_point(|&at| at <= span.to_s);
        let mut before: Option<(f64, f64)> = None;
        for (&at, &value) in time.iter().zip(values).take(to).skip(from) {
            let value = f64::from(value).max(0.0);
            dwell.highest_rpm = dwell.highest_rpm.max(value);
            if let Some((earlier, earlier_value)) = before {
                let seconds = at - earlier;
                if seconds > LONGEST_GAP_S {
                    dwell.unknown_s += seconds;
                } else if seconds > 0.0 {
                    dwell.add(earlier_value, value, seconds);
                }
            }
            before = Some((at, value));
        }
        dwell
    }

    /// Adds a straight line between two speeds (rpm).
    fn add(&mut self, one: f64, other: f64, seconds: f64) {
        let (low, high) = (one.min(other), one.max(other));
        let (first, last) = ((low / BIN_RPM) as usize, (high / BIN_RPM) as usize);
        if self.seconds.len() <= last {
            self.seconds.resize(last + 1, 0.0);
        }
        for (bin, kept) in self
            .seconds
            .iter_mut()
            .enumerate()
            .take(last + 1)
            .skip(first)
        {
            let (from, to) = (bin as f64 * BIN_RPM, (bin + 1) as f64 * BIN_RPM);
            let part = if high > low {
                (to.min(high) - from.max(low)).max(0.0) / (high - low)
            } else {
                1.0
            };
            *kept += part * seconds;
        }
    }

    /// Time over an engine speed (rpm), s; evenly within a bin.
    pub fn seconds_over(&self, engine_rpm: f64) -> f64 {
        let engine_rpm = engine_rpm.max(0.0);
        self.seconds
            .iter()
            .enumerate()
            .map(|(bin, seconds)| {
                let part = (bin + 1) as f64 - engine_rpm / BIN_RPM;
                seconds * part.clamp(0.0, 1.0)
            })
            .sum()
    }

    /// Time over a limit (alternator rpm) with a ratio, s.
    pub fn seconds_over_limit(&self, limit_rpm: f64, ratio: f64) -> f64 {
        if ratio > 0.0 {
            self.seconds_over(limit_rpm / ratio)
        } else {
            0.0
        }
    }

    /// All of it, s.
    pub fn total_s(&self) -> f64 {
        self.seconds.iter().sum()
    }

    /// Rounded to milliseconds, to be stored.
    #[must_use]
    pub fn rounded(&self) -> Self {
        let round = |seconds: &f64| (seconds * 1_000.0).round() / 1_000.0;
        Self {
            seconds: self.seconds.iter().map(round).collect(),
            highest_rpm: self.highest_rpm,
            unknown_s: round(&self.unknown_s),
        }
    }

    /// Puts another one on top.
    pub fn join(&mut self, other: &Self) {
        if self.seconds.len() < other.seconds.len() {
            self.seconds.resize(other.seconds.len(), 0.0);
        }
        for (kept, more) in self.seconds.iter_mut().zip(&other.seconds) {
            *kept += more;
        }
        self.highest_rpm = self.highest_rpm.max(other.highest_rpm);
        self.unknown_s += other.unknown_s;
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::trace::Trace;

    const ALL: Span = Span {
        from_s: 0.0,
        to_s: 1e9,
    };

    /// Verification: against [`Trace::seconds_above`], which integrates the lines themselves.
    #[test]
    fn time_over_a_speed_is_that_of_the_lines() {
        let points: Vec<(f64, f64)> = (0..400)
            .map(|at| {
                let at = f64::from(at);
                (at * 0.05, 5_000.0 + 2_400.0 * (at * 0.11).sin() + at)
            })
            .collect();
        let trace = Trace::new(points.clone()).unwrap();
        let signal = Signal::new(
            points.iter().map(|point| point.0).collect(),
            points.iter().map(|point| point.1 as f32).collect(),
        )
        .unwrap();
        let dwell = Dwell::of(&signal, ALL);
        assert!((dwell.total_s() - trace.seconds()).abs() < 1e-9);
        for rpm in [0.0, 2_600.0, 4_150.0, 6_000.0, 7_399.0, 9_000.0] {
            // Within a bin time is spread evenly.
            let off = if rpm % BIN_RPM == 0.0 { 1e-3 } else { 0.06 };
            let (kept, wanted) = (dwell.seconds_over(rpm), trace.seconds_above(rpm));
            assert!((kept - wanted).abs() < off, "{rpm}: {kept} {wanted}");
        }
        assert_eq!(
            dwell.seconds_over_limit(15_000.0, 2.5),
            dwell.seconds_over(6_000.0)
        );
    }

    #[test]
    fn nobody_knows_what_happens_in_a_gap() {
        let signal = Signal::new(vec![0.0, 1.0, 60.0, 61.0], vec![3_000.0; 4]).unwrap();
        let mut dwell = Dwell::of(&signal, ALL);
        assert_eq!((dwell.total_s(), dwell.unknown_s), (2.0, 59.0));
        let once = dwell.clone();
        dwell.join(&once);
        assert_eq!((dwell.total_s(), dwell.unknown_s), (4.0, 118.0));
    }
}
