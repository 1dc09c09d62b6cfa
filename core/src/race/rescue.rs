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
use crate::turns::Turns;

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
pub async fn rescues(
    car: &Car,
    tolerances: &Tolerances,
    judged: &Judged,
    turns: &impl Turns,
) -> Option<Vec<Rescue>> {
    let (resolved, state) = (tolerances.resolved(), tolerances.nominal());
    let day = Rounds::new(car, resolved, state, judged.pulleys);
    if day.lasts(turns).await {
        return None;
    }
    let mut found = Vec::new();
    if let Some(stay) = longest_stay(&day) {
        found.extend(every_round(&day, stay, turns).await);
        found.extend(once(&day, stay, turns).await);
    }
    found.extend(load(car, resolved, (tolerances, judged), turns).await);
    let window = choose::window(tolerances, Side::Alternator, choose::crank_to_judge(car));
    let best = rank(car, tolerances, &window, &car.drive.on_hand, turns)
        .await
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

async fn every_round(
    day: &Rounds<'_>,
    (step, longest): Stay,
    turns: &impl Turns,
) -> Option<Rescue> {
    let minutes = least(longest, async |minutes| {
        charged(day, step, (minutes, None), turns).await
    })
    .await?;
    Some(Rescue::Charger { step, minutes })
}

/// As late as it can be: later there is less day left to go wrong in the meantime.
async fn once(day: &Rounds<'_>, (step, longest): Stay, turns: &impl Turns) -> Option<Rescue> {
    let ends = async |twist| {
        turns.pause().await;
        ended(&day.coarse(twist)).map(|(round, _)| round)
    };
    let first = [ends(Twist::HOLDS).await, ends(Twist::LOSES).await];
    let mut round = first.into_iter().flatten().min()?;
    while !charged(day, step, (longest, Some(round)), turns).await {
        round -= 1;
        if round == 0 {
            return None;
        }
    }
    let minutes = least(longest, async |minutes| {
        charged(day, step, (minutes, Some(round)), turns).await
    })
    .await?;
    Some(Rescue::ChargerOnce {
        step,
        minutes,
        round,
    })
}

/// Whether a charger for so many minutes saves it, in every round or in one.
async fn charged(
    day: &Rounds<'_>,
    step: usize,
    (minutes, round): (f64, Option<u32>),
    turns: &impl Turns,
) -> bool {
    day.with_plan(|plan| {
        plan.charging = Some(Charging {
            step,
            seconds: 60.0 * minutes,
            round,
        });
    })
    .lasts(turns)
    .await
}

/// The least whole minutes that save it; `None` where the longest do not.
async fn least(longest: f64, saves: impl AsyncFn(f64) -> bool) -> Option<f64> {
    if !saves(longest).await {
        return None;
    }
    let (mut fails, mut holds) = (0.0, longest);
    while holds - fails > 1.0 {
        let middle = ((fails + holds) / 2.0).floor();
        if saves(middle).await {
            holds = middle;
        } else {
            fails = middle;
        }
    }
    Some(holds)
}

/// The smallest load that saves the day by being off while the engine is.
async fn load(
    car: &Car,
    resolved: &Resolved,
    (tolerances, judged): (&Tolerances, &Judged),
    turns: &impl Turns,
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
    for place in places {
        let resolved = without(place);
        let day = Rounds::new(car, &resolved, tolerances.nominal(), judged.pulleys);
        if day.lasts(turns).await {
            return Some(Rescue::Load { place });
        }
    }
    None
}
