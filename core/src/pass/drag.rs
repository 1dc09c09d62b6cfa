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

/// What is between engine and gearbox.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Coupling {
    /// A converter: the engine never turns slower than its launch or stall speed.
    #[default]
    Converter,
    /// A clutch: once it has caught up, the engine follows the road, after a shift as well.
    Clutch,
}

/// What a pass is made of.
#[derive(Clone, Debug, PartialEq)]
pub struct Drag {
    /// Road speed over time.
    pub profile: Profile,
    /// Gears, final drive and tire.
    pub gearing: Gearing,
    /// Launch or stall speed, rpm: the engine stays there until it is coupled.
    pub launch_rpm: f64,
    /// Speed at which it is shifted, rpm; at the limiter where that is lower.
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
    /// Runs it through a converter.
    pub fn run(&self) -> Pass {
        self.run_through(Coupling::Converter)
    }

    /// Runs it through a converter or a clutch: in each gear the launch or stall speed until
    /// the road catches up, then the road's, under the limiter; a straight line over each shift.
    pub fn run_through(&self, coupling: Coupling) -> Pass {
        let elapsed_s = self.profile.elapsed_s();
        let shifts_s = self.shifts();
        let (mut points, mut from_s, mut floor_rpm) = (Vec::new(), 0.0, self.launch_rpm);
        for gear in 0..=shifts_s.len() {
            let until_s = shifts_s.get(gear).copied().unwrap_or(elapsed_s);
            self.pull(&mut points, gear, floor_rpm, (from_s, until_s));
            if coupling == Coupling::Clutch && self.locked_rpm(gear, until_s) >= floor_rpm {
                floor_rpm = 0.0;
            }
            from_s = until_s + self.shift_s;
        }
        if let (Some(Mishap::MissedShift), Some(&shift)) = (self.mishap, shifts_s.last()) {
            self.miss(&mut points, shift, |time| {
                self.engine_rpm(shifts_s.len(), floor_rpm, time)
            });
        }
        cut(&mut points, elapsed_s);
        if self.mishap == Some(Mishap::OverRev) {
            self.over_rev(&mut points, shifts_s.len());
        }
        Pass {
            trace: Trace::new(points)
                .unwrap_or_else(|_| Trace::constant(self.launch_rpm, elapsed_s)),
            shifts_s,
            ends_s: elapsed_s,
        }
    }

    /// Engine speed if it were coupled in this gear and had no limiter, rpm.
    fn locked_rpm(&self, gear: usize, at_s: f64) -> f64 {
        let speed = self.profile.speed_mps(at_s);
        self.gearing
            .coupled_rpm(gear, speed, speed / self.profile.trap_mps())
    }

    fn engine_rpm(&self, gear: usize, floor_rpm: f64, at_s: f64) -> f64 {
        self.locked_rpm(gear, at_s)
            .max(floor_rpm)
            .min(self.limiter_rpm)
    }

