//! The day with one pair of pulleys, round after round.

use serde::Serialize;

use super::course::pass_or_usual;
use super::model::{Scene, Twist};
use super::plan::{Plan, plan};
use super::{PassAssumed, least_v};
use crate::car::Car;
use crate::data::common_practice;
use crate::day::{Accuracy, Books, Passed, Run, Sample, Start, simulate};
use crate::finding::Status;
use crate::gates::Judged;
use crate::pass::Pass;
use crate::resolve::{PhaseSpeed, Resolved};
use crate::tolerance::{Spread95, State, Sweep, Tolerances};

/// Under this nothing is left that a car could use: charge only creeps toward zero.
const EMPTY_SOC: f64 = 0.01;
/// More passes than this in a row nobody makes.
const MOST_PASSES: u32 = 30;

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
    /// Lowest voltage with the engine running, V.
    pub lowest_v: f64,
    /// When that is, s.
    pub lowest_at_s: f64,
    /// When the round is over, s.
    pub until_s: f64,
    /// Lowest voltage while the starter turns, V; infinite without a start.
    pub crank_v: f64,
    /// Where the battery would rest when the round is over, V.
    pub rest_v: f64,
    /// Hottest end of a segment, alternator, degrees Celsius.
    pub alternator_c: f64,
    /// Temperature of the battery when it is over, degrees Celsius.
    pub battery_c: f64,
    /// What ends the day in it, if anything.
    pub ends: Option<Ends>,
}

/// The day with one pair of pulleys.
#[derive(Clone, Debug, PartialEq)]
pub struct DayStudy {
    /// Round after round, up to the one in which the day ends.
    pub rounds: Vec<Round>,
    /// The day over time.
    pub run: Run,
    /// What of the pass is assumed.
    pub assumed: PassAssumed,
    /// Lowest voltage that the person will race with, V.
    pub least_v: f64,
    /// Lowest voltage at which a starter turns an engine, V.
    pub cranks_v: f64,
    /// Charge at the day's end and lowest running voltage (V) with output that goes over the
    /// limit; `None` where the limit is not met.
    pub gone: Option<(f64, f64)>,
}

/// The same day in other ways.
#[derive(Clone, Debug, PartialEq)]
pub struct Otherwise {
    /// Back-to-back passes until the day ends, and what ends it; `None` for more than
    /// thirty.
    pub passes: Option<(u32, Ends)>,
    /// The same with a dead alternator.
    pub passes_on_battery: Option<(u32, Ends)>,
    /// Charge at the day's end and lowest running voltage (V) if nobody revs the engine past
    /// the turn-on speed after a start; `None` where idling turns it on.
    pub not_revved: Option<(f64, f64)>,
}

impl Otherwise {
    /// Runs them.
    pub fn new(car: &Car, tolerances: &Tolerances, judged: &Judged) -> Self {
        let day = Rounds::new(car, tolerances.resolved(), tolerances.nominal(), judged);
        let waits = Twist {
            not_revved: true,
            ..Twist::default()
        };
        let not_revved = day.run(Accuracy::COARSE, waits);
        let mut segments = not_revved.segments.iter();
        let is_other = segments.any(|segment| segment.waiting_s > 0.0);
        let dead = Twist {
            dead: true,
            ..Twist::default()
        };
        Self {
            passes: day.back_to_back(Twist::default()),
            passes_on_battery: day.back_to_back(dead),
            not_revved: is_other.then(|| day.least(&not_revved)),
        }
    }
}

impl DayStudy {
    /// Runs the day.
    pub fn new(car: &Car, tolerances: &Tolerances, judged: &Judged) -> Self {
        let day = Rounds::new(car, tolerances.resolved(), tolerances.nominal(), judged);
        let mut run = day.run(Accuracy::FINE, Twist::default());
        let gone = day.loses().then(|| {
            let loses = Twist {
                loses: true,
                ..Twist::default()
            };
            day.least(&day.run(Accuracy::COARSE, loses))
        });
        let rounds = day.summed(&run);
        run.segments
            .retain(|segment| segment.round as usize <= rounds.len());
        Self {
            gone,
            rounds,
            least_v: day.least_v,
            cranks_v: day.cranks_v,
            assumed: day.assumed,
            run,
        }
    }

    /// Charge at the day's end, 0 to 1.
    pub fn end_soc(&self) -> f64 {
        self.rounds.last().map_or(0.0, |round| round.end_soc)
    }

    /// Lowest voltage with the engine running, V.
    pub fn lowest_v(&self) -> f64 {
        lowest(&self.rounds)
    }

    /// The round (from 1) in which the day ends, and what ends it.
    pub fn ends(&self) -> Option<(u32, Ends)> {
        ended(&self.rounds)
    }

