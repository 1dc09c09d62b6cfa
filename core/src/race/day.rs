//! The day with one pair of pulleys, round after round.

use super::PassAssumed;
use super::model::Twist;
use super::rounds::{self, EMPTY_SOC, Ends, Round, Rounds};
use super::swept::{Standing, Swept};
use crate::car::Car;
use crate::day::{Accuracy, Books, Passed, Run, Sample};
use crate::finding::Status;
use crate::gates::{Judged, Settle, settle_limit};
use crate::tolerance::{Spread95, State, Tolerances};

/// What is asked of a day, once with output that holds over the limit and once with output
/// that is gone.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DayAnswer {
    /// Lowest voltage with the engine running, where it is read, V.
    Running,
    /// Lowest voltage at the battery's posts while the starter turns, V.
    AtStart,
    /// Charge after a round (from 1), 0 to 1.
    After(u32),
    /// Lowest charge at the end of any step of a round (from 1), 0 to 1.
    Least(u32),
}

/// How a day goes in another way than the one followed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DayEnd {
    /// Charge at the end of its last round, 0 to 1.
    pub end_soc: f64,
    /// Lowest voltage with the engine running, from a reading on, V; `None` where it never
    /// runs.
    pub lowest_v: Option<f64>,
    /// The round (from 1) in which it ends too soon, and what ends it.
    pub ends: Option<(u32, Ends)>,
}

impl DayEnd {
    /// Of every round of a run.
    pub(super) fn of(day: &Rounds, all: &[Round]) -> Self {
        let rounds = rounds::until_end(all);
        Self {
            end_soc: rounds.last().map_or(0.0, |round| round.end_soc),
            lowest_v: rounds::lowest_v(rounds::from(rounds, day.first())),
            ends: rounds::ended(rounds),
        }
    }
}

/// What a reading during the day says of the model.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ReadingOff {
    /// The round (from 1) before which it was read.
    pub before_round: u32,
    /// Charge that it gave, 0 to 1.
    pub read_soc: f64,
    /// Charge that the day came to until then, 0 to 1.
    pub expected_soc: f64,
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
    /// Lowest voltage that the person will race with, where they read it, V.
    pub least_v: f64,
    /// Lowest voltage at which a starter turns an engine, V.
    pub cranks_v: f64,
    /// With output that goes over the limit; `None` where the limit is not met.
    pub gone: Option<DayEnd>,
    /// What a reading during the day was off; `None` without one.
    pub reading: Option<ReadingOff>,
    /// The first round (from 1) that is judged: that after a reading.
    first: u32,
    /// What would settle an assumed limit.
    limit: Option<Settle>,
    /// What is asked of it, in the order of its answers with output that holds.
    asked: Vec<DayAnswer>,
    /// The answers with output that holds, then those with output that is gone.
    answers: Vec<f64>,
}

impl DayStudy {
    /// Runs the day.
    pub fn new(car: &Car, tolerances: &Tolerances, judged: &Judged) -> Self {
        let day = Rounds::new(
            car,
            tolerances.resolved(),
            tolerances.nominal(),
            judged.pulleys,
        );
        let mut run = day.run(Accuracy::FINE, Twist::HOLDS);
        let all = day.summed(&run);
        let gone = day.meets_limit().then(|| day.coarse(Twist::LOSES));
        let rounds = rounds::until_end(&all).to_vec();
        let first = day.first();
        let asked = asked(&rounds, first);
        let of = |all: &[Round]| answers(&asked, first, all);
        let mut answers = of(&all);
        answers.extend(of(gone.as_deref().unwrap_or(&all)));
        let reading = day.reading.and_then(|(before_round, read_soc)| {
            let before = all.get((before_round as usize).checked_sub(2)?)?;
            Some(ReadingOff {
                before_round,
                read_soc,
                expected_soc: before.end_soc,
            })
        });
        run.segments
            .retain(|segment| segment.round as usize <= rounds.len());
        Self {
            gone: gone.as_deref().map(|all| DayEnd::of(&day, all)),
            reading,
            rounds,
            least_v: day.least_v,
            cranks_v: day.cranks_v,
            assumed: day.assumed,
            run,
            first,
            limit: settle_limit(&tolerances.resolved().limits),
            asked,
            answers,
        }
    }

