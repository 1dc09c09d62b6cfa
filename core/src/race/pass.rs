//! The voltage over a pass with one pair of pulleys.

use super::course::laps;
use super::model::{Scene, Twist};
use super::plan::plan;
use super::{NoPass, PassAssumed, pass_of};
use crate::balance::reader;
use crate::car::{Car, CourseKind};
use crate::data::common_practice;
use crate::day::{Accuracy, Passed, Sample, simulate};
use crate::finding::Status;
use crate::gates::Judged;
use crate::pass::Pass;
use crate::resolve::PhaseSpeed;
use crate::tolerance::{Spread95, State, Sweep, Tolerances};

/// One way the pass can go.
#[derive(Clone, Debug, PartialEq)]
pub struct Course {
    /// Seconds since the launch, and the moment; the voltage where it is read.
    pub samples: Vec<Moment>,
    /// At the launch, V.
    pub launch_v: f64,
    /// At the stripe, or the session's end, V.
    pub end_v: f64,
    /// Lowest: (s, V).
    pub lowest: (f64, f64),
    /// How long output was lost, s.
    pub lost_s: f64,
}

/// What happens at a moment that matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MomentKind {
    /// It leaves the line.
    Launch,
    /// It is shifted.
    Shift,
    /// The voltage is lowest.
    Lowest,
    /// The stripe, or the session's end.
    End,
}

/// One moment of a pass.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Moment {
    /// Since the launch, s.
    pub at_s: f64,
    /// Engine speed, rpm.
    pub engine_rpm: f64,
    /// Voltage where it is read, V.
    pub shown_v: f64,
    /// Voltage at the battery's posts, V.
    pub node_v: f64,
    /// Out of the alternator, A.
    pub alternator_a: f64,
    /// Into the battery, A; negative when it gives.
    pub battery_a: f64,
    /// Into the loads, A.
    pub load_a: f64,
}

impl Course {
    /// The moment at a time (s), in straight lines between samples; of several at once the one
    /// with the lowest voltage.
    pub fn at(&self, at_s: f64) -> Option<Moment> {
        let first = self.samples.partition_point(|moment| moment.at_s < at_s);
        let at_once = self.samples.get(first..).unwrap_or_default().iter();
        let lowest = at_once
            .take_while(|moment| moment.at_s == at_s)
            .min_by(|a, b| a.shown_v.total_cmp(&b.shown_v));
        if let Some(lowest) = lowest {
            return Some(*lowest);
        }
        let after = self.samples.partition_point(|moment| moment.at_s <= at_s);
        let before = after.checked_sub(1).and_then(|at| self.samples.get(at));
        let (Some(from), Some(to)) = (before, self.samples.get(after)) else {
            return before.or_else(|| self.samples.first()).copied();
        };
        let part = (at_s - from.at_s) / (to.at_s - from.at_s);
        let between = |read: fn(&Moment) -> f64| read(from) + part * (read(to) - read(from));
        Some(Moment {
            at_s,
            engine_rpm: between(|moment| moment.engine_rpm),
            shown_v: between(|moment| moment.shown_v),
            node_v: between(|moment| moment.node_v),
            alternator_a: between(|moment| moment.alternator_a),
            battery_a: between(|moment| moment.battery_a),
            load_a: between(|moment| moment.load_a),
        })
    }
}

/// The pass with one pair of pulleys.
#[derive(Clone, Debug, PartialEq)]
pub struct PassStudy {
    /// Engine speed over time.
    pub pass: Pass,
    /// What of it is assumed.
    pub assumed: PassAssumed,
    /// Alternator turns for one engine turn.
    pub ratio: f64,
    /// With output that holds over the limit, or under it all the way.
    pub holds: Course,
    /// With output that goes over the limit; `None` where the limit is not met.
    pub gone: Option<Course>,
    /// How long the alternator turns faster than each limit, s: continuous low and high end,
    /// short-time low and high end.
    pub over_s: [f64; 4],
    /// Voltage that a healthy pass keeps (common practice), V.
    pub healthy_v: f64,
    /// Lowest voltage that the person will race with, V.
    pub least_v: f64,
    /// What is worth drawing, s: the whole pass, of a session the last lap.
    pub window_s: (f64, f64),
}

