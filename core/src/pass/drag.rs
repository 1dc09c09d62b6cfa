//! A pass from a standing start.

use super::{Gearing, Profile};
use crate::car::Mishap;
use crate::trace::Trace;

/// Points of a pass besides those where something happens.
const POINTS: u32 = 60;
/// How fast an engine without its load runs up, and falls back, s.
const FLIES_S: f64 = 0.15;
/// How long it stays up there at a missed shift, s.
const STAYS_S: f64 = 0.4;
/// How long the engine turns with the road in too low a gear, s.
const OVER_REV_S: f64 = 0.6;

/// What a pass is made of.
#[derive(Clone, Debug, PartialEq)]
pub struct Drag {
    /// Road speed over time.
    pub profile: Profile,
    /// Gears, final drive and tire.
    pub gearing: Gearing,
    /// Launch or stall speed, rpm: the engine stays there until it is coupled.
    pub launch_rpm: f64,
    /// Speed at which it is shifted, rpm.
    pub shift_rpm: f64,
    /// How long a shift takes, s.
    pub shift_s: f64,
    /// Limiter, rpm.
    pub limiter_rpm: f64,
    /// How far over it at worst, rpm.
    pub overshoot_rpm: f64,
    /// What goes wrong, if anything.
    pub mishap: Option<Mishap>,
}

/// Engine speed over a pass.
#[derive(Clone, Debug, PartialEq)]
pub struct Pass {
    /// Engine speed over time; never above the limiter unless something goes wrong.
    pub trace: Trace,
    /// When it is shifted, s.
    pub shifts_s: Vec<f64>,
    /// When it passes the stripe, or the session ends, s.
    pub ends_s: f64,
}

impl Drag {
    /// Runs it.
    pub fn run(&self) -> Pass {
        let elapsed_s = self.profile.elapsed_s();
        let shifts_s = self.shifts();
        let mut at_s: Vec<f64> = (0..=POINTS)
            .map(|point| elapsed_s * f64::from(point) / f64::from(POINTS))
            .collect();
        for &shift in &shifts_s {
            at_s.extend([shift, (shift + self.shift_s).min(elapsed_s)]);
        }
        crate::sort::sort_short(&mut at_s, f64::total_cmp);
        at_s.dedup();
        let mut points: Vec<(f64, f64)> = at_s
            .into_iter()
            .map(|time| (time, self.engine_rpm(time, &shifts_s)))
            .collect();
        self.go_wrong(&mut points, &shifts_s);
        Pass {
            trace: Trace::new(points)
                .unwrap_or_else(|_| Trace::constant(self.launch_rpm, elapsed_s)),
            shifts_s,
            ends_s: elapsed_s,
        }
    }

    fn coupled_rpm(&self, gear: usize, at_s: f64) -> f64 {
        let speed = self.profile.speed_mps(at_s);
        let coupled = self
            .gearing
            .coupled_rpm(gear, speed, speed / self.profile.trap_mps());
        coupled.max(self.launch_rpm).min(self.limiter_rpm)
    }

    /// When each gear reaches the shift speed, s.
    fn shifts(&self) -> Vec<f64> {
        let elapsed_s = self.profile.elapsed_s();
        let last = self.gearing.gears.len().saturating_sub(1);
        let mut shifts: Vec<f64> = Vec::new();
        let mut from_s = 0.0;
        for gear in 0..last {
            let is_at = |time: f64| self.coupled_rpm(gear, time) - self.shift_rpm;
            // The launch speed stands for any road speed before it is coupled.
            if is_at(elapsed_s) < 0.0 {
                break;
            }
            let shift = if is_at(from_s) >= 0.0 {
                from_s
            } else {
                crate::solve::root(is_at, from_s, elapsed_s, 1e-9).unwrap_or(elapsed_s)
            };
            if shift >= elapsed_s {
                break;
            }
            shifts.push(shift);
            from_s = shift + self.shift_s;
        }
        if self.mishap == Some(Mishap::OnLimiter) {
            // The last shift never comes.
            shifts.pop();
        }
        shifts
    }

    fn engine_rpm(&self, at_s: f64, shifts_s: &[f64]) -> f64 {
        let gear = shifts_s.partition_point(|shift| *shift <= at_s);
        let now = self.coupled_rpm(gear, at_s);
        let Some(shift) = gear.checked_sub(1).and_then(|place| shifts_s.get(place)) else {
            return now;
        };
        let into = (at_s - shift) / self.shift_s;
        if into >= 1.0 || self.shift_s <= 0.0 {
            return now;
        }
        let from = self.coupled_rpm(gear - 1, *shift);
        let to = self.coupled_rpm(gear, shift + self.shift_s);
        from + (to - from) * into
    }

