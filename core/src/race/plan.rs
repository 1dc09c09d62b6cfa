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

/// One round of a kind of day: (id of the phase, seconds, starts, charger, all off).
fn usual_steps(kind: DayKind) -> &'static [(&'static str, f64, u32, bool, bool)] {
    match kind {
        DayKind::Bracket => &[
            ("pits", 2_700.0, 0, true, false),
            ("warm_up", 180.0, 1, false, false),
            ("lanes", 600.0, 0, false, true),
            ("lanes", 120.0, 1, false, false),
            ("burnout", 8.0, 0, false, false),
            ("stage", 15.0, 0, false, false),
            ("pass", 0.0, 0, false, false),
            ("return_road", 180.0, 0, false, false),
            ("cool_down", 900.0, 0, false, false),
        ],
        DayKind::TrackDay => &[
            ("pits", 2_400.0, 0, false, false),
            ("warm_up", 300.0, 1, false, false),
            ("pass", 0.0, 0, false, false),
            ("return_road", 180.0, 0, false, false),
            ("cool_down", 900.0, 0, false, false),
        ],
        DayKind::TestAndTune => &[
            ("pits", 600.0, 0, false, false),
            ("lanes", 300.0, 0, false, true),
            ("lanes", 60.0, 1, false, false),
            ("burnout", 8.0, 0, false, false),
            ("stage", 15.0, 0, false, false),
            ("pass", 0.0, 0, false, false),
            ("return_road", 180.0, 0, false, false),
            ("cool_down", 600.0, 0, false, false),
        ],
    }
}

/// The steps of a kind of day, as far as the car has their phases.
pub fn template(kind: DayKind, phases: &[Phase]) -> Vec<DayStep> {
    usual_steps(kind)
        .iter()
        .filter(|(id, ..)| phases.iter().any(|phase| phase.id == *id))
        .map(|&(id, seconds, starts, charger, off)| DayStep {
            phase: id.to_owned(),
            seconds,
            starts,
            charger,
            off,
        })
        .collect()
}

/// A day ready to be run.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// Rounds.
    pub rounds: u32,
    /// Steps of one round, each with the place of its phase in the car.
    pub steps: Vec<(usize, DayStep)>,
    late_from: u32,
    late_pits_s: Option<f64>,
}

impl Plan {
    /// How long a step of a round (from 1) lasts, s; the pass takes its own time.
    pub fn seconds(&self, round: u32, step: &DayStep) -> f64 {
        match self.late_pits_s {
            Some(late) if step.phase == PITS && round >= self.late_from => late,
            _ => step.seconds,
        }
    }
}

/// Id of the phase that gets shorter late in the day.
pub(super) const PITS: &str = "pits";

/// The plan of a car's day: what was entered, else what is usual.
pub fn plan(car: &Car) -> Plan {
    let day: &Day = &car.day;
    let steps = if day.steps.is_empty() {
        template(day.kind, &car.phases)
    } else {
        day.steps.clone()
    };
    let steps = steps
        .into_iter()
        .filter_map(|step| {
            let place = car.phases.iter().position(|phase| phase.id == step.phase)?;
            Some((place, step))
        })
        .collect();
    Plan {
        rounds: day.rounds.unwrap_or(usual_rounds(day.kind)),
        steps,
        late_from: day.late_from.unwrap_or(u32::MAX),
        late_pits_s: day.late_pits_s,
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
}
