//! Which pulley sizes work, which of those on hand, and what to do when none does.

mod ways_out;
mod window;

pub use ways_out::{WayKind, WayOut, ways_out, with_way};
pub use window::{Edge, EdgeLimit, Side, Window, window};

use crate::car::Car;
use crate::drive::Pulley;
use crate::gates::{Candidate, Verdict, judge};
use crate::quantity::{InLength, InRotationalSpeed, Length, System, inch, mm};
use crate::resolve::{CrankPulley, InputId, Pulleys};
use crate::sort::sort_short;
use crate::tolerance::{Own, Tolerances};
use crate::turns::Turns;

/// How a size on hand stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Standing {
    /// Every gate holds.
    Holds,
    /// Some gate is too close to call.
    TooClose,
    /// Output falls short in some phase.
    Short,
    /// A speed limit is passed.
    Over,
}

/// A size on hand with how it stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ranked {
    /// The pulley.
    pub pulley: Pulley,
    /// How it stands.
    pub standing: Standing,
    /// Distance of its effective diameter from the middle of the window, mm.
    pub off_middle_mm: f64,
}

/// The crank pulley that alternator pulleys are judged on: the one to try if there is one.
pub fn crank_to_judge(car: &Car) -> CrankPulley {
    if car.drive.tried_crank.is_some() {
        CrankPulley::ToTry
    } else {
        CrankPulley::OnCar
    }
}

/// A candidate alternator pulley on the car's crank pulley, or on the one to try.
pub fn candidate(car: &Car, pulley: &Pulley) -> Candidate {
    let pitch = pulley.pitch(car.drive.belt);
    Candidate {
        pulleys: Pulleys {
            crank: crank_to_judge(car),
            ..Pulleys::with_alternator(pitch.value.mm())
        },
        own: Some(Own {
            id: InputId::TriedPulley,
            half_width_mm: pitch.half_width.mm(),
        }),
        rated_rpm: pulley.rated_speed.map(|speed| speed.rpm()),
    }
}

/// Sizes that alternator pulleys are called by, for when none are entered (common
/// practice): eighths of an inch from 1 3/4 to 4, or 2.5 mm steps from 45 to 100.
pub fn common_sizes(system: System) -> Vec<Length> {
    match system {
        System::Inch => (14..=32)
            .map(|eighths| inch(f64::from(eighths) / 8.0))
            .collect(),
        System::Metric => (18..=40).map(|steps| mm(f64::from(steps) * 2.5)).collect(),
    }
}

/// The pulleys that steppers walk and suggestions are taken from: those on hand, or the
/// common sizes.
pub fn sizes_to_walk(car: &Car) -> Vec<Pulley> {
    let mut sizes: Vec<Pulley> = if car.drive.on_hand.is_empty() {
        common_sizes(car.units)
            .into_iter()
            .map(Pulley::called)
            .collect()
    } else {
        car.drive.on_hand.clone()
    };
    sort_short(&mut sizes, |a, b| {
        let effective = |pulley: &Pulley| pulley.effective(car.drive.belt).value.mm();
        effective(a).total_cmp(&effective(b))
    });
    sizes
}

/// Sizes with how they stand: best first. Each is judged in a turn of its own.
pub async fn rank(
    car: &Car,
    tolerances: &Tolerances,
    window: &Window,
    sizes: &[Pulley],
    turns: &impl Turns,
) -> Vec<Ranked> {
    let middle = window.middle_mm();
    let mut ranked = Vec::new();
    for pulley in sizes {
        turns.pause().await;
        ranked.push(Ranked {
            pulley: *pulley,
            standing: standing(tolerances, &candidate(car, pulley)),
            off_middle_mm: (pulley.effective(car.drive.belt).value.mm() - middle).abs(),
        });
    }
    sort_short(&mut ranked, |a, b| {
        a.standing
            .cmp(&b.standing)
            .then(a.off_middle_mm.total_cmp(&b.off_middle_mm))
    });
    ranked
}

/// The pulley to try while the person has not chosen one: of the sizes to walk that are not
/// surely overspun the one nearest to the middle of the window; the largest where all are.
pub fn suggest(car: &Car, window: &Window) -> Option<Pulley> {
    let middle = window.middle_mm();
    let effective = |pulley: &Pulley| pulley.effective(car.drive.belt).value.mm();
    let off = |pulley: &Pulley| (effective(pulley) - middle).abs();
    let sizes = sizes_to_walk(car);
    sizes
        .iter()
        .filter(|pulley| effective(pulley) >= window.possible_low.mm)
        .min_by(|a, b| off(a).total_cmp(&off(b)))
        .or(sizes.last())
        .copied()
}

/// How a candidate stands.
pub fn standing(tolerances: &Tolerances, candidate: &Candidate) -> Standing {
    match judge(tolerances, candidate).verdict {
        Verdict::Holds => Standing::Holds,
        Verdict::TooClose { .. } => Standing::TooClose,
        Verdict::Short { .. } => Standing::Short,
        Verdict::Over { .. } => Standing::Over,
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::car::demo;
    use crate::resolve::Resolved;
    use crate::turns::at_once;
    use std::cell::Cell;

    struct Counted(Cell<usize>);

    impl Turns for Counted {
        async fn pause(&self) {
            self.0.set(self.0.get() + 1);
        }
    }

    #[test]
    fn each_size_is_judged_in_a_turn_of_its_own() {
        let car = demo::nettle();
        let tolerances = Tolerances::new(Resolved::new(&car).unwrap());
        let window = window(&tolerances, Side::Alternator, crank_to_judge(&car));
        let counted = Counted(Cell::new(0));
        let sizes = &car.drive.on_hand;
        let ranked = at_once(rank(&car, &tolerances, &window, sizes, &counted));
        assert_eq!((counted.0.get(), ranked.len()), (sizes.len(), sizes.len()));
        assert!(ranked.is_sorted_by_key(|one| one.standing));
    }
}