    fn go_wrong(&self, points: &mut Vec<(f64, f64)>, shifts_s: &[f64]) {
        let top_rpm = self.limiter_rpm + self.overshoot_rpm;
        let elapsed_s = self.profile.elapsed_s();
        match self.mishap {
            Some(Mishap::MissedShift) => {
                let Some(&shift) = shifts_s.last() else {
                    return;
                };
                let up = shift + FLIES_S;
                let down = (up + STAYS_S).min(elapsed_s);
                let back = (down + FLIES_S).min(elapsed_s);
                let flight = [(up, top_rpm), (down, top_rpm)];
                let after = (back, self.coupled_rpm(shifts_s.len(), back));
                splice(points, (shift, back), flight.into_iter().chain([after]));
            }
            Some(Mishap::OverRev) => {
                let gears = &self.gearing.gears;
                let top = shifts_s.len();
                let Some((&low, &high)) = top
                    .checked_sub(1)
                    .and_then(|lower| gears.get(lower))
                    .zip(gears.get(top))
                else {
                    return;
                };
                let end = points.last().map_or(0.0, |point| point.1);
                let forced = end * low / high;
                points.push((elapsed_s + FLIES_S, forced));
                points.push((elapsed_s + FLIES_S + OVER_REV_S, 0.8 * forced));
            }
            Some(Mishap::OnLimiter) | None => {}
        }
    }
}

/// Puts points in place of those between two times (s), ends left out.
pub(super) fn splice(
    points: &mut Vec<(f64, f64)>,
    (from_s, until_s): (f64, f64),
    with: impl IntoIterator<Item = (f64, f64)>,
) {
    let start = points.partition_point(|point| point.0 <= from_s);
    let end = points
        .partition_point(|point| point.0 <= until_s)
        .max(start);
    points.splice(start..end, with);
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn nettle(mishap: Option<Mishap>) -> Drag {
        Drag {
            profile: Profile::new(201.168, 6.6, 46.04, Some(1.48)).unwrap(),
            gearing: Gearing {
                gears: vec![2.48, 1.48, 1.0],
                rpm_per_mps: Gearing::rpm_per_mps(4.1, 28.0 * 0.025_4),
                growth: 0.04,
                slip: 0.05,
            },
            launch_rpm: 4_200.0,
            shift_rpm: 6_900.0,
            shift_s: 0.15,
            limiter_rpm: 7_200.0,
            overshoot_rpm: 300.0,
            mishap,
        }
    }

    #[test]
    fn a_clean_pass_launches_shifts_and_stays_under_its_limiter() {
        let pass = nettle(None).run();
        assert_eq!(pass.shifts_s.len(), 2);
        assert_eq!(pass.trace.at(0.0), 4_200.0);
        for &shift in &pass.shifts_s {
            assert!((pass.trace.at(shift) - 6_900.0).abs() < 1.0);
            // Coupled on both sides, the drop is that of the gears; else it is to the launch speed.
            assert!(pass.trace.at(shift + 0.15) < 6_000.0);
        }
        assert!(pass.trace.highest_rpm() <= 7_200.0);
        let stripe = 46.04 * Gearing::rpm_per_mps(4.1, 28.0 * 0.025_4) / 1.04 / 0.95;
        assert!((pass.trace.at(6.6) - stripe).abs() < 1e-6);
    }

    #[test]
    fn what_goes_wrong_goes_over() {
        let highest = |mishap| nettle(Some(mishap)).run().trace.highest_rpm();
        assert_eq!(highest(Mishap::MissedShift), 7_500.0);
        assert_eq!(highest(Mishap::OnLimiter), 7_200.0);
        assert!(highest(Mishap::OverRev) > 7_500.0);
    }

    proptest! {
        #[test]
        fn any_pass_is_a_trace_that_ends_at_the_stripe(
            exponent in 0.36..0.74f64, elapsed_s in 4.0..9.0f64, launch_rpm in 1_000.0..9_000.0f64,
            shift_rpm in 2_000.0..12_000.0f64, shift_s in 0.0..2.0f64, final_drive in 1.5..8.0f64,
            gears in prop::collection::vec(0.3..6.0f64, 1..8),
        ) {
            let trap_mps = (1.0 + exponent) * 201.168 / elapsed_s;
            let drag = Drag {
                profile: Profile::new(201.168, elapsed_s, trap_mps, None).unwrap(),
                gearing: Gearing { gears, rpm_per_mps: Gearing::rpm_per_mps(final_drive, 0.7), growth: 0.04, slip: 0.05 },
                launch_rpm, shift_rpm, shift_s, limiter_rpm: 10_000.0, overshoot_rpm: 300.0, mishap: None,
            };
            let pass = drag.run();
            prop_assert!((pass.trace.seconds() - elapsed_s).abs() < 1e-9);
            prop_assert!(pass.trace.highest_rpm() <= 10_000.0);
            prop_assert!(pass.shifts_s.is_sorted());
        }
    }
}
