//! The voltage that a phase settles at, battery and wiring counted.

use super::slipping_rpm;
use crate::battery;
use crate::bus::{Alternator, Bus, Settled};
use crate::resolve::{PhaseModel, Pulleys, Resolved};
use crate::tolerance::State;
use crate::wiring::Reader;

/// Where a phase settles with the battery as charged as in the morning and the machine as
/// hot as it gets: at this engine speed (rpm), or with the engine off; `excited` is whether
/// the alternator has turned on.
pub fn settled(
    resolved: &Resolved,
    state: &State,
    pulleys: Pulleys,
    phase: &PhaseModel,
    engine_rpm: Option<f64>,
    excited: bool,
) -> Settled {
    let heat = Heat::Settled;
    settled_at(resolved, state, pulleys, phase, engine_rpm, (excited, heat))
}

/// How hot the machine is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Heat {
    /// As hot as it gets at that output, in the hot air under the hood.
    Settled,
    /// As cold as the test room.
    Cold,
}

/// The same with the machine as hot as said.
pub fn settled_at(
    resolved: &Resolved,
    state: &State,
    pulleys: Pulleys,
    phase: &PhaseModel,
    engine_rpm: Option<f64>,
    (excited, heat): (bool, Heat),
) -> Settled {
    let params = &state.params;
    let supply = &params.supply;
    let battery = resolved.supply.as_ref().map(|known| known.battery(supply));
    let (mut loads, at_limiter) = phase.loads(params, resolved.fading_v());
    let of_limiter = engine_rpm.unwrap_or(0.0) / params.limiter_rpm;
    loads.add_part(&at_limiter, of_limiter.clamp(0.0, 1.0));
    let rpm = slipping_rpm(state, pulleys, engine_rpm.unwrap_or(0.0));
    let field = state.field();
    let limit_a = |volts: f64| match heat {
        Heat::Settled => state
            .machine
            .hot_output_a(rpm, volts, params.under_hood_c, &field),
        Heat::Cold => state.machine.cold_output_a(rpm, volts, &field),
    };
    let bus = Bus {
        alternator: match (engine_rpm, excited) {
            (None, _) => Alternator::Off,
            (Some(_), false) => Alternator::Unexcited {
                field_a: supply.field_a,
            },
            (Some(_), true) => Alternator::Excited {
                limit_a: &limit_a,
                set_point_v: params.set_point_v,
                sense: resolved
                    .supply
                    .as_ref()
                    .map_or_else(Default::default, |known| known.sense),
            },
        },
        charge_path_ohm: supply.path_ohm(),
        loads,
        battery: battery.map(|battery| {
            let rested = battery::State::rested(supply.start_soc, supply.ambient_c);
            battery.terminal(&rested)
        }),
    };
    bus.settle(None)
}

/// The place where this car's voltage is read, in this state.
pub fn reader(resolved: &Resolved, state: &State) -> Reader {
    let known = resolved.supply.as_ref();
    Reader {
        place: known.map_or_else(Default::default, |known| known.read_at),
        path_ohm: state.params.supply.reader_ohm,
        offset_v: state.params.supply.offset_v,
    }
}
