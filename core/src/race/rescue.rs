//! The smallest change that saves a day.

use super::day::Rounds;
use super::model::Twist;
use super::rank::rank;
use crate::car::Car;
use crate::choose::{self, Side, Standing};
use crate::day::Accuracy;
use crate::drive::Pulley;
use crate::gates::Judged;
use crate::resolve::{PhaseSpeed, Resolved};
use crate::tolerance::Tolerances;

/// A change by which the day lasts, each by itself, run again to show that it does.
#[derive(Clone, Debug, PartialEq)]
pub enum Rescue {
    /// The charger, so many minutes of every stay in the pits.
    Charger {
        /// Minutes in each round.
        minutes: f64,
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
    let day = Rounds::new(car, resolved, state, judged);
    let lasts = |day: &Rounds| {
        let run = day.run(Accuracy::COARSE, Twist::default());
        day.ended(&run).is_none()
    };
    if lasts(&day) {
        return None;
    }
    let mut found = Vec::new();
    found.extend(charger(&day, lasts));
    found.extend(load(car, resolved, tolerances, judged, lasts));
    let window = choose::window(tolerances, Side::Alternator, choose::crank_to_judge(car));
    let best = rank(car, tolerances, &window, &car.drive.on_hand)
        .into_iter()
        .find(|ranked| ranked.ends.is_none() && ranked.standing == Standing::Holds);
    found.extend(best.map(|ranked| Rescue::Pulley {
        pulley: ranked.pulley,
    }));
    Some(found)
}

/// Whole minutes of the charger in each stay in the pits.
fn charger(day: &Rounds, lasts: impl Fn(&Rounds) -> bool) -> Option<Rescue> {
    let with = |minutes: f64| {
        day.with_plan(|plan| {
            let mut steps = Vec::new();
            for (place, step) in &plan.steps {
                if step.phase != super::plan::PITS || step.charger {
                    steps.push((*place, step.clone()));
                    continue;
                }
                let on_s = (60.0 * minutes).min(step.seconds);
                let mut on = step.clone();
                (on.seconds, on.charger) = (on_s, true);
                let mut rest = step.clone();
                (rest.seconds, rest.starts) = (step.seconds - on_s, 0);
                steps.extend([(*place, on), (*place, rest)]);
            }
            plan.steps = steps;
        })
    };
    let longest = day
        .plan()
        .steps
        .iter()
        .filter(|(_, step)| step.phase == super::plan::PITS && !step.charger)
        .map(|(_, step)| (step.seconds / 60.0).floor())
        .fold(0.0, f64::max);
    if longest < 1.0 || !lasts(&with(longest)) {
        return None;
    }
    let (mut fails, mut holds) = (0.0, longest);
    while holds - fails > 1.0 {
        let middle = ((fails + holds) / 2.0).floor();
        if lasts(&with(middle)) {
            holds = middle;
        } else {
            fails = middle;
        }
    }
    Some(Rescue::Charger { minutes: holds })
}

/// The smallest load that saves the day by being off while the engine is.
fn load(
    car: &Car,
    resolved: &Resolved,
    tolerances: &Tolerances,
    judged: &Judged,
    lasts: impl Fn(&Rounds) -> bool,
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
        let day = Rounds::new(car, &resolved, tolerances.nominal(), judged);
        lasts(&day).then_some(Rescue::Load { place })
    })
}
