//! The rounds of a day, run in one way or another.

use serde::Serialize;

use super::course::pass_or_usual;
use super::model::{Scene, Step, Twist};
use super::plan::{Plan, plan};
use super::{PassAssumed, least_v};
use crate::car::Car;
use crate::data::common_practice;
use crate::day::{Accuracy, Passed, Run, Segment, Start, simulate};
use crate::pass::Pass;
use crate::resolve::{Pulleys, Resolved};
use crate::tolerance::State;
use crate::turns::Turns;

/// Under this nothing is left that a car could use: charge only creeps toward zero.
pub(super) const EMPTY_SOC: f64 = 0.01;

/// What ends a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Ends {
    /// The starter may not turn the engine.
    Start,
    /// The voltage falls under the lowest that the person will race with.
    Voltage,
    /// The battery is empty.
    Empty,
}

/// One round.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Round {
    /// Charge when it begins, 0 to 1.
    pub begin_soc: f64,
    /// Charge when it is over, 0 to 1.
    pub end_soc: f64,
    /// Lowest charge at the end of any step, 0 to 1.
    pub least_soc: f64,
    /// Lowest voltage with the engine running, where it is read: (s, V); `None` where it never
    /// runs.
    pub lowest: Option<(f64, f64)>,
    /// When the round is over, s.
    pub until_s: f64,
    /// Lowest voltage at the battery's posts while the starter turns, V; `None` without a
    /// start.
    pub crank_v: Option<f64>,
    /// Where the battery would rest when the round is over, V.
    pub rest_v: f64,
    /// Hottest end of a step, alternator, degrees Celsius.
    pub alternator_c: f64,
    /// Temperature of the battery when it is over, degrees Celsius.
    pub battery_c: f64,
    /// What ends the day in it, if anything.
    pub ends: Option<Ends>,
}

/// Lowest voltage (V) of these rounds with the engine running; `None` where it never runs.
pub(super) fn lowest_v(rounds: &[Round]) -> Option<f64> {
    let each = rounds.iter().filter_map(|round| round.lowest);
    each.map(|(_, volts)| volts).min_by(f64::total_cmp)
}

/// Lowest voltage (V) of these rounds while the starter turns; `None` without a start.
pub(super) fn crank_v(rounds: &[Round]) -> Option<f64> {
    let each = rounds.iter().filter_map(|round| round.crank_v);
    each.min_by(f64::total_cmp)
}

/// The round (from 1) in which the day ends, and what ends it.
pub(super) fn ended(rounds: &[Round]) -> Option<(u32, Ends)> {
    (1..)
        .zip(rounds)
        .find_map(|(number, round)| Some((number, round.ends?)))
}

/// Rounds from one on (from 1).
pub(super) fn from(rounds: &[Round], first: u32) -> &[Round] {
    let past = (first as usize).saturating_sub(1);
    rounds.get(past..).unwrap_or_default()
}

/// Rounds up to the one in which the day ends: a car that cannot go on has no later ones.
pub(super) fn until_end(rounds: &[Round]) -> &[Round] {
    let whole = ended(rounds).map_or(rounds.len(), |(round, _)| round as usize);
    rounds.get(..whole).unwrap_or(rounds)
}

/// A car's day in one state, ready to be run in more ways than one.
#[derive(Clone, Debug)]
pub(super) struct Rounds<'a> {
    pub scene: Scene<'a>,
    pub plan: Plan,
    pub pass: Pass,
    pub assumed: PassAssumed,
    /// (round before which it was read, charge that it gave).
    pub reading: Option<(u32, f64)>,
    pub least_v: f64,
    pub cranks_v: f64,
}

impl<'a> Rounds<'a> {
    pub fn new(car: &Car, resolved: &'a Resolved, state: &'a State, pulleys: Pulleys) -> Self {
        let (pass, assumed) = pass_or_usual(car, &state.params);
        let plan = plan(car);
        Self {
            scene: Scene::new(resolved, state, pulleys),
            reading: car
                .day
                .reading
                .filter(|reading| reading.before_round <= plan.rounds)
                .map(|reading| (reading.before_round, state.params.supply.read_soc)),
            plan,
            pass,
            assumed,
            least_v: least_v(car, resolved),
            cranks_v: common_practice::CRANKS_V * resolved.nominal_scale,
        }
    }

    /// The same day with another plan.
    pub fn with_plan(&self, change: impl FnOnce(&mut Plan)) -> Self {
        let mut other = self.clone();
        change(&mut other.plan);
        other
    }

    /// Whether any step of it meets the limit.
    pub fn meets_limit(&self) -> bool {
        let mut steps = self.plan.steps.iter();
        steps.any(|step| self.scene.is_over(self.scene.highest_rpm(step, &self.pass)))
    }

    /// The segment of a run in which the day ends, by its place, and what ends it.
    pub fn ended_at(&self, run: &Run) -> Option<(usize, Ends)> {
        let mut round = self.begun(1.0);
        let mut number = 0;
        run.segments
            .iter()
            .enumerate()
            .find_map(|(place, segment)| {
                if segment.round != number {
                    (round, number) = (self.begun(1.0), segment.round);
                }
                self.take(&mut round, segment);
                Some((place, round.ends?))
            })
    }