impl PassStudy {
    /// Runs the pass, after the first round's steps before it.
    ///
    /// # Errors
    /// [`NoPass`] where it is not known.
    pub fn new(car: &Car, tolerances: &Tolerances, judged: &Judged) -> Result<Self, NoPass> {
        Self::of(
            car,
            tolerances,
            tolerances.nominal(),
            judged,
            Accuracy::FINE,
        )
    }

    fn of(
        car: &Car,
        tolerances: &Tolerances,
        state: &State,
        judged: &Judged,
        accuracy: Accuracy,
    ) -> Result<Self, NoPass> {
        let resolved = tolerances.resolved();
        let (pass, assumed) = pass_of(car, &state.params)?;
        let scene = Scene::new(resolved, state, judged.pulleys);
        let ratio = scene.ratio();
        let loss = scene.loss();
        let is_met = pass.trace.highest_rpm() * ratio > loss.lose_rpm;
        let course = |loses| run(car, &scene, &pass, loses, accuracy, tolerances, state);
        let limits = &resolved.limits;
        let over_s = [
            limits.continuous.0,
            limits.continuous.1,
            limits.short.0,
            limits.short.1,
        ]
        .map(|limit| pass.trace.seconds_above(limit / ratio));
        let whole_s = pass.trace.seconds();
        let from_s = match car.course.kind {
            CourseKind::Lap => {
                let laps = f64::from(laps(&car.course).max(1));
                pass.ends_s * (laps - 1.0) / laps
            }
            _ => 0.0,
        };
        Ok(Self {
            window_s: (from_s, whole_s),
            holds: course(false),
            gone: is_met.then(|| course(true)),
            over_s,
            assumed,
            ratio,
            pass,
            healthy_v: common_practice::HEALTHY_PASS_V * resolved.nominal_scale,
            least_v: super::least_v(car, resolved),
        })
    }

    /// The voltage where it is read at a time (s), V: with output gone over the limit, and
    /// with output that holds; both alike where the limit is not met.
    pub fn shown_v(&self, at_s: f64) -> (f64, f64) {
        let of = |course: &Course| course.at(at_s).map_or(0.0, |moment| moment.shown_v);
        let holds = of(&self.holds);
        let gone = self.gone.as_ref().map_or(holds, of);
        (gone.min(holds), holds.max(gone))
    }

    /// The moments that matter: launch, each shift, the lowest voltage, the end; s.
    pub fn moments_s(&self) -> Vec<(MomentKind, f64)> {
        let lowest = self.gone.as_ref().unwrap_or(&self.holds).lowest.0;
        let mut moments = vec![(MomentKind::Launch, 0.0)];
        // A session has too many of them.
        if self.pass.shifts_s.len() <= 10 {
            let shifts = self.pass.shifts_s.iter();
            moments.extend(shifts.map(|shift| (MomentKind::Shift, *shift)));
        }
        moments.extend([
            (MomentKind::Lowest, lowest),
            (MomentKind::End, self.pass.ends_s),
        ]);
        crate::sort::sort_short(&mut moments, |a, b| a.1.total_cmp(&b.1));
        moments
    }

    /// Answers with their spread: voltage at launch, at the end, the lowest, and the lowest
    /// with output gone (the lowest again where the limit is not met), V.
    pub fn spreads(&self, car: &Car, tolerances: &Tolerances, judged: &Judged) -> Vec<Spread95> {
        let mut sweep = self.sweep();
        while self.step(&mut sweep, car, tolerances, judged) {}
        sweep.spreads()
    }

    /// Begins the sweep of [`PassStudy::spreads`].
    pub fn sweep(&self) -> Sweep {
        Sweep::new(self.answers())
    }

