//! The voltage over a pass with one pair of pulleys.

use super::course::laps;
use super::model::{Step, Twist};
use super::rounds::{Rounds, until_end};
use super::swept::{Standing, Swept};
use super::{NoPass, PassAssumed, pass_of};
use crate::car::{Car, CourseKind};
use crate::data::common_practice;
use crate::day::{Accuracy, Passed, Sample, simulate};
use crate::finding::Status;
use crate::gates::{Judged, Settle, settle_limit};
use crate::pass::Pass;
use crate::tolerance::{Spread95, State, Tolerances};

/// One way the pass can go.
#[derive(Clone, Debug, PartialEq)]
pub struct Course {
    /// The moments since the launch.
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

/// Which pass of the day is looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Which {
    /// Its round, from 1.
    pub round: u32,
    /// Rounds of the day until it ends.
    pub of: u32,
}

/// The pass with one pair of pulleys.
#[derive(Clone, Debug, PartialEq)]
pub struct PassStudy {
    /// The pass of the day with the lowest voltage: that is looked at.
    pub which: Which,
    /// Engine speed over time.
    pub pass: Pass,
    /// What of it is assumed.
    pub assumed: PassAssumed,
    /// Alternator turns for one engine turn, without slip.
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
    /// The step of the day that it is.
    step: Step,
    /// What would settle an assumed limit.
    limit: Option<Settle>,
}

impl PassStudy {
    /// Runs the day up to its worst pass, and that pass.
    ///
    /// # Errors
    /// [`NoPass`] where it is not known, or no step of the day.
    pub fn new(car: &Car, tolerances: &Tolerances, judged: &Judged) -> Result<Self, NoPass> {
        let (resolved, state) = (tolerances.resolved(), tolerances.nominal());
        let (pass, assumed) = pass_of(car, &state.params)?;
        let day = Rounds::new(car, resolved, state, judged.pulleys);
        let (step, which) = worst(&day)?;
        let ratio = day.scene.ratio();
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
        let course = |twist| run(&day, step, &pass, twist, Accuracy::FINE);
        Ok(Self {
            window_s: (from_s, whole_s),
            holds: course(Twist::HOLDS),
            gone: day
                .scene
                .is_over(pass.trace.highest_rpm())
                .then(|| course(Twist::LOSES)),
            which,
            step,
            limit: settle_limit(limits),
            over_s,
            assumed,
            ratio,
            healthy_v: common_practice::HEALTHY_PASS_V * resolved.nominal_scale,
            least_v: day.least_v,
            pass,
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

    /// How the lowest voltage stands against a healthy one, given the spreads of
    /// [`Swept::spreads`]: voltage at the launch, at the end and the lowest, then the lowest
    /// with output gone (the lowest again where the limit is not met), V.
    pub fn standing(&self, spreads: &[Spread95]) -> Option<Standing<()>> {
        let (holds, gone) = (spreads.get(2)?, spreads.get(3)?);
        Some(Standing::new((), (holds, gone), self.healthy_v, self.limit))
    }

    /// Whether a healthy voltage is kept; too close to call without the spreads.
    pub fn status(&self, spreads: &[Spread95]) -> Status {
        self.standing(spreads)
            .map_or(Status::TooClose, |standing| standing.status)
    }
}

impl Swept for PassStudy {
    fn answers(&self) -> Vec<f64> {
        answers(&self.holds, self.gone.as_ref())
    }

    fn moved(
        &self,
        car: &Car,
        tolerances: &Tolerances,
        state: &State,
        judged: &Judged,
    ) -> Vec<f64> {
        let Ok((pass, _)) = pass_of(car, &state.params) else {
            // Figures that do not go together at the end of a range say nothing.
            return self.answers();
        };
        let day = Rounds::new(car, tolerances.resolved(), state, judged.pulleys);
        let accuracy = Accuracy {
            samples: 1,
            ..Accuracy::COARSE
        };
        let course = |twist| run(&day, self.step, &pass, twist, accuracy);
        // Asked in each state: a limit that is just not met may be met in another.
        let meets_limit = day.scene.is_over(pass.trace.highest_rpm());
        let gone = meets_limit.then(|| course(Twist::LOSES));
        answers(&course(Twist::HOLDS), gone.as_ref())
    }

    fn decisive(&self) -> Vec<usize> {
        vec![2, 3]
    }
}

fn answers(holds: &Course, gone: Option<&Course>) -> Vec<f64> {
    let gone = gone.unwrap_or(holds);
    vec![holds.launch_v, holds.end_v, holds.lowest.1, gone.lowest.1]
}

/// The pass of a day with the lowest voltage, output over the limit gone.
fn worst(day: &Rounds) -> Result<(Step, Which), NoPass> {
    let is_pass = |step: usize| {
        let step = day.plan.steps.get(step);
        step.is_some_and(|step| day.scene.is_pass(step))
    };
    let mut places = 0..day.plan.steps.len();
    let first = places.find(|place| is_pass(*place)).ok_or(NoPass::NoStep)?;
    let run = day.run(Accuracy::COARSE, Twist::LOSES);
    let all = day.summed(&run);
    let rounds = until_end(&all).len() as u32;
    let driven = run.segments.iter().filter(|segment| {
        let is_ahead = (day.first()..=rounds).contains(&segment.round);
        segment.engine_ran && is_ahead && is_pass(segment.step)
    });
    let worst = driven.min_by(|a, b| a.lowest.1.total_cmp(&b.lowest.1));
    let step = worst.map_or((day.first(), first), |worst| (worst.round, worst.step));
    let which = Which {
        round: step.0,
        of: rounds,
    };
    Ok((step, which))
}

/// One pass of a day, after all that comes before it.
fn run(day: &Rounds, step: Step, pass: &Pass, twist: Twist, accuracy: Accuracy) -> Course {
    let staged = day.run_until(Some(step), Accuracy::COARSE, twist).end;
    let segments: Vec<_> = day.scene.segments(&day.plan, step, pass, twist).collect();
    // A start before the launch is no part of the pass.
    let (launched, started) = match segments.split_last() {
        Some((launched, started)) => (std::slice::from_ref(launched), started),
        None => (&[][..], &[][..]),
    };
    // Enough samples that a line through them shows every bend.
    let dense = Accuracy {
        samples: accuracy.samples * 4,
        ..accuracy
    };
    let supplied = day.scene.supplied(twist);
    let staged = simulate(&supplied, staged, started, Accuracy::COARSE).end;
    let run = simulate(&supplied, staged, launched, dense);
    let passed: Option<&Passed> = run.segments.first();
    let moment = |sample: &Sample| {
        let settled = &sample.settled;
        Moment {
            at_s: sample.at_s,
            engine_rpm: sample.engine_rpm,
            shown_v: supplied.shown_v(settled),
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
    Course {
        launch_v: samples.first().map_or(0.0, |moment| moment.shown_v),
        end_v: samples
            .iter()
            .rfind(on_course)
            .map_or(0.0, |moment| moment.shown_v),
        // What goes wrong after the stripe counts as well.
        lowest: passed.map_or((0.0, 0.0), |passed| passed.lowest),
        lost_s: passed.map_or(0.0, |passed| passed.lost_s),
        samples,
    }
}
