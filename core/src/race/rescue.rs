//! The smallest change that saves a day.

use super::model::Twist;
use super::plan::Charging;
use super::rank::rank;
use super::rounds::{Rounds, ended};
use crate::car::Car;
use crate::choose::{self, Side, Standing};
use crate::drive::Pulley;
use crate::gates::Judged;
use crate::resolve::{PhaseSpeed, Resolved};
use crate::tolerance::Tolerances;

/// A change by which the day lasts, each by itself, run again to show that it does: with
/// output that holds over the limit, and with output that is gone.
#[derive(Clone, Debug, PartialEq)]
pub enum Rescue {
    /// A charger at the beginning of a step with the engine off, in every round.
    Charger {
        /// Which step of the round, from zero.
        step: usize,
        /// Minutes in each round.
        minutes: f64,
    },
    /// A charger at the beginning of a step, in one round only.
    ChargerOnce {
        /// Which step of the round, from zero.
        step: usize,
        /// Minutes in it.
        minutes: f64,
        /// The round, from 1.
        round: u32,
    },
    /// A load switched off with the engine off, by its place in the list.
    Load {
        /// Which one.
        place: usize,
    },
    /// A pulley on hand that holds.
    Pulley {
        /// Which one.
        pulley: Pulley,
    },
}

/// What saves a day that ends too soon, empty where nothing looked at does; `None` where it
/// lasts.
pub fn rescues(car: &Car, tolerances: &Tolerances, judged: &Judged) -> Option<Vec<Rescue>> {
    let (resolved, state) = (tolerances.resolved(), tolerances.nominal());
    let day = Rounds::new(car, resolved, state, judged.pulleys);
    if day.lasts() {
        return None;
    }
    let mut found = Vec::new();
    if let Some(stay) = longest_stay(&day) {
        found.extend(every_round(&day, stay));
        found.extend(once(&day, stay));
    }
    found.extend(load(car, resolved, tolerances, judged));
    let window = choose::window(tolerances, Side::Alternator, choose::crank_to_judge(car));
    let best = rank(car, tolerances, &window, &car.drive.on_hand)
        .into_iter()
        .find(|ranked| ranked.ends.is_none() && ranked.standing == Standing::Holds);
    found.extend(best.map(|ranked| Rescue::Pulley {
        pulley: ranked.pulley,
    }));
    Some(found)
}

/// A step with the engine off and no charger on, and its whole minutes.
type Stay = (usize, f64);

fn longest_stay(day: &Rounds) -> Option<Stay> {
    let stays = day
        .plan
        .steps
        .iter()
        .enumerate()
        .filter(|(_, (place, step))| (step.off || !day.scene.is_running(*place)) && !step.charger);
    stays
        .map(|(at, (_, step))| (at, (step.seconds / 60.0).floor()))
        .filter(|(_, minutes)| *minutes >= 1.0)
        .max_by(|a, b| a.1.total_cmp(&b.1))
}

fn every_round(day: &Rounds, (step, longest): Stay) -> Option<Rescue> {
    let minutes = least(longest, |minutes| charged(day, step, minutes, None))?;
    Some(Rescue::Charger { step, minutes })
}

/// As late as it can be: later there is less day left to go wrong in the meantime.
fn once(day: &Rounds, (step, longest): Stay) -> Option<Rescue> {
    let ends = |twist| ended(&day.coarse(twist)).map(|(round, _)| round);
    let first = [ends(Twist::HOLDS), ends(Twist::LOSES)];
    let ends = first.into_iter().flatten().min()?;
    let saves = |round: &u32| charged(day, step, longest, Some(*round));
    let round = (1..=ends).rev().find(saves)?;
    let minutes = least(longest, |minutes| charged(day, step, minutes, Some(round)))?;
    Some(Rescue::ChargerOnce {
        step,
        minutes,
        round,
    })
}

/// Whether a charger for so many minutes saves it.
fn charged(day: &Rounds, step: usize, minutes: f64, round: Option<u32>) -> bool {
    day.with_plan(|plan| {
        plan.charging = Some(Charging {
            step,
            seconds: 60.0 * minutes,
            round,
        });
    })
    .lasts()
}

/// The least whole minutes that save it; `None` where the longest do not.
fn least(longest: f64, saves: impl Fn(f64) -> bool) -> Option<f64> {
    if !saves(longest) {
        return None;
    }
    let (mut fails, mut holds) = (0.0, longest);
    while holds - fails > 1.0 {
        let middle = ((fails + holds) / 2.0).floor();
        if saves(middle) {
            holds = middle;
        } else {
            fails = middle;
        }
    }
    Some(holds)
}

/// The smallest load that saves the day by being off while the engine is.
fn load(
    car: &Car,
    resolved: &Resolved,
    tolerances: &Tolerances,
    judged: &Judged,
) -> Option<Rescue> {
    let without = |place: usize| {
        let mut resolved = resolved.clone();
        for phase in &mut resolved.phases {
            if phase.speed == PhaseSpeed::Off {
                phase.loads.retain(|load| load.index != place);
            }
        }
        resolved
    };
    let amps = &tolerances.nominal().params.loads_a;
    let mut places: Vec<usize> = (0..amps.len()).collect();
    crate::sort::sort_short(&mut places, |a, b| amps[*a].total_cmp(&amps[*b]));
    places.into_iter().find_map(|place| {
        let resolved = without(place);
        let day = Rounds::new(car, &resolved, tolerances.nominal(), judged.pulleys);
        day.lasts().then_some(Rescue::Load { place })
    })
}