    /// What stands at a time (s): the segment and its sample before it.
    pub fn at(&self, at_s: f64) -> Option<(&Passed, &Sample)> {
        let segments = &self.run.segments;
        let after = segments.partition_point(|segment| segment.until_s < at_s);
        let segment = segments.get(after).or_else(|| segments.last())?;
        let past = segment
            .samples
            .partition_point(|sample| sample.at_s <= at_s);
        let sample = segment.samples.get(past.saturating_sub(1))?;
        Some((segment, sample))
    }

    /// Where all energy went.
    pub fn books(&self) -> Books {
        self.run.books()
    }

    /// Begins the sweep of [`DayStudy::spreads`].
    pub fn sweep(&self) -> Sweep {
        Sweep::new(answers(&self.rounds))
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
            let day = Rounds::new(car, tolerances.resolved(), state, judged);
            answers(&day.summed(&day.run(Accuracy::COARSE, Twist::default())))
        })
    }

    /// Answers with their spread: charge at the day's end, lowest running voltage and lowest
    /// voltage at a start (V), then charge after each round.
    pub fn spreads(&self, car: &Car, tolerances: &Tolerances, judged: &Judged) -> Vec<Spread95> {
        let mut sweep = self.sweep();
        while self.step(&mut sweep, car, tolerances, judged) {}
        sweep.spreads()
    }

    /// Whether the day lasts, given the spreads of [`DayStudy::spreads`].
    pub fn status(&self, spreads: &[Spread95]) -> Status {
        let voltages = [self.least_v, self.cranks_v];
        // Then the charge after each round.
        let lines = voltages.into_iter().chain(std::iter::repeat(EMPTY_SOC));
        let mut statuses: Vec<Status> = spreads
            .iter()
            .skip(1)
            .zip(lines)
            .map(|(found, line)| {
                if found.spread.least(found.value) >= line {
                    Status::Holds
                } else if found.spread.most(found.value) < line {
                    Status::Fails
                } else {
                    Status::TooClose
                }
            })
            .collect();
        if spreads.is_empty() || self.ends().is_some() {
            // Whatever the spreads say: as it stands the day does not last.
            statuses.push(Status::TooClose);
        }
        // Output over the limit may hold or be gone: with the second the day may end.
        let may_go = self
            .gone
            .is_some_and(|(_, lowest_v)| lowest_v < self.least_v);
        if statuses.contains(&Status::Fails) {
            Status::Fails
        } else if may_go || statuses.contains(&Status::TooClose) {
            Status::TooClose
        } else {
            Status::Holds
        }
    }
}

fn lowest(rounds: &[Round]) -> f64 {
    rounds
        .iter()
        .map(|round| round.lowest_v)
        .fold(f64::INFINITY, f64::min)
}

fn ended(rounds: &[Round]) -> Option<(u32, Ends)> {
    (1..)
        .zip(rounds)
        .find_map(|(number, round)| Some((number, round.ends?)))
}

fn answers(rounds: &[Round]) -> Vec<f64> {
    let crank_v = rounds
        .iter()
        .map(|round| round.crank_v)
        .fold(f64::INFINITY, f64::min);
    let mut answers = vec![
        rounds.last().map_or(0.0, |round| round.end_soc),
        lowest(rounds),
        crank_v,
    ];
    answers.extend(rounds.iter().map(|round| round.end_soc));
    answers
}

/// A car's day in one state, ready to be run in more ways than one.
pub(super) struct Rounds<'a> {
    scene: Scene<'a>,
    plan: Plan,
    pass: Pass,
    assumed: PassAssumed,
    resolved: &'a Resolved,
    /// (round before which it was read, charge that it gave).
    reading: Option<(u32, f64)>,
    least_v: f64,
    cranks_v: f64,
}

impl<'a> Rounds<'a> {
    pub(super) fn new(
        car: &Car,
        resolved: &'a Resolved,
        state: &'a State,
        judged: &Judged,
    ) -> Self {
        let (pass, assumed) = pass_or_usual(car, &state.params);
        Self {
            scene: Scene::new(resolved, state, judged.pulleys),
            plan: plan(car),
            pass,
            assumed,
            resolved,
            reading: car
                .day
                .reading
                .map(|reading| (reading.before_round, state.params.supply.read_soc)),
            least_v: least_v(car, resolved),
            cranks_v: common_practice::CRANKS_V * resolved.nominal_scale,
        }
    }

    /// The same day with another plan.
    pub(super) fn with_plan(&self, change: impl FnOnce(&mut Plan)) -> Self {
        let mut plan = self.plan.clone();
        change(&mut plan);
        Self {
            scene: self.scene.clone(),
            plan,
            pass: self.pass.clone(),
            ..*self
        }
    }