    /// Charge at the day's end, 0 to 1.
    pub fn end_soc(&self) -> f64 {
        self.rounds.last().map_or(0.0, |round| round.end_soc)
    }

    /// Lowest voltage with the engine running, where it is read, from a reading on, V; `None`
    /// where it never runs.
    pub fn lowest_v(&self) -> Option<f64> {
        rounds::lowest_v(rounds::from(&self.rounds, self.first))
    }

    /// The round (from 1) in which the day ends, and what ends it.
    pub fn ends(&self) -> Option<(u32, Ends)> {
        rounds::ended(&self.rounds)
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

    /// An answer among the spreads of [`Swept::spreads`]: with output that holds over the
    /// limit, and with output that is gone; both alike where the limit is not met.
    pub fn of<'a>(
        &self,
        spreads: &'a [Spread95],
        answer: DayAnswer,
    ) -> Option<(&'a Spread95, &'a Spread95)> {
        let place = self.asked.iter().position(|asked| *asked == answer)?;
        spreads
            .get(place)
            .zip(spreads.get(self.asked.len() + place))
    }

    /// What an answer may be, given the spreads: output gone at the least, output holding at
    /// the most.
    pub fn range(&self, spreads: &[Spread95], answer: DayAnswer) -> Option<(f64, f64)> {
        let (holds, gone) = self.of(spreads, answer)?;
        let found = Standing::new(answer, (holds, gone), 0.0, None);
        Some((found.least, found.most))
    }

    /// The charge after the last round shown.
    pub fn at_end(&self) -> DayAnswer {
        DayAnswer::After(self.rounds.len() as u32)
    }

    /// How everything stands that a day has to keep, the worst first: among equals what ends
    /// the day as it is.
    pub fn standings(&self, spreads: &[Spread95]) -> Vec<Standing<DayAnswer>> {
        let line = |answer| match answer {
            DayAnswer::Running => Some(self.least_v),
            DayAnswer::AtStart => Some(self.cranks_v),
            DayAnswer::Least(_) => Some(EMPTY_SOC),
            DayAnswer::After(_) => None,
        };
        let mut standings: Vec<Standing<DayAnswer>> = self
            .asked
            .iter()
            .filter_map(|answer| {
                let (holds, gone) = self.of(spreads, *answer)?;
                Some(Standing::new(
                    *answer,
                    (holds, gone),
                    line(*answer)?,
                    self.limit,
                ))
            })
            .collect();
        let rank = |status| match status {
            Status::Fails => 0,
            Status::TooClose => 1,
            Status::Holds => 2,
        };
        let ends = self.ends().or(self.gone.and_then(|gone| gone.ends));
        let is_of_end = |answer| match ends {
            Some((_, Ends::Start)) => answer == DayAnswer::AtStart,
            Some((_, Ends::Voltage)) => answer == DayAnswer::Running,
            Some((round, Ends::Empty)) => answer == DayAnswer::Least(round),
            None => false,
        };
        let key = |one: &Standing<DayAnswer>| (rank(one.status), !is_of_end(one.answer));
        crate::sort::sort_short(&mut standings, |a, b| key(a).cmp(&key(b)));
        standings
    }

    /// Whether the day lasts, given the spreads of [`Swept::spreads`]; too close to call
    /// without them.
    pub fn status(&self, spreads: &[Spread95]) -> Status {
        let standings = self.standings(spreads);
        standings
            .first()
            .map_or(Status::TooClose, |worst| worst.status)
    }
}

impl Swept for DayStudy {
    fn answers(&self) -> Vec<f64> {
        self.answers.clone()
    }

