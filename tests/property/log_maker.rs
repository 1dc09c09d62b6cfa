//! Logs whose truth is known: engine speed in straight lines, a voltage that follows a rule,
//! then sampled, with noise and dropouts.

use laneside_core::log::{Recording, Signal};
use rand::rngs::StdRng;
use rand::{RngExt, SeedableRng};
use rand_distr::{Distribution, Normal};

/// A shift as it was made: begins, ends, from, to.
pub type Made = (f64, f64, f64, f64);

/// A pass as it was made.
#[derive(Clone, Debug)]
pub struct MadePass {
    pub launch_s: f64,
    pub stripe_s: f64,
    pub shifts: Vec<Made>,
}

/// Engine speed over time with its passes.
#[derive(Clone, Debug, Default)]
pub struct Course {
    pub points: Vec<(f64, f64)>,
    pub passes: Vec<MadePass>,
}

/// How it is driven.
#[derive(Clone, Debug)]
pub struct Style {
    pub idle: f64,
    pub launch: f64,
    pub shift: f64,
    pub gears: Vec<f64>,
    /// Seconds in each gear.
    pub seconds: f64,
    pub shift_s: f64,
    pub passes: usize,
    pub burnout: bool,
}

impl Course {
    fn to(&mut self, seconds: f64, rpm: f64) {
        let at = self.points.last().map_or(0.0, |point| point.0);
        self.points.push((at + seconds, rpm));
    }

    fn now(&self) -> f64 {
        self.points.last().map_or(0.0, |point| point.0)
    }

    /// Engine off, start, then passes with what lies around them.
    pub fn drag(style: &Style) -> Self {
        let mut course = Self::default();
        course.points.push((0.0, 0.0));
        course.to(6.0, 0.0);
        course.to(0.1, 220.0);
        course.to(0.9, 220.0);
        course.to(0.3, style.idle);
        course.to(25.0, style.idle);
        for _ in 0..style.passes {
            if style.burnout {
                course.to(0.6, style.shift * 0.85);
                course.to(4.0, style.shift * 0.8);
                course.to(1.5, style.idle);
                course.to(18.0, style.idle);
            }
            course.to(0.5, style.launch);
            course.to(1.5, style.launch);
            let launch_s = course.now();
            let mut shifts = Vec::new();
            for (place, gear) in style.gears.iter().enumerate() {
                let seconds = style.seconds * (1.0 + 0.35 * place as f64);
                course.to(seconds, style.shift);
                if let Some(next) = style.gears.get(place + 1) {
                    let to = style.shift * next / gear;
                    let from_s = course.now();
                    course.to(style.shift_s, to);
                    shifts.push((from_s, course.now(), style.shift, to));
                }
            }
            let stripe_s = course.now();
            course.passes.push(MadePass {
                launch_s,
                stripe_s,
                shifts,
            });
            course.to(2.5, style.shift * 0.45);
            course.to(5.0, style.idle * 1.4);
            course.to(8.0, style.idle);
            // No two passes are closer: the car has to come back.
            course.to(if style.passes > 1 { 160.0 } else { 20.0 }, style.idle);
        }
        course.to(0.5, 0.0);
        course.to(8.0, 0.0);
        course
    }

    pub fn at(&self, at_s: f64) -> f64 {
        let after = self.points.partition_point(|point| point.0 <= at_s);
        match (
            after.checked_sub(1).and_then(|at| self.points.get(at)),
            self.points.get(after),
        ) {
            (Some(from), Some(to)) => from.1 + (to.1 - from.1) * (at_s - from.0) / (to.0 - from.0),
            (Some(end), None) | (None, Some(end)) => end.1,
            (None, None) => 0.0,
        }
    }

    pub fn seconds(&self) -> f64 {
        self.now()
    }
}

/// How it is written down.
#[derive(Clone, Copy, Debug)]
pub struct Logger {
    pub hz: f64,
    /// Noise of engine speed, rpm, and of the voltage, V: standard deviations.
    pub noise: (f64, f64),
    /// Step of the voltage, V.
    pub step_v: f64,
    /// Part of the samples that are lost.
    pub lost: f64,
    pub seed: u64,
}

/// Samples a course with a voltage over (time, engine speed).
pub fn record(course: &Course, volts: impl Fn(f64, f64) -> f64, logger: &Logger) -> Recording {
    let mut random = StdRng::seed_from_u64(logger.seed);
    let normal = Normal::new(0.0, 1.0).unwrap();
    let (mut time, mut speeds, mut voltages) = (Vec::new(), Vec::new(), Vec::new());
    let count = (course.seconds() * logger.hz) as usize;
    for place in 0..count {
        let at = place as f64 / logger.hz;
        if random.random::<f64>() < logger.lost {
            continue;
        }
        let rpm = course.at(at);
        let mut draw = || normal.sample(&mut random);
        let seen = if rpm > 0.0 {
            (rpm + logger.noise.0 * draw()).max(0.0)
        } else {
            0.0
        };
        let volts = volts(at, rpm) + logger.noise.1 * draw();
        time.push(at);
        speeds.push(seen.round() as f32);
        voltages.push(if logger.step_v > 0.0 {
            ((volts / logger.step_v).round() * logger.step_v) as f32
        } else {
            volts as f32
        });
    }
    Recording {
        rpm: Signal::new(time.clone(), speeds).unwrap(),
        volts: Signal::new(time, voltages).unwrap(),
        ..Recording::default()
    }
}