    /// A round at its beginning with this charge.
    fn begun(&self, soc: f64) -> Round {
        let morning = self.scene.morning();
        Round {
            begin_soc: soc,
            end_soc: soc,
            least_soc: soc,
            lowest: None,
            until_s: 0.0,
            crank_v: None,
            rest_v: 0.0,
            alternator_c: morning.alternator_c,
            battery_c: morning.battery.celsius,
            ends: None,
        }
    }

    /// Takes one of its segments into a round.
    fn take(&self, round: &mut Round, segment: &Passed) {
        let is_running = self.scene.is_running(segment.place) && segment.engine_ran;
        let is_lower = round.lowest.is_none_or(|(_, v)| segment.lowest.1 < v);
        // A step of no time has no voltage.
        if is_running && is_lower && segment.lowest.1.is_finite() {
            round.lowest = Some(segment.lowest);
        }
        if let Some(volts) = segment.crank_v {
            round.crank_v = Some(round.crank_v.map_or(volts, |least| least.min(volts)));
        }
        round.until_s = segment.until_s;
        round.end_soc = segment.end_soc;
        round.least_soc = round.least_soc.min(segment.end_soc);
        round.rest_v = segment.rest_v;
        round.alternator_c = round.alternator_c.max(segment.end_c.0);
        round.battery_c = segment.end_c.1;
        // Who reads a meter before a round got that far.
        if segment.round >= self.first() {
            round.ends = round.ends.or_else(|| self.ends(round));
        }
    }

    /// The first round (from 1) that is still to be judged: that after a reading.
    pub fn first(&self) -> u32 {
        self.reading.map_or(1, |(before, _)| before)
    }

    /// Steps of the day in their order.
    fn steps(&self) -> impl Iterator<Item = Step> {
        let places = self.plan.steps.len();
        (1..=self.plan.rounds).flat_map(move |round| (0..places).map(move |place| (round, place)))
    }

    /// Runs it from the morning; from a reading on, with the charge that was read.
    pub fn run(&self, accuracy: Accuracy, twist: Twist) -> Run {
        self.run_until(None, accuracy, twist)
    }

    /// Runs it up to the beginning of a step, or to its end.
    pub fn run_until(&self, until: Option<Step>, accuracy: Accuracy, twist: Twist) -> Run {
        let supplied = self.scene.supplied(twist);
        let morning = self.scene.morning();
        let of = |steps: &mut dyn Iterator<Item = Step>| -> Vec<Segment> {
            steps
                .flat_map(|step| self.scene.segments(&self.plan, step, &self.pass, twist))
                .collect()
        };
        let mut steps = self
            .steps()
            .take_while(|step| until.is_none_or(|until| *step < until));
        let reads = self
            .reading
            .filter(|(before, _)| until.is_none_or(|until| *before <= until.0));
        let Some((before, soc)) = reads else {
            return simulate(&supplied, morning, &of(&mut steps), accuracy);
        };
        let places = self.plan.steps.len();
        let earlier = (before as usize).saturating_sub(1) * places;
        let segments = of(&mut steps.by_ref().take(earlier));
        let mut run = simulate(&supplied, morning, &segments, accuracy);
        let read = Start {
            battery: crate::battery::State {
                soc,
                pair_v: 0.0,
                ..run.end.battery
            },
            ..run.end
        };
        let from_s = run.segments.last().map_or(0.0, |segment| segment.until_s);
        run.append(simulate(&supplied, read, &of(&mut steps), accuracy), from_s);
        run
    }

    /// Every round of a run, those after the day's end as if it had gone on.
    pub fn summed(&self, run: &Run) -> Vec<Round> {
        let mut begin_soc = self.scene.morning().battery.soc;
        let mut rounds = Vec::new();
        let mut segments = run.segments.iter().peekable();
        for number in 1..=self.plan.rounds {
            if let Some((_, soc)) = self.reading.filter(|reading| reading.0 == number) {
                begin_soc = soc;
            }
            let mut round = self.begun(begin_soc);
            while let Some(segment) = segments.next_if(|segment| segment.round == number) {
                self.take(&mut round, segment);
            }
            begin_soc = round.end_soc;
            rounds.push(round);
        }
        rounds
    }

    fn ends(&self, round: &Round) -> Option<Ends> {
        if round.crank_v.is_some_and(|volts| volts < self.cranks_v) {
            Some(Ends::Start)
        } else if round.lowest.is_some_and(|(_, volts)| volts < self.least_v) {
            Some(Ends::Voltage)
        } else if round.least_soc < EMPTY_SOC {
            Some(Ends::Empty)
        } else {
            None
        }
    }

    /// Every round, run coarsely.
    pub fn coarse(&self, twist: Twist) -> Vec<Round> {
        self.summed(&self.run(Accuracy::COARSE, twist))
    }

    /// Whether it lasts, whether output over the limit holds or is gone.
    pub async fn lasts(&self, turns: &impl Turns) -> bool {
        let lasts = |twist| ended(&self.coarse(twist)).is_none();
        turns.pause().await;
        if !lasts(Twist::HOLDS) {
            return false;
        }
        turns.pause().await;
        !self.meets_limit() || lasts(Twist::LOSES)
    }
}