    /// One more input of the sweep; `false` when none is left.
    pub fn step(
        &self,
        sweep: &mut Sweep,
        car: &Car,
        tolerances: &Tolerances,
        judged: &Judged,
    ) -> bool {
        sweep.step(tolerances, judged.own, |state| {
            let accuracy = Accuracy {
                samples: 1,
                ..Accuracy::COARSE
            };
            Self::of(car, tolerances, state, judged, accuracy)
                .map_or_else(|_| self.answers(), |moved| moved.answers())
        })
    }

    fn answers(&self) -> Vec<f64> {
        let gone = self.gone.as_ref().unwrap_or(&self.holds);
        vec![
            self.holds.launch_v,
            self.holds.end_v,
            self.holds.lowest.1,
            gone.lowest.1,
        ]
    }

    /// Whether a healthy voltage is kept, given the spreads of [`PassStudy::spreads`].
    pub fn status(&self, spreads: &[Spread95]) -> Status {
        let lowest = |place: usize| {
            let found = spreads.get(place);
            found.map_or((0.0, 0.0), |found| {
                let (value, spread) = (found.value, found.spread);
                (spread.least(value), spread.most(value))
            })
        };
        let (least, most) = (lowest(3).0, lowest(2).1);
        if least >= self.healthy_v {
            Status::Holds
        } else if most < self.healthy_v {
            Status::Fails
        } else {
            Status::TooClose
        }
    }
}

#[allow(clippy::too_many_arguments)]
fn run(
    car: &Car,
    scene: &Scene,
    pass: &Pass,
    loses: bool,
    accuracy: Accuracy,
    tolerances: &Tolerances,
    state: &State,
) -> Course {
    let resolved = tolerances.resolved();
    let plan = plan(car);
    let is_pass = |place: usize| {
        let phase = resolved.phases.get(place);
        phase.is_some_and(|phase| phase.speed == PhaseSpeed::Pass)
    };
    let twist = Twist {
        loses,
        ..Twist::default()
    };
    let before: Vec<_> = plan
        .steps
        .iter()
        .take_while(|(place, _)| !is_pass(*place))
        .map(|(place, step)| scene.segment(&plan, pass, 1, (*place, step), twist))
        .collect();
    let supplied = scene.supplied(twist);
    let quick = Accuracy {
        samples: 0,
        ..accuracy
    };
    let staged = simulate(&supplied, scene.morning(), &before, quick).end;
    let step = plan.steps.iter().find(|(place, _)| is_pass(*place));
    let segment = step.map(|(place, step)| scene.segment(&plan, pass, 1, (*place, step), twist));
    let reader = reader(resolved, state);
    // Enough samples that a line through them shows every bend.
    let dense = Accuracy {
        samples: accuracy.samples * 4,
        ..accuracy
    };
    let run = simulate(&supplied, staged, segment.as_slice(), dense);
    let passed: Option<&Passed> = run.segments.first();
    let moment = |sample: &Sample| {
        let settled = &sample.settled;
        Moment {
            at_s: sample.at_s,
            engine_rpm: sample.engine_rpm,
            shown_v: reader.shows_v(settled.node_v, settled.alternator_v, settled.load_a),
            node_v: settled.node_v,
            alternator_a: settled.alternator_a,
            battery_a: settled.battery_a,
            load_a: settled.load_a,
        }
    };
    let samples: Vec<Moment> = passed.map_or_else(Vec::new, |passed| {
        passed.samples.iter().map(moment).collect()
    });
    let on_course = |moment: &&Moment| moment.at_s <= pass.ends_s * (1.0 + 1e-12);
    let lowest = samples
        .iter()
        .filter(on_course)
        .map(|moment| (moment.at_s, moment.shown_v))
        .min_by(|a, b| a.1.total_cmp(&b.1))
        .unwrap_or_default();
    Course {
        launch_v: samples.first().map_or(0.0, |moment| moment.shown_v),
        end_v: samples
            .iter()
            .rfind(on_course)
            .map_or(0.0, |moment| moment.shown_v),
        lowest,
        lost_s: passed.map_or(0.0, |passed| passed.lost_s),
        samples,
    }
}
