//! The pass of a car: from what was entered, with the rest assumed.

use serde::Serialize;

use crate::car::{Car, Course, CourseKind, Gearbox, LapSegment};
use crate::data::gearing::{AUTOMATIC, EIGHTH_M, MANUAL, QUARTER_M};
use crate::pass::{Coupling, Drag, Gearing, Lap, Pass, Profile, ProfileError, session};
use crate::resolve::Params;
use crate::trace::{Trace, TraceError};

/// Elapsed time (s) and trap speed (m/s) of a pass that nobody entered, for a day: from memory.
const USUAL_EIGHTH: (f64, f64) = (7.5, 40.2);
/// As [`USUAL_EIGHTH`], over a quarter of a mile.
const USUAL_QUARTER: (f64, f64) = (11.8, 52.0);
/// Laps of a session that nobody counted.
const USUAL_LAPS: u32 = 10;

/// Why there is no pass yet.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum NoPass {
    /// The elapsed time is missing.
    #[error("no elapsed time")]
    Elapsed,
    /// The trap speed is missing.
    #[error("no trap speed")]
    Trap,
    /// Fewer than two points.
    #[error("fewer than two points")]
    Points,
    /// No segment of a lap.
    #[error("no segment of a lap")]
    Segments,
    /// No step of the day drives it, or only one that is all switched off.
    #[error("no step of the day that drives it")]
    NoStep,
    /// The figures do not go together.
    #[error(transparent)]
    Profile(#[from] ProfileError),
    /// The points are no trace.
    #[error(transparent)]
    Trace(#[from] TraceError),
}

/// What of a pass is assumed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub struct PassAssumed {
    /// Elapsed time and trap speed, for a day without a pass.
    pub times: bool,
    /// The gear ratios.
    pub gears: bool,
    /// Final drive and tire: the engine speed at the stripe.
    pub gearing: bool,
}

/// The pass of a car with these numbers.
///
/// # Errors
/// [`NoPass`] names what is missing, or what does not go together.
pub fn pass_of(car: &Car, params: &Params) -> Result<(Pass, PassAssumed), NoPass> {
    let course = &car.course;
    match course.kind {
        CourseKind::Eighth | CourseKind::Quarter => {
            let elapsed_s = course.elapsed_s.ok_or(NoPass::Elapsed)?;
            let trap_mps = course.trap_mps.ok_or(NoPass::Trap)?;
            let profile = Profile::new(distance_m(course), elapsed_s, trap_mps, course.sixty_ft_s)?;
            Ok(drag(car, params, profile))
        }
        CourseKind::Lap if course.segments.is_empty() => Err(NoPass::Segments),
        CourseKind::Lap => {
            let pass = session(&lap(course, &course.segments, params))?;
            Ok((pass, PassAssumed::default()))
        }
        CourseKind::Points if course.points.len() < 2 => Err(NoPass::Points),
        CourseKind::Points => {
            let points = course.points.iter();
            let trace = Trace::new(
                points
                    .map(|point| (point.seconds, point.speed_rpm))
                    .collect(),
            )?;
            let pass = Pass {
                ends_s: trace.seconds(),
                shifts_s: Vec::new(),
                trace,
            };
            Ok((pass, PassAssumed::default()))
        }
    }
}

/// The pass of a day: the car's own, or a usual one where it has none. What may happen once
/// does not happen in every round.
pub(super) fn pass_or_usual(car: &Car, params: &Params) -> (Pass, PassAssumed) {
    let mut clean = car.clone();
    clean.course.mishap = None;
    let car = &clean;
    if let Ok(own) = pass_of(car, params) {
        return own;
    }
    let assumed = PassAssumed {
        times: true,
        gears: true,
        gearing: true,
    };
    if car.course.kind == CourseKind::Lap {
        let (low, high) = (0.55 * params.limiter_rpm, 0.96 * params.limiter_rpm);
        let segment = |seconds, from_rpm, to_rpm| LapSegment {
            name: String::new(),
            seconds,
            from_rpm,
            to_rpm,
        };
        let usual = [
            segment(9.0, low, high),
            segment(4.0, high, low),
            segment(14.0, low, high),
            segment(5.0, high, low),
        ];
        if let Ok(pass) = session(&lap(&car.course, &usual, params)) {
            return (pass, assumed);
        }
    }
    let (elapsed_s, trap_mps) = match car.course.kind {
        CourseKind::Quarter => USUAL_QUARTER,
        _ => USUAL_EIGHTH,
    };
    match Profile::new(distance_m(&car.course), elapsed_s, trap_mps, None) {
        Ok(profile) => (drag(car, params, profile).0, assumed),
        Err(_) => (flat(params), assumed),
    }
}

