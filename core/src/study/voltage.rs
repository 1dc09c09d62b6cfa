//! The voltage that each phase settles at, with its spread.

use crate::balance::{PhaseBalance, reader, settled, worst_net};
use crate::bus::Settled;
use crate::gates::Judged;
use crate::tolerance::{Spread95, State, Sweep, Tolerances};

/// Where a phase settles once the alternator has turned on.
#[derive(Clone, Debug, PartialEq)]
pub struct PhaseVoltage {
    /// At the battery's posts, V.
    pub node_v: Spread95,
    /// Where the person reads it, V.
    pub shown_v: Spread95,
    /// Into the battery, A; negative when it gives.
    pub battery_a: Spread95,
    /// The nominal state.
    pub settled: Settled,
}

/// The voltage that a phase settles at with these pulleys.
pub fn phase_voltage(
    tolerances: &Tolerances,
    judged: &Judged,
    balance: &PhaseBalance,
) -> Option<PhaseVoltage> {
    let resolved = tolerances.resolved();
    let phase = resolved.phases.get(balance.phase)?;
    let answers = |state: &State| {
        let engine_rpm = worst_net(state, judged.pulleys, phase).map(|(_, rpm)| rpm);
        let is_running = engine_rpm.is_some();
        let settled = settled(
            resolved,
            state,
            judged.pulleys,
            phase,
            engine_rpm,
            is_running,
        );
        let shown =
            reader(resolved, state).shows_v(settled.node_v, settled.alternator_v, settled.load_a);
        vec![settled.node_v, shown, settled.battery_a]
    };
    let mut sweep = Sweep::new(answers(tolerances.nominal()));
    while sweep.step(tolerances, judged.own, answers) {}
    let [node_v, shown_v, battery_a] = <[Spread95; 3]>::try_from(sweep.spreads()).ok()?;
    Some(PhaseVoltage {
        node_v,
        shown_v,
        battery_a,
        settled: balance.settled,
    })
}
