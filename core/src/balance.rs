//! Whether the alternator carries the car in each phase of the day.
//!
//! Judged is output at the voltage that the regulator holds against the loads there: as long
//! as it covers them, the regulator holds that voltage and what is left over charges the
//! battery. Beside it stands the voltage at which the phase settles, charging counted.

mod settled;

pub use settled::{Heat, reader, settled, settled_at};

use crate::bus::Settled;
use crate::finding::Status;
use crate::resolve::{AlternatorPulley, CrankPulley, PhaseModel, Pulleys};
use crate::solve::root;
use crate::tolerance::{Own, Spread95, State, Tolerances};

/// Engine speeds at which a pass is looked at, from launch to shift.
const PASS_POINTS: usize = 5;

/// Steps in which the break-even speed is looked for before it is pinned down.
const BREAK_EVEN_STEPS: u32 = 32;

/// One phase of the day with one pair of pulleys.
#[derive(Clone, Debug, PartialEq)]
pub struct PhaseBalance {
    /// Place of the phase in the car.
    pub phase: usize,
    /// Engine speed at which the balance is worst, rpm; `None` with the engine off.
    pub running: Option<Running>,
    /// Load at the set-point, A.
    pub load_a: f64,
    /// Where it settles there, charging counted, once the alternator has turned on.
    pub settled: Settled,
}

/// The balance of a phase with the engine running.
#[derive(Clone, Debug, PartialEq)]
pub struct Running {
    /// Engine speed at which the net current is lowest, rpm.
    pub engine_rpm: f64,
    /// Alternator speed there, slip counted, rpm.
    pub alternator_rpm: f64,
    /// Output with the machine settled at full output in hot air, A.
    pub hot_a: f64,
    /// Output with the machine cold, A.
    pub cold_a: f64,
    /// Hot output less load, A.
    pub net_a: Spread95,
    /// Whether it holds.
    pub status: Status,
    /// Lowest engine speed at which hot output covers the load of this phase, rpm.
    pub break_even_rpm: Option<f64>,
    /// Engine speed to rev to once before the alternator charges at all, rpm.
    pub turn_on_rpm: f64,
    /// Net current if it was not revved that far, A: no output, and the field's own draw
    /// where the phase runs below the turn-on speed.
    pub unexcited_net_a: Option<f64>,
}

/// Alternator speed without slip: for the overspeed question, rpm.
pub fn alternator_rpm(state: &State, pulleys: Pulleys, engine_rpm: f64) -> f64 {
    engine_rpm * state.params.ratio_of(moved(pulleys, state.own_mm))
}

/// Alternator speed with slip: for output, rpm.
pub fn slipping_rpm(state: &State, pulleys: Pulleys, engine_rpm: f64) -> f64 {
    alternator_rpm(state, pulleys, engine_rpm) * state.grip()
}

/// The same pulleys with the one that is no part of the car off its nominal size.
fn moved(pulleys: Pulleys, own_mm: f64) -> Pulleys {
    let mut moved = pulleys;
    if let AlternatorPulley::Pitch(mm) = &mut moved.alternator {
        *mm += own_mm;
    } else if let CrankPulley::Pitch(mm) = &mut moved.crank {
        *mm += own_mm;
    }
    moved
}

/// Hot output at an engine speed (rpm), A.
pub fn hot_a(state: &State, pulleys: Pulleys, engine_rpm: f64) -> f64 {
    state.hot_a(slipping_rpm(state, pulleys, engine_rpm))
}

/// Cold output at an engine speed (rpm), A.
pub fn cold_a(state: &State, pulleys: Pulleys, engine_rpm: f64) -> f64 {
    state.cold_a(slipping_rpm(state, pulleys, engine_rpm))
}

/// Hot output less the load of a phase over engine speed (rpm), A.
fn net_a(state: &State, pulleys: Pulleys, phase: &PhaseModel) -> impl Fn(f64) -> f64 {
    let ratio = slipping_rpm(state, pulleys, 1.0);
    move |speed| state.hot_a(speed * ratio) - state.load_a(phase, speed)
}

/// The lowest net current of a phase and the engine speed (rpm) where it is; `None` with
/// the engine off.
pub fn worst_net(state: &State, pulleys: Pulleys, phase: &PhaseModel) -> Option<(f64, f64)> {
    let (low, high) = phase.speed.range(&state.params)?;
    let net = net_a(state, pulleys, phase);
    let mut worst = (net(low), low);
    if high > low {
        for point in 1..PASS_POINTS {
            let speed = low + (high - low) * point as f64 / (PASS_POINTS - 1) as f64;
            let here = net(speed);
            if here < worst.0 {
                worst = (here, speed);
            }
        }
    }
    Some(worst)
}