    /// Charge at the end of a run, and its lowest running voltage, V.
    pub(super) fn least(&self, run: &Run) -> (f64, f64) {
        let rounds = self.summed(run);
        let end = rounds.last().map_or(0.0, |round| round.end_soc);
        (end, lowest(&rounds))
    }

    /// Whether the pass meets the limit.
    fn loses(&self) -> bool {
        self.pass.trace.highest_rpm() * self.scene.ratio() > self.scene.loss().lose_rpm
    }

    /// The plan.
    pub(super) fn plan(&self) -> &Plan {
        &self.plan
    }

    /// Runs it from the morning; from a reading on, with the charge that was read.
    pub(super) fn run(&self, accuracy: Accuracy, twist: Twist) -> Run {
        let supplied = self.scene.supplied(twist);
        let mut start = self.scene.morning();
        let last = self.plan.rounds;
        let Some((read_before, soc)) = self.reading.filter(|reading| reading.0 <= last) else {
            let segments = self.scene.segments(&self.plan, &self.pass, 1..=last, twist);
            return simulate(&supplied, start, &segments, accuracy);
        };
        let before = self
            .scene
            .segments(&self.plan, &self.pass, 1..read_before, twist);
        let mut run = simulate(&supplied, start, &before, accuracy);
        start = Start {
            battery: crate::battery::State {
                soc,
                pair_v: 0.0,
                ..run.end.battery
            },
            ..run.end
        };
        let after = self
            .scene
            .segments(&self.plan, &self.pass, read_before..=last, twist);
        let from_s = run.segments.last().map_or(0.0, |segment| segment.until_s);
        run.append(simulate(&supplied, start, &after, accuracy), from_s);
        run
    }

    /// Round after round of a run, up to the one in which the day ends.
    pub(super) fn summed(&self, run: &Run) -> Vec<Round> {
        let mut rounds: Vec<Round> = Vec::new();
        let mut begin_soc = self.scene.morning().battery.soc;
        for number in 1..=self.plan.rounds {
            if let Some((_, soc)) = self.reading.filter(|reading| reading.0 == number) {
                begin_soc = soc;
            }
            let mut round = Round {
                begin_soc,
                end_soc: begin_soc,
                lowest_v: f64::INFINITY,
                lowest_at_s: 0.0,
                until_s: 0.0,
                crank_v: f64::INFINITY,
                rest_v: 0.0,
                alternator_c: f64::NEG_INFINITY,
                battery_c: 0.0,
                ends: None,
            };
            let of_round = run
                .segments
                .iter()
                .filter(|segment| segment.round == number);
            for segment in of_round {
                let phase = self.resolved.phases.get(segment.place);
                let is_running =
                    phase.is_some_and(|phase| phase.speed != PhaseSpeed::Off) && segment.engine_ran;
                if is_running && segment.lowest.1 < round.lowest_v {
                    (round.lowest_at_s, round.lowest_v) = segment.lowest;
                }
                round.until_s = segment.until_s;
                if let Some(volts) = segment.crank_v {
                    round.crank_v = round.crank_v.min(volts);
                }
                round.end_soc = segment.end_soc;
                round.rest_v = segment.rest_v;
                round.alternator_c = round.alternator_c.max(segment.end_c.0);
                round.battery_c = segment.end_c.1;
                let ends = self.ends(segment.end_soc, &round);
                round.ends = round.ends.or(ends);
            }
            begin_soc = round.end_soc;
            rounds.push(round);
            if round.ends.is_some() {
                // A car that cannot go on has no later rounds.
                break;
            }
        }
        rounds
    }

    fn ends(&self, soc: f64, round: &Round) -> Option<Ends> {
        if round.crank_v < self.cranks_v {
            Some(Ends::Start)
        } else if round.lowest_v < self.least_v {
            Some(Ends::Voltage)
        } else if soc < EMPTY_SOC {
            Some(Ends::Empty)
        } else {
            None
        }
    }

    /// The round (from 1) in which the day ends, and what ends it.
    pub(super) fn ended(&self, run: &Run) -> Option<(u32, Ends)> {
        ended(&self.summed(run))
    }

    /// Passes one after the other without a break in the pits or the lanes, until the day
    /// ends: how many are whole, and what ends it.
    fn back_to_back(&self, twist: Twist) -> Option<(u32, Ends)> {
        let quick = self.with_plan(|plan| {
            plan.rounds = MOST_PASSES;
            plan.steps.retain(|(place, step)| {
                let phase = self.resolved.phases.get(*place);
                !step.off && phase.is_some_and(|phase| phase.speed != PhaseSpeed::Off)
            });
        });
        let fresh = Self {
            reading: None,
            ..quick
        };
        let run = fresh.run(Accuracy::COARSE, twist);
        fresh.ended(&run).map(|(round, ends)| (round - 1, ends))
    }
}
