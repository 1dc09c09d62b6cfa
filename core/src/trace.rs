//! Engine speed over time, in straight lines between points.

/// Engine speed over time: straight lines between points, held before the first and after
/// the last.
#[derive(Clone, Debug, PartialEq)]
pub struct Trace {
    /// (seconds, rpm), never falling in time; never empty.
    points: Vec<(f64, f64)>,
}

/// Why points are no trace.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum TraceError {
    /// No point at all.
    #[error("found no point, need at least one")]
    Empty,
    /// A time or a speed that is negative or no number.
    #[error("found {seconds} s and {rpm} rpm in point {place}, need numbers from zero up")]
    Point {
        /// Place of the point, from zero.
        place: usize,
        /// Its time, s.
        seconds: f64,
        /// Its speed, rpm.
        rpm: f64,
    },
    /// A point that is earlier than the one before.
    #[error("found {seconds} s in point {place} after {before} s, need rising times")]
    Order {
        /// Place of the point, from zero.
        place: usize,
        /// Its time, s.
        seconds: f64,
        /// Time of the point before, s.
        before: f64,
    },
}

impl Trace {
    /// A trace through these points: (seconds, rpm). Two points at the same time are a step.
    ///
    /// # Errors
    /// [`TraceError`] where they are no trace.
    pub fn new(points: Vec<(f64, f64)>) -> Result<Self, TraceError> {
        if points.is_empty() {
            return Err(TraceError::Empty);
        }
        let mut before = 0.0;
        for (place, &(seconds, rpm)) in points.iter().enumerate() {
            let is_number = seconds.is_finite() && rpm.is_finite();
            if !is_number || seconds < 0.0 || rpm < 0.0 {
                return Err(TraceError::Point {
                    place,
                    seconds,
                    rpm,
                });
            }
            if seconds < before {
                return Err(TraceError::Order {
                    place,
                    seconds,
                    before,
                });
            }
            before = seconds;
        }
        Ok(Self { points })
    }

    /// One speed (rpm) for so many seconds; what is negative or no number counts as zero.
    pub fn constant(rpm: f64, seconds: f64) -> Self {
        let (rpm, seconds) = (rpm.max(0.0), seconds.max(0.0));
        Self {
            points: vec![(0.0, rpm), (seconds, rpm)],
        }
    }

    /// The points: (seconds, rpm).
    pub fn points(&self) -> &[(f64, f64)] {
        &self.points
    }

    /// Time of the last point, s.
    pub fn seconds(&self) -> f64 {
        self.points.last().map_or(0.0, |point| point.0)
    }

    /// Engine speed at a time (s), rpm; at a step the later one.
    pub fn at(&self, seconds: f64) -> f64 {
        let after = self.points.partition_point(|point| point.0 <= seconds);
        let before = after.checked_sub(1).and_then(|at| self.points.get(at));
        match (before, self.points.get(after)) {
            (Some(from), Some(to)) => {
                from.1 + (to.1 - from.1) * (seconds - from.0) / (to.0 - from.0)
            }
            (Some(end), None) | (None, Some(end)) => end.1,
            (None, None) => 0.0,
        }
    }

    /// Engine speed just before a time (s), rpm: at a step the earlier one.
    pub fn just_before(&self, seconds: f64) -> f64 {
        let after = self.points.partition_point(|point| point.0 < seconds);
        let before = after.checked_sub(1).and_then(|at| self.points.get(at));
        match (before, self.points.get(after)) {
            (Some(from), Some(to)) => {
                from.1 + (to.1 - from.1) * (seconds - from.0) / (to.0 - from.0)
            }
            (Some(end), None) | (None, Some(end)) => end.1,
            (None, None) => 0.0,
        }
    }

