//! The day as it is run: rounds of steps.
//!
//! Times of the templates are common practice: lanes 5 to 30 minutes mostly off, burnout 5 to
//! 15 s, staging 10 to 30 s, return road 2 to 5 minutes with fans and pump on, cool-down 10
//! to 30 minutes with the engine off, rounds 30 to 90 minutes apart and 15 to 30 late.

use crate::car::{Car, Day, DayKind, DayStep, Phase};

/// Rounds of a day that nobody counted.
const fn usual_rounds(kind: DayKind) -> u32 {
    match kind {
        DayKind::Bracket => 6,
        DayKind::TrackDay => 5,
        DayKind::TestAndTune => 8,
    }
}

/// One round of a kind of day: (id of the phase, seconds, starts, all off).
fn usual_steps(kind: DayKind) -> &'static [(&'static str, f64, u32, bool)] {
    match kind {
        DayKind::Bracket => &[
            ("pits", 2_700.0, 0, false),
            ("warm_up", 180.0, 1, false),
            ("lanes", 600.0, 0, true),
            ("lanes", 120.0, 1, false),
            ("burnout", 8.0, 0, false),
            ("stage", 15.0, 0, false),
            ("pass", 0.0, 0, false),
            ("return_road", 180.0, 0, false),
            ("cool_down", 900.0, 0, false),
        ],
        DayKind::TrackDay => &[
            ("pits", 2_400.0, 0, false),
            ("warm_up", 300.0, 1, false),
            ("pass", 0.0, 0, false),
            ("return_road", 180.0, 0, false),
            ("cool_down", 900.0, 0, false),
        ],
        DayKind::TestAndTune => &[
            ("pits", 600.0, 0, false),
            ("lanes", 300.0, 0, true),
            ("lanes", 60.0, 1, false),
            ("burnout", 8.0, 0, false),
            ("stage", 15.0, 0, false),
            ("pass", 0.0, 0, false),
            ("return_road", 180.0, 0, false),
            ("cool_down", 600.0, 0, false),
        ],
    }
}

/// The usual steps of a day, as far as the car has their phases; the charger is on in the pits
/// where one was entered.
pub fn template(day: &Day, phases: &[Phase]) -> Vec<DayStep> {
    usual_steps(day.kind)
        .iter()
        .filter(|(id, ..)| phases.iter().any(|phase| phase.id == *id))
        .map(|&(id, seconds, starts, off)| DayStep {
            phase: id.to_owned(),
            seconds,
            starts,
            charger: id == PITS && day.charger_a.is_some(),
            off,
        })
        .collect()
}

/// A charger put on in the first part of one step of a round.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Charging {
    /// Which step of the round.
    pub step: usize,
    /// How long, s; the whole step where that is shorter.
    pub seconds: f64,
    /// The one round; `None` for every one.
    pub round: Option<u32>,
}

/// A day ready to be run.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// Rounds.
    pub rounds: u32,
    /// Steps of one round, each with the place of its phase in the car.
    pub steps: Vec<(usize, DayStep)>,
    /// A charger on top of those that the steps have.
    pub charging: Option<Charging>,
    late_from: u32,
    /// What is left of the stays in the pits from then on, as a part of them.
    late_part: f64,
}

/// A step or the part of it in which nothing is plugged or unplugged.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stretch {
    /// How long it lasts, s; a pass takes its own time.
    pub seconds: f64,
    /// Whether the charger is on.
    pub charger: bool,
    /// Whether the step begins with it.
    pub is_first: bool,
}

impl Plan {
    /// How long a step of a round (from 1) lasts, s; the pass takes its own time.
    pub fn seconds(&self, round: u32, step: &DayStep) -> f64 {
        if step.phase == PITS && round >= self.late_from {
            step.seconds * self.late_part
        } else {
            step.seconds
        }
    }

    /// The one or two stretches of a step of a round (from 1).
    pub fn stretches(&self, round: u32, place: usize) -> impl Iterator<Item = Stretch> {
        let step = self.steps.get(place).map(|(_, step)| step);
        let whole_s = step.map_or(0.0, |step| self.seconds(round, step));
        let has_charger = step.is_some_and(|step| step.charger);
        let on_s = self
            .charging
            .filter(|on| on.step == place && on.round.is_none_or(|only| only == round))
            .map_or(0.0, |on| on.seconds.min(whole_s));
        let with = (on_s > 0.0).then_some(Stretch {
            seconds: on_s,
            charger: true,
            is_first: true,
        });
        let rest = (on_s <= 0.0 || on_s < whole_s).then_some(Stretch {
            seconds: whole_s - on_s,
            charger: has_charger,
            is_first: on_s <= 0.0,
        });
        with.into_iter().chain(rest)
    }
}