    /// When the road has taken each gear to the shift speed, s.
    ///
    /// Launch speed and limiter are left out: a car that stands is not shifted, whatever its
    /// engine does, and one that is shifted at its limiter is shifted.
    fn shifts(&self) -> Vec<f64> {
        let elapsed_s = self.profile.elapsed_s();
        let shift_rpm = self.shift_rpm.min(self.limiter_rpm);
        let last = self.gearing.gears.len().saturating_sub(1);
        let mut shifts: Vec<f64> = Vec::new();
        let mut from_s = 0.0;
        for gear in 0..last {
            let is_at = |time: f64| self.locked_rpm(gear, time) - shift_rpm;
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

    /// Adds the points of a gear, with those where the line bends.
    fn pull(
        &self,
        points: &mut Vec<(f64, f64)>,
        gear: usize,
        floor_rpm: f64,
        (from_s, until_s): (f64, f64),
    ) {
        let elapsed_s = self.profile.elapsed_s();
        let reached = |rpm: f64| {
            let is_at = |time: f64| self.locked_rpm(gear, time) - rpm;
            crate::solve::root(is_at, from_s, until_s, 1e-9)
        };
        let bends = [
            reached(floor_rpm),
            reached(self.limiter_rpm),
            Some(self.profile.pulled_until_s()),
        ];
        let mut at_s: Vec<f64> = (0..=POINTS)
            .map(|point| elapsed_s * f64::from(point) / f64::from(POINTS))
            .chain(bends.into_iter().flatten())
            .filter(|time| (from_s..until_s).contains(time))
            .chain([from_s, until_s.max(from_s)])
            .collect();
        crate::sort::sort_short(&mut at_s, f64::total_cmp);
        at_s.dedup();
        let of_gear = at_s
            .into_iter()
            .map(|time| (time, self.engine_rpm(gear, floor_rpm, time)));
        points.extend(of_gear);
    }

    /// A shift that is missed: up over the limiter, and back to what the gear after it gives.
    fn miss(&self, points: &mut Vec<(f64, f64)>, shift: f64, after_rpm: impl Fn(f64) -> f64) {
        let top_rpm = self.limiter_rpm + self.overshoot_rpm;
        let up = shift + FLIES_S;
        let down = up + STAYS_S;
        let back = down + FLIES_S;
        // The first point at the shift is that before it, even where it takes no time.
        let kept = points.partition_point(|point| point.0 < shift) + 1;
        let flight = [(up, top_rpm), (down, top_rpm), (back, after_rpm(back))];
        splice(points, kept, back, flight);
    }

    /// One gear too low after the stripe.
    fn over_rev(&self, points: &mut Vec<(f64, f64)>, top: usize) {
        let gears = &self.gearing.gears;
        let lower = top.checked_sub(1).and_then(|lower| gears.get(lower));
        let (Some((&low, &high)), Some(&(at_s, rpm))) = (lower.zip(gears.get(top)), points.last())
        else {
            return;
        };
        let forced = rpm * low / high;
        points.push((at_s + FLIES_S, forced));
        points.push((at_s + FLIES_S + OVER_REV_S, 0.8 * forced));
    }
}

/// Puts points in place of those from a place on up to a time (s).
pub(super) fn splice(
    points: &mut Vec<(f64, f64)>,
    kept: usize,
    until_s: f64,
    with: impl IntoIterator<Item = (f64, f64)>,
) {
    let kept = kept.min(points.len());
    let end = points.partition_point(|point| point.0 <= until_s).max(kept);
    points.splice(kept..end, with);
}

/// Ends the lines through points at a time (s).
fn cut(points: &mut Vec<(f64, f64)>, until_s: f64) {
    let kept = points.partition_point(|point| point.0 <= until_s);
    let before = kept.checked_sub(1).and_then(|last| points.get(last));
    let (Some(&from), Some(&to)) = (before, points.get(kept)) else {
        return;
    };
    points.truncate(kept);
    if from.0 < until_s {
        let part = (until_s - from.0) / (to.0 - from.0);
        points.push((until_s, from.1 + (to.1 - from.1) * part));
    }
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

    /// Between its points, too, the last gear turns as the car's speed asks for.
    #[test]
    fn a_coupled_gear_follows_the_car() {
        let drag = nettle(None);
        let pass = drag.run();
        let last = pass.shifts_s[1] + 0.4;
        for part in 0..=40 {
            let time = last + (6.6 - last) * f64::from(part) / 40.0;
            let (found, wanted) = (pass.trace.at(time), drag.locked_rpm(2, time));
            assert!(
                (found - wanted).abs() < 3.0,
                "{time}: {found} is not {wanted}"
            );
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

    #[test]
    fn a_clutch_lets_the_engine_fall_under_its_launch_speed_and_a_converter_does_not() {
        let mut drag = nettle(None);
        drag.launch_rpm = 5_500.0;
        let after = |coupling| {
            let pass = drag.run_through(coupling);
            assert_eq!(pass.trace.at(0.0), 5_500.0);
            pass.trace.at(pass.shifts_s[0] + drag.shift_s)
        };
        assert_eq!(after(Coupling::Converter), 5_500.0);
        assert!(after(Coupling::Clutch) < 5_000.0);
        assert_eq!(drag.run(), drag.run_through(Coupling::Converter));
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