    /// Times (s) between its ends at which it steps or bends by more than this part of the
    /// steeper side.
    pub fn bends(&self, part: f64) -> Vec<f64> {
        let mut bends = Vec::new();
        for three in self.points.windows(3) {
            if let [a, b, c] = three {
                let (before, after) = (slope(*a, *b), slope(*b, *c));
                let steepest = before.abs().max(after.abs());
                let is_bent = match (before.is_finite(), after.is_finite()) {
                    (true, true) => (before - after).abs() > part * steepest,
                    _ => true,
                };
                if is_bent && bends.last() != Some(&b.0) {
                    bends.push(b.0);
                }
            }
        }
        bends
    }

    /// The first time after `from_s` and up to `until_s` at which it reaches a speed (rpm)
    /// from below (`rising`) or from above. Steps are not looked into.
    pub fn reaches(&self, rpm: f64, rising: bool, from_s: f64, until_s: f64) -> Option<f64> {
        let mut from = (from_s, self.at(from_s));
        let first = self.points.partition_point(|point| point.0 <= from_s);
        let inner = self.points.iter().skip(first).copied();
        let end = (until_s, self.just_before(until_s));
        for to in inner.take_while(|point| point.0 < until_s).chain([end]) {
            let is_reached = if rising {
                from.1 < rpm && to.1 >= rpm
            } else {
                from.1 > rpm && to.1 <= rpm
            };
            if is_reached {
                return Some(from.0 + (to.0 - from.0) * (rpm - from.1) / (to.1 - from.1));
            }
            from = to;
        }
        None
    }

    /// Highest speed, rpm.
    pub fn highest_rpm(&self) -> f64 {
        self.points.iter().map(|point| point.1).fold(0.0, f64::max)
    }

    /// Seconds spent above a speed (rpm).
    pub fn seconds_above(&self, rpm: f64) -> f64 {
        self.points
            .windows(2)
            .filter_map(|pair| match pair {
                [from, to] => Some((from, to)),
                _ => None,
            })
            .map(|(from, to)| {
                let (low, high) = (from.1.min(to.1), from.1.max(to.1));
                let part = if high > low {
                    ((high - rpm) / (high - low)).clamp(0.0, 1.0)
                } else if low > rpm {
                    1.0
                } else {
                    0.0
                };
                part * (to.0 - from.0)
            })
            .sum()
    }
}

/// Slope between two points; infinite or no number at a step.
fn slope(from: (f64, f64), to: (f64, f64)) -> f64 {
    (to.1 - from.1) / (to.0 - from.0)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn lines_steps_and_ends() {
        let trace = Trace::new(vec![
            (1.0, 1_000.0),
            (3.0, 5_000.0),
            (3.0, 3_000.0),
            (4.0, 3_000.0),
        ])
        .unwrap();
        assert_eq!(trace.at(0.0), 1_000.0);
        assert_eq!(trace.at(2.0), 3_000.0);
        assert_eq!(trace.at(3.0), 3_000.0);
        assert_eq!(trace.at(9.0), 3_000.0);
        assert_eq!(trace.highest_rpm(), 5_000.0);
        assert_eq!(trace.seconds(), 4.0);
        assert_eq!(trace.seconds_above(3_000.0), 1.0);
        assert_eq!(trace.seconds_above(2_000.0), 2.5);
        assert_eq!(trace.just_before(3.0), 5_000.0);
        assert_eq!(trace.just_before(0.5), 1_000.0);
        assert_eq!(trace.just_before(9.0), 3_000.0);
        assert_eq!(trace.bends(0.1), vec![3.0]);
        assert_eq!(trace.reaches(4_000.0, true, 0.0, 3.0), Some(2.5));
        assert_eq!(trace.reaches(4_000.0, false, 0.0, 3.0), None);
        assert_eq!(trace.reaches(4_000.0, true, 2.5, 3.0), None);
    }

    #[test]
    fn what_is_no_trace_is_told() {
        assert_eq!(Trace::new(vec![]), Err(TraceError::Empty));
        assert!(matches!(
            Trace::new(vec![(0.0, f64::NAN)]),
            Err(TraceError::Point { place: 0, .. })
        ));
        assert!(matches!(
            Trace::new(vec![(2.0, 1.0), (1.0, 1.0)]),
            Err(TraceError::Order { place: 1, .. })
        ));
    }
}