/// Id of the phase that gets shorter late in the day.
const PITS: &str = "pits";

/// The plan of a car's day: what was entered, else what is usual.
pub fn plan(car: &Car) -> Plan {
    let day: &Day = &car.day;
    let steps = if day.steps.is_empty() {
        template(day, &car.phases)
    } else {
        day.steps.clone()
    };
    let steps: Vec<(usize, DayStep)> = steps
        .into_iter()
        .filter_map(|step| {
            let place = car.phases.iter().position(|phase| phase.id == step.phase)?;
            Some((place, step))
        })
        .collect();
    let pits_s: f64 = steps
        .iter()
        .filter(|(_, step)| step.phase == PITS)
        .map(|(_, step)| step.seconds)
        .sum();
    Plan {
        rounds: day.rounds.unwrap_or(usual_rounds(day.kind)),
        steps,
        charging: None,
        late_from: day.late_from.unwrap_or(u32::MAX),
        late_part: match day.late_pits_s {
            Some(late_s) if pits_s > 0.0 => late_s / pits_s,
            _ => 1.0,
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::car::{EngineState, demo};

    #[test]
    fn every_kind_of_day_has_a_pass_and_only_phases_of_the_car() {
        let mut car = demo::nettle();
        car.day = Day::default();
        for kind in DayKind::ALL {
            car.day.kind = kind;
            let plan = plan(&car);
            let passes = plan
                .steps
                .iter()
                .filter(|(place, _)| car.phases[*place].engine == EngineState::Pass);
            assert_eq!(passes.count(), 1, "{kind:?}");
            assert!(plan.rounds > 1);
        }
        car.phases.retain(|phase| phase.id != "burnout");
        assert!(
            plan(&car)
                .steps
                .iter()
                .all(|(_, step)| step.phase != "burnout")
        );
    }

    #[test]
    fn late_rounds_have_shorter_pits() {
        let mut car = demo::nettle();
        car.day = Day {
            late_from: Some(4),
            late_pits_s: Some(900.0),
            ..Day::default()
        };
        let plan = plan(&car);
        let (_, pits) = &plan.steps[0];
        assert_eq!(plan.seconds(3, pits), pits.seconds);
        assert_eq!(plan.seconds(4, pits), 900.0);
    }

    #[test]
    fn a_shorter_stay_is_shared_by_both_parts_of_it() {
        let mut car = demo::nettle();
        car.day = Day {
            steps: template(&Day::default(), &car.phases),
            late_from: Some(2),
            late_pits_s: Some(900.0),
            ..Day::default()
        };
        let mut second = car.day.steps[0].clone();
        second.seconds = 0.5 * car.day.steps[0].seconds;
        car.day.steps.push(second);
        let plan = plan(&car);
        let pits_s = |round| -> f64 {
            let steps = plan.steps.iter().filter(|(_, step)| step.phase == PITS);
            steps.map(|(_, step)| plan.seconds(round, step)).sum()
        };
        assert_eq!(pits_s(1), 1.5 * car.day.steps[0].seconds);
        assert!((pits_s(2) - 900.0).abs() < 1e-9);
    }

    #[test]
    fn a_charger_splits_its_step() {
        let mut plan = plan(&demo::nettle());
        let whole_s = plan.steps[0].1.seconds;
        plan.charging = Some(Charging {
            step: 0,
            seconds: 600.0,
            round: Some(2),
        });
        assert_eq!(plan.stretches(1, 0).count(), 1);
        let parts: Vec<Stretch> = plan.stretches(2, 0).collect();
        assert_eq!((parts[0].seconds, parts[0].is_first), (600.0, true));
        assert_eq!(
            (parts[1].seconds, parts[1].is_first),
            (whole_s - 600.0, false)
        );
        plan.charging = Some(Charging {
            step: 0,
            seconds: 1e9,
            round: None,
        });
        let parts: Vec<Stretch> = plan.stretches(1, 0).collect();
        assert_eq!(parts.len(), 1);
        assert!(parts[0].charger && parts[0].seconds == whole_s);
    }
}