/// The balance of one phase.
pub fn phase_balance(
    tolerances: &Tolerances,
    pulleys: Pulleys,
    own: Option<Own>,
    place: usize,
) -> Option<PhaseBalance> {
    let resolved = tolerances.resolved();
    let phase = resolved.phases.get(place)?;
    let state = tolerances.nominal();
    let Some((_, engine_rpm)) = worst_net(state, pulleys, phase) else {
        return Some(PhaseBalance {
            phase: place,
            running: None,
            load_a: state.load_a(phase, 0.0),
            settled: settled(resolved, state, pulleys, phase, None, false),
        });
    };
    let net_a = tolerances.of(own, |state| {
        worst_net(state, pulleys, phase).map_or(0.0, |(net, _)| net)
    });
    let load = state.load_a(phase, engine_rpm);
    let turn_on_rpm = turn_on_rpm(state, pulleys);
    let running = Running {
        engine_rpm,
        alternator_rpm: slipping_rpm(state, pulleys, engine_rpm),
        hot_a: hot_a(state, pulleys, engine_rpm),
        cold_a: cold_a(state, pulleys, engine_rpm),
        status: if state.draws_nothing(phase) {
            Status::Holds
        } else {
            status(&net_a, 0.0)
        },
        net_a,
        break_even_rpm: break_even_rpm(state, pulleys, phase),
        turn_on_rpm,
        unexcited_net_a: (engine_rpm < turn_on_rpm)
            .then_some(-load - crate::data::memory::FIELD_DRAW_A.value),
    };
    Some(PhaseBalance {
        phase: place,
        running: Some(running),
        load_a: load,
        settled: settled(resolved, state, pulleys, phase, Some(engine_rpm), true),
    })
}

/// Judges a margin: `slack` is what a more generous end of an assumed limit adds to it.
pub fn status(margin: &Spread95, slack: f64) -> Status {
    let least = margin.spread.least(margin.value);
    Status::between(least, margin.spread.most(margin.value + slack), 0.0)
}

/// Engine speed to rev to before the alternator turns on, rpm.
pub fn turn_on_rpm(state: &State, pulleys: Pulleys) -> f64 {
    state.cut_in_rpm() * state.params.excite_factor / slipping_rpm(state, pulleys, 1.0)
}

/// Lowest engine speed from which hot output covers the load of a phase, rpm; `None` where
/// it never does below limiter and overshoot.
pub fn break_even_rpm(state: &State, pulleys: Pulleys, phase: &PhaseModel) -> Option<f64> {
    let net = net_a(state, pulleys, phase);
    let top = state.params.limiter_rpm + state.params.overshoot_rpm;
    let at = |step: u32| top * f64::from(step) / f64::from(BREAK_EVEN_STEPS);
    let first = (1..=BREAK_EVEN_STEPS).find(|step| net(at(*step)) >= 0.0)?;
    let below = at(first - 1);
    if below > 0.0 {
        root(net, below, at(first), 0.5)
    } else {
        root(net, 1.0, at(first), 0.5).or(Some(0.0))
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::car::{Car, EngineState, demo};
    use crate::drive::{Measure, Pulley};
    use crate::quantity::{mm, rpm};
    use crate::study::Study;

    /// The first phase of the coupe on a pulley (mm), at an engine speed.
    fn first_phase(size_mm: f64, engine_rpm: f64) -> Running {
        let mut car: Car = demo::nettle();
        car.drive.fitted = Some(Pulley::new(mm(size_mm), Measure::Effective));
        car.phases[0].engine = EngineState::At {
            speed: rpm(engine_rpm),
        };
        let study = Study::new(&car).unwrap();
        study.on_car.phases[0].running.clone().unwrap()
    }

    #[test]
    fn at_the_turn_on_speed_itself_the_alternator_has_turned_on() {
        // A size with which the speed comes through its conversions to the last digit.
        let at = (50..90)
            .map(|size_mm| {
                let size_mm = f64::from(size_mm);
                let turn_on_rpm = first_phase(size_mm, 1_000.0).turn_on_rpm;
                let below = first_phase(size_mm, turn_on_rpm - 1.0);
                assert!(below.unexcited_net_a.unwrap() < 0.0);
                first_phase(size_mm, turn_on_rpm)
            })
            .find(|at| at.engine_rpm == at.turn_on_rpm)
            .unwrap();
        assert_eq!(at.unexcited_net_a, None);
    }
}