    fn moved(
        &self,
        car: &Car,
        tolerances: &Tolerances,
        state: &State,
        judged: &Judged,
    ) -> Vec<f64> {
        let day = Rounds::new(car, tolerances.resolved(), state, judged.pulleys);
        let holds = day.coarse(Twist::HOLDS);
        let mut moved = answers(&self.asked, day.first(), &holds);
        // Asked in each state: a limit that is just not met may be met in another.
        let gone = day.meets_limit().then(|| day.coarse(Twist::LOSES));
        moved.extend(answers(
            &self.asked,
            day.first(),
            gone.as_deref().unwrap_or(&holds),
        ));
        moved
    }

    fn decisive(&self) -> Vec<usize> {
        let asked = self.asked.len();
        // The round that comes nearest to empty, with output holding and with output gone.
        let emptiest = |offset: usize| {
            let value = |place: usize| self.answers.get(offset + place).copied();
            let each = self.asked.iter().enumerate();
            each.filter(|(_, answer)| matches!(answer, DayAnswer::Least(_)))
                .filter_map(|(place, _)| Some((offset + place, value(place)?)))
                .min_by(|a, b| a.1.total_cmp(&b.1))
                .map(|(place, _)| place)
        };
        let voltages = self.asked.iter().enumerate();
        voltages
            .filter(|(_, answer)| matches!(answer, DayAnswer::Running | DayAnswer::AtStart))
            .flat_map(|(place, _)| [place, asked + place])
            .chain([0, asked].into_iter().filter_map(emptiest))
            .collect()
    }
}

/// What can be asked of a day with these rounds; judged is only what is still to come.
fn asked(rounds: &[Round], first: u32) -> Vec<DayAnswer> {
    let ahead = rounds::from(rounds, first);
    let mut asked = Vec::new();
    asked.extend(rounds::lowest_v(ahead).map(|_| DayAnswer::Running));
    asked.extend(rounds::crank_v(ahead).map(|_| DayAnswer::AtStart));
    for (number, _) in (1..).zip(rounds) {
        asked.push(DayAnswer::After(number));
        asked.extend((number >= first).then_some(DayAnswer::Least(number)));
    }
    asked
}

/// The answers of rounds run as if the day had gone on, so that one that ends early in
/// another state is still asked about the same rounds.
fn answers(asked: &[DayAnswer], first: u32, all: &[Round]) -> Vec<f64> {
    let last = asked.iter().filter_map(|answer| match answer {
        DayAnswer::After(number) => Some(*number as usize),
        _ => None,
    });
    let shown = all.get(..last.max().unwrap_or(0)).unwrap_or(all);
    let shown = rounds::from(shown, first);
    let of = |number: u32, read: fn(&Round) -> f64| {
        let round = (number as usize).checked_sub(1).and_then(|at| all.get(at));
        round.map_or(f64::NAN, read)
    };
    let answer = |answer: &DayAnswer| match *answer {
        DayAnswer::Running => rounds::lowest_v(shown).unwrap_or(f64::NAN),
        DayAnswer::AtStart => rounds::crank_v(shown).unwrap_or(f64::NAN),
        DayAnswer::After(number) => of(number, |round| round.end_soc),
        DayAnswer::Least(number) => of(number, |round| round.least_soc),
    };
    asked.iter().map(answer).collect()
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::car::demo;
    use crate::study::Study;

    /// A verdict rests on both voltages and on the round that comes nearest to empty, with output that holds and with
    /// output that is gone: that may be another round.
    #[test]
    fn what_decides_are_the_voltages_and_the_emptiest_rounds() {
        let car = demo::nettle();
        let study = Study::new(&car).unwrap();
        let mut day = DayStudy::new(&car, &study.tolerances, &study.on_car);
        day.asked = vec![DayAnswer::Running, DayAnswer::AtStart];
        for round in 1..=3 {
            day.asked.push(DayAnswer::After(round));
            day.asked.push(DayAnswer::Least(round));
        }
        let holds = [13.5, 10.2, 0.6, 0.5, 0.1, 0.2, 0.4, 0.3];
        let gone = [12.1, 10.0, 0.5, 0.4, 0.4, 0.3, 0.0, 0.1];
        day.answers = [holds, gone].concat();
        assert_eq!(day.decisive(), [0, 8, 1, 9, 5, 8 + 7]);
    }
}
