//! Laps of named segments.

use super::Pass;
use crate::car::{LapSegment, Mishap};
use crate::trace::{Trace, TraceError};

/// How long the engine turns with the road in too low a gear, s.
const OVER_REV_S: f64 = 0.6;
/// How fast a downshift takes it there, s.
const FLIES_S: f64 = 0.15;
/// One gear lower turns the engine so much faster, where the gears are not known.
const ONE_GEAR: f64 = 1.3;

/// What a session is made of.
#[derive(Clone, Copy, Debug)]
pub struct Lap<'a> {
    /// The segments of a lap.
    pub segments: &'a [LapSegment],
    /// How many laps.
    pub laps: u32,
    /// Gear ratios, if they are known.
    pub gears: &'a [f64],
    /// Limiter, rpm.
    pub limiter_rpm: f64,
    /// How far over it at worst, rpm.
    pub overshoot_rpm: f64,
    /// What goes wrong once, in the last lap, if anything.
    pub mishap: Option<Mishap>,
}

/// Engine speed over a session: straight from each segment's first speed to its last, with a
/// step between two segments.
///
/// # Errors
/// [`TraceError`] where the segments make no trace.
pub fn session(lap: &Lap) -> Result<Pass, TraceError> {
    let (mut points, mut shifts_s, mut at_s) = (Vec::new(), Vec::new(), 0.0);
    for _ in 0..lap.laps {
        for segment in lap.segments {
            if points
                .last()
                .is_some_and(|point: &(f64, f64)| point.1 > segment.from_rpm)
            {
                shifts_s.push(at_s);
            }
            points.push((at_s, segment.from_rpm));
            at_s += segment.seconds;
            points.push((at_s, segment.to_rpm));
        }
    }
    go_wrong(lap, &mut points, at_s);
    Ok(Pass {
        trace: Trace::new(points)?,
        shifts_s,
        ends_s: at_s,
    })
}

fn go_wrong(lap: &Lap, points: &mut Vec<(f64, f64)>, ends_s: f64) {
    let lap_s: f64 = lap.segments.iter().map(|segment| segment.seconds).sum();
    let from_s = ends_s - lap_s;
    // At the fastest end of a segment of the last lap.
    let fastest = points
        .iter()
        .enumerate()
        .filter(|(_, point)| point.0 > from_s)
        .max_by(|a, b| a.1.1.total_cmp(&b.1.1));
    let Some((place, &(at_s, rpm))) = fastest else {
        return;
    };
    let top_rpm = lap.limiter_rpm + lap.overshoot_rpm;
    let peak_rpm = match lap.mishap {
        None => return,
        Some(Mishap::MissedShift) => top_rpm,
        Some(Mishap::OnLimiter) => lap.limiter_rpm,
        Some(Mishap::OverRev) => {
            let step = lap
                .gears
                .windows(2)
                .filter_map(|pair| Some(pair.first()? / pair.last()?))
                .fold(f64::INFINITY, f64::min);
            rpm * if step.is_finite() { step } else { ONE_GEAR }
        }
    };
    let down_s = (at_s + FLIES_S + OVER_REV_S).min(ends_s.max(at_s + FLIES_S));
    // Then it is where it would have been.
    let next = points.partition_point(|point| point.0 <= down_s);
    let after_rpm = match (points.get(next - 1), points.get(next)) {
        (Some(from), Some(to)) => from.1 + (to.1 - from.1) * (down_s - from.0) / (to.0 - from.0),
        _ => points.last().map_or(rpm, |end| end.1),
    };
    super::drag::splice(
        points,
        place + 1,
        down_s,
        [
            (at_s + FLIES_S, peak_rpm),
            (down_s, peak_rpm),
            (down_s, after_rpm),
        ],
    );
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn segment(seconds: f64, from_rpm: f64, to_rpm: f64) -> LapSegment {
        LapSegment {
            name: String::new(),
            seconds,
            from_rpm,
            to_rpm,
        }
    }

    #[test]
    fn laps_follow_each_other_and_a_downshift_goes_over_the_limiter() {
        let segments = [
            segment(8.0, 4_000.0, 8_000.0),
            segment(4.0, 8_000.0, 3_500.0),
        ];
        let clean = Lap {
            segments: &segments,
            laps: 3,
            gears: &[2.0, 1.5, 1.2],
            limiter_rpm: 8_300.0,
            overshoot_rpm: 300.0,
            mishap: None,
        };
        let session_of = |mishap| session(&Lap { mishap, ..clean }).unwrap();
        let pass = session_of(None);
        assert_eq!(pass.ends_s, 36.0);
        assert_eq!(pass.trace.at(16.0), 6_000.0);
        assert_eq!(pass.trace.highest_rpm(), 8_000.0);
        assert_eq!(
            session_of(Some(Mishap::OverRev)).trace.highest_rpm(),
            8_000.0 * 1.25
        );
        // Every over-rev lasts.
        let over = session_of(Some(Mishap::OverRev));
        let laps = over.trace.seconds_above(9_999.0) / OVER_REV_S;
        assert!((laps - laps.round()).abs() < 0.01 && laps > 0.9, "{laps}");
        assert_eq!(
            session_of(Some(Mishap::MissedShift)).trace.highest_rpm(),
            8_600.0
        );
        assert_eq!(
            session_of(Some(Mishap::OnLimiter)).trace.highest_rpm(),
            8_300.0
        );
    }
}