/// Straight from launch to shift.
fn flat(params: &Params) -> Pass {
    let ends_s = USUAL_EIGHTH.0;
    let points = vec![(0.0, params.launch_rpm), (ends_s, params.shift_rpm)];
    Pass {
        trace: Trace::new(points).unwrap_or_else(|_| Trace::constant(params.shift_rpm, ends_s)),
        shifts_s: Vec::new(),
        ends_s,
    }
}

fn distance_m(course: &Course) -> f64 {
    match course.kind {
        CourseKind::Quarter => QUARTER_M,
        _ => EIGHTH_M,
    }
}

/// Laps of a session.
pub(super) fn laps(course: &Course) -> u32 {
    course.laps.unwrap_or(USUAL_LAPS)
}

fn lap<'a>(course: &'a Course, segments: &'a [LapSegment], params: &Params) -> Lap<'a> {
    Lap {
        segments,
        laps: laps(course),
        gears: &course.gears,
        limiter_rpm: params.limiter_rpm,
        overshoot_rpm: params.overshoot_rpm,
        mishap: course.mishap,
    }
}

fn drag(car: &Car, params: &Params, profile: Profile) -> (Pass, PassAssumed) {
    let course = &car.course;
    let supply = &params.supply;
    let gears = if !course.gears.is_empty() {
        course.gears.clone()
    } else if car.engine.gearbox == Some(Gearbox::Manual) {
        MANUAL.to_vec()
    } else {
        AUTOMATIC.to_vec()
    };
    let known = course.final_drive.zip(course.tire_mm);
    let rpm_per_mps = match known {
        Some((final_drive, tire_mm)) => Gearing::rpm_per_mps(final_drive, tire_mm / 1e3),
        // So that the top gear at the stripe turns the assumed part of the shift speed.
        None => {
            let stripe_rpm = supply.stripe_over_shift * params.shift_rpm;
            let top = gears.last().copied().unwrap_or(1.0);
            stripe_rpm * (1.0 - supply.converter_slip) * (1.0 + supply.tire_growth)
                / (profile.trap_mps() * top)
        }
    };
    let assumed = PassAssumed {
        times: false,
        gears: course.gears.is_empty(),
        gearing: known.is_none(),
    };
    let drag = Drag {
        profile,
        gearing: Gearing {
            gears,
            rpm_per_mps,
            growth: supply.tire_growth,
            slip: supply.converter_slip,
        },
        launch_rpm: params.launch_rpm,
        shift_rpm: params.shift_rpm,
        shift_s: supply.shift_s,
        limiter_rpm: params.limiter_rpm,
        overshoot_rpm: params.overshoot_rpm,
        mishap: course.mishap,
    };
    let coupling = if car.engine.gearbox == Some(Gearbox::Manual) {
        Coupling::Clutch
    } else {
        Coupling::Converter
    };
    (drag.run_through(coupling), assumed)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::car::{TimePoint, demo};
    use crate::resolve::Resolved;

    #[test]
    fn typed_points_make_a_pass_from_two_on() {
        let mut car = demo::nettle();
        car.course.kind = CourseKind::Points;
        let params = Resolved::new(&car).unwrap().params;
        for count in 0_u32..4 {
            let point = |at: u32| TimePoint {
                seconds: f64::from(at),
                speed_rpm: 4_000.0 + 1_000.0 * f64::from(at),
            };
            car.course.points = (0..count).map(point).collect();
            let found = pass_of(&car, &params);
            if count < 2 {
                assert_eq!(found, Err(NoPass::Points));
            } else {
                let (pass, assumed) = found.unwrap();
                assert_eq!(pass.ends_s, f64::from(count - 1));
                assert_eq!(pass.trace.at(0.5), 4_500.0);
                assert_eq!(assumed, PassAssumed::default());
            }
        }
    }
}
