//! The same day in other ways.

use super::day::DayEnd;
use super::model::Twist;
use super::rounds::{Ends, Rounds};
use crate::car::Car;
use crate::day::Accuracy;
use crate::gates::Judged;
use crate::tolerance::Tolerances;
use crate::turns::Turns;

/// More passes than this in a row nobody makes.
const MOST_PASSES: u32 = 30;

/// How many whole passes until a day ends, and what ends it; `None` for more than thirty.
pub type Passes = Option<(u32, Ends)>;

/// The same day in other ways.
#[derive(Clone, Debug, PartialEq)]
pub struct Otherwise {
    /// Back-to-back passes until the day ends, without a break in the pits or the lanes;
    /// `None` where no step is a pass.
    pub passes: Option<Passes>,
    /// The same with output that goes over the limit; `None` where the limit is not met.
    pub passes_gone: Option<Passes>,
    /// The same with a dead alternator.
    pub passes_on_battery: Option<Passes>,
    /// If nobody revs the engine past the turn-on speed after a start; `None` where idling
    /// turns it on.
    pub not_revved: Option<DayEnd>,
    /// Engine speed past which it has to be revved, rpm.
    pub turn_on_rpm: f64,
}

impl Otherwise {
    /// Runs them.
    pub async fn new(
        car: &Car,
        tolerances: &Tolerances,
        judged: &Judged,
        turns: &impl Turns,
    ) -> Self {
        turns.pause().await;
        let state = tolerances.nominal();
        let day = Rounds::new(car, tolerances.resolved(), state, judged.pulleys);
        let not_revved = day.run(Accuracy::COARSE, Twist::NOT_REVVED);
        let mut segments = not_revved.segments.iter();
        let is_other = segments.any(|segment| segment.waiting_s > 0.0);
        let quick = back_to_back(&day);
        let count = async |twist| {
            let quick = quick.as_ref()?;
            turns.pause().await;
            let run = quick.run(Accuracy::COARSE, twist);
            let is_pass = |step: usize| {
                let step = quick.plan.steps.get(step);
                step.is_some_and(|step| quick.scene.is_pass(step))
            };
            let passes = |until: usize| {
                let before = run.segments.iter().take(until);
                let passes = before.filter(|one| one.engine_ran && is_pass(one.step));
                passes.count() as u32
            };
            let ended = quick.ended_at(&run);
            Some(
                ended
                    .map(|(segment, ends)| (passes(segment), ends))
                    .filter(|(passes, _)| *passes <= MOST_PASSES),
            )
        };
        Self {
            passes: count(Twist::HOLDS).await,
            passes_gone: match day.meets_limit() {
                true => count(Twist::LOSES).await,
                false => None,
            },
            passes_on_battery: count(Twist::DEAD).await,
            not_revved: is_other.then(|| DayEnd::of(&day, &day.summed(&not_revved))),
            turn_on_rpm: crate::balance::turn_on_rpm(state, judged.pulleys),
        }
    }
}

/// Passes one after the other: only the steps with the engine running; `None` without a pass.
fn back_to_back<'a>(day: &Rounds<'a>) -> Option<Rounds<'a>> {
    let mut quick = day.with_plan(|plan| {
        plan.rounds = MOST_PASSES;
        plan.steps
            .retain(|(place, step)| !step.off && day.scene.is_running(*place));
    });
    quick.reading = None;
    let is_pass = |step| quick.scene.is_pass(step);
    quick.plan.steps.iter().any(is_pass).then_some(quick)
}
