//! The gates that a pair of pulleys has to pass, and the verdict they add up to.

use crate::balance::{PhaseBalance, alternator_rpm, phase_balance, status};
use crate::finding::Status;
use crate::resolve::{InputId, Limits, Pulleys};
use crate::tolerance::{Own, Spread95, Tolerances};
use serde::Serialize;

/// What is asked of a pair of pulleys.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum GateId {
    /// Alternator speed at the limiter, against its continuous limit.
    Continuous,
    /// Alternator speed at limiter and overshoot, against its short-time limit.
    Short,
    /// Alternator speed at limiter and overshoot, against the pulley's own limit.
    PulleyRating,
    /// Net current of a phase, by its place.
    Phase(usize),
}

/// A speed gate: limit less speed, in alternator rpm.
#[derive(Clone, Debug, PartialEq)]
pub struct SpeedGate {
    /// Which one.
    pub id: GateId,
    /// Alternator speed that is judged, rpm.
    pub speed_rpm: f64,
    /// The limit, rpm: its low end where it is assumed.
    pub limit_rpm: f64,
    /// The high end of an assumed limit, rpm; else the limit again.
    pub generous_rpm: f64,
    /// Limit (low end) less speed, rpm.
    pub margin_rpm: Spread95,
    /// Whether it holds.
    pub status: Status,
}

impl SpeedGate {
    /// What the high end of an assumed limit adds, rpm.
    pub fn slack_rpm(&self) -> f64 {
        self.generous_rpm - self.limit_rpm
    }

    /// Whether the gate is open because of where an assumed limit lies, more than because of
    /// the spread of the speed.
    pub fn limit_decides(&self) -> bool {
        self.status == Status::TooClose && self.slack_rpm() > self.margin_rpm.spread.widest()
    }
}

/// What would settle a verdict that is too close to call.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Settle {
    /// Look where the fan is.
    Fan,
    /// Ask the maker for the speed limit.
    MakersLimit,
    /// Measure this input better.
    Input(InputId),
}

/// The verdict on one pair of pulleys.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case", tag = "kind")]
pub enum Verdict {
    /// A speed limit is passed, its spread counted.
    Over {
        /// The limit passed by most.
        gate: GateId,
    },
    /// Every gate holds.
    Holds,
    /// Output does not cover the load of a phase.
    Short {
        /// The phase that misses most, by its place.
        phase: usize,
    },
    /// The spread or an assumed limit straddles the line.
    TooClose {
        /// The gate that is open.
        gate: GateId,
        /// What would settle it.
        settle: Settle,
    },
}

/// One pair of pulleys, judged.
#[derive(Clone, Debug, PartialEq)]
pub struct Judged {
    /// Which pulleys.
    pub pulleys: Pulleys,
    /// Tolerance of the one that is no part of the car.
    pub own: Option<Own>,
    /// Alternator turns for one engine turn.
    pub ratio: Spread95,
    /// Speed gates.
    pub speeds: Vec<SpeedGate>,
    /// Balance of every phase.
    pub phases: Vec<PhaseBalance>,
    /// What it all adds up to.
    pub verdict: Verdict,
}

/// Limits that one pair of pulleys is judged against.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Candidate {
    /// The pulleys.
    pub pulleys: Pulleys,
    /// Tolerance of the one that is no part of the car.
    pub own: Option<Own>,
    /// Speed limit marked on the alternator pulley, rpm.
    pub rated_rpm: Option<f64>,
}

/// The speed gates of a candidate: (id, engine rpm, limit, its generous end).
pub fn speed_limits(tolerances: &Tolerances, rated_rpm: Option<f64>) -> Vec<(GateId, f64, f64)> {
    let limits = &tolerances.resolved().limits;
    let mut gates = vec![
        (GateId::Continuous, limits.continuous.0, limits.continuous.1),
        (GateId::Short, limits.short.0, limits.short.1),
    ];
    if let Some(rated) = rated_rpm {
        gates.push((GateId::PulleyRating, rated, rated));
    }
    gates
}

/// Alternator speed that a gate judges, rpm.
pub fn judged_rpm(id: GateId, state: &crate::tolerance::State, pulleys: Pulleys) -> f64 {
    let params = &state.params;
    let engine = match id {
        GateId::Continuous => params.limiter_rpm,
        _ => params.limiter_rpm + params.overshoot_rpm,
    };
    alternator_rpm(state, pulleys, engine)
}

/// The speed gates alone.
pub fn judge_speeds(tolerances: &Tolerances, candidate: &Candidate) -> Vec<SpeedGate> {
    let pulleys = candidate.pulleys;
    speed_limits(tolerances, candidate.rated_rpm)
        .into_iter()
        .map(|(id, limit_rpm, generous_rpm)| {
            let margin_rpm = tolerances.of(candidate.own, |state| {
                limit_rpm - judged_rpm(id, state, pulleys)
            });
            SpeedGate {
                id,
                speed_rpm: limit_rpm - margin_rpm.value,
                limit_rpm,
                generous_rpm,
                status: status(&margin_rpm, generous_rpm - limit_rpm),
                margin_rpm,
            }
        })
        .collect()
}

/// Judges one pair of pulleys.
pub fn judge(tolerances: &Tolerances, candidate: &Candidate) -> Judged {
    let pulleys = candidate.pulleys;
    let speeds = judge_speeds(tolerances, candidate);
    let phases: Vec<PhaseBalance> = (0..tolerances.resolved().phases.len())
        .filter_map(|place| phase_balance(tolerances, pulleys, candidate.own, place))
        .collect();
    let verdict = verdict(tolerances, &speeds, &phases);
    let ratio = tolerances.of(candidate.own, |state| alternator_rpm(state, pulleys, 1.0));
    Judged {
        pulleys,
        own: candidate.own,
        ratio,
        speeds,
        phases,
        verdict,
    }
}

fn verdict(tolerances: &Tolerances, speeds: &[SpeedGate], phases: &[PhaseBalance]) -> Verdict {
    let least = |gates: &mut dyn Iterator<Item = (GateId, f64)>| {
        gates.min_by(|a, b| a.1.total_cmp(&b.1)).map(|(id, _)| id)
    };
    let speeds_that = |wanted: Status| {
        speeds
            .iter()
            .filter(move |gate| gate.status == wanted)
            .map(|gate| {
                (
                    gate.id,
                    (gate.margin_rpm.value + gate.slack_rpm()) / gate.limit_rpm,
                )
            })
    };
    let phases_that = |wanted: Status| {
        phases.iter().filter_map(move |phase| {
            let running = phase
                .running
                .as_ref()
                .filter(|running| running.status == wanted)?;
            Some((GateId::Phase(phase.phase), running.net_a.value))
        })
    };
    if let Some(gate) = least(&mut speeds_that(Status::Fails)) {
        return Verdict::Over { gate };
    }
    if let Some(GateId::Phase(phase)) = least(&mut phases_that(Status::Fails)) {
        return Verdict::Short { phase };
    }
    if let Some(gate) = least(&mut speeds_that(Status::TooClose)) {
        let settle = speeds
            .iter()
            .find(|speed| speed.id == gate)
            .map_or(Settle::MakersLimit, |speed| settle_speed(tolerances, speed));
        return Verdict::TooClose { gate, settle };
    }
    if let Some(gate) = least(&mut phases_that(Status::TooClose)) {
        let settle = phases
            .iter()
            .filter(|phase| GateId::Phase(phase.phase) == gate)
            .find_map(|phase| phase.running.as_ref()?.net_a.shares.first())
            .map_or(Settle::Input(InputId::LoadsScale), |share| {
                Settle::Input(share.input)
            });
        return Verdict::TooClose { gate, settle };
    }
    let carries = |phase: &&PhaseBalance| phase.running.is_some() && phase.load_a > 0.0;
    if !phases.iter().any(|phase| carries(&phase)) {
        // With nothing to carry no phase was tested, and one with its loads could fail.
        let first = phases.first().map_or(0, |phase| phase.phase);
        return Verdict::TooClose {
            gate: GateId::Phase(first),
            settle: Settle::Input(InputId::LoadsScale),
        };
    }
    Verdict::Holds
}

/// What would settle an assumed speed limit; `None` for one that was entered.
pub fn settle_limit(limits: &Limits) -> Option<Settle> {
    limits.assumed.then_some(if limits.fan_unknown {
        Settle::Fan
    } else {
        Settle::MakersLimit
    })
}

fn settle_speed(tolerances: &Tolerances, gate: &SpeedGate) -> Settle {
    let limits = &tolerances.resolved().limits;
    let is_of_limit = gate.id != GateId::PulleyRating && gate.limit_decides();
    if let Some(settle) = settle_limit(limits).filter(|_| is_of_limit) {
        return settle;
    }
    gate.margin_rpm
        .shares
        .first()
        .map_or(Settle::MakersLimit, |share| Settle::Input(share.input))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::car::{Car, EngineState, demo};
    use crate::quantity::mm;
    use crate::study::Study;

    fn verdict_with_a_large_pulley(change: impl FnOnce(&mut Car)) -> Verdict {
        let mut car = demo::nettle();
        car.drive.fitted = Some(crate::drive::Pulley::new(
            mm(80.0),
            crate::drive::Measure::Effective,
        ));
        change(&mut car);
        Study::new(&car).unwrap().on_car.verdict
    }

    #[test]
    fn nothing_holds_while_no_load_was_tried() {
        assert_eq!(verdict_with_a_large_pulley(|_| ()), Verdict::Holds);
        let settle = Settle::Input(InputId::LoadsScale);
        let gate = GateId::Phase(0);
        let open = Verdict::TooClose { gate, settle };
        let unloaded = verdict_with_a_large_pulley(|car| car.loads = Some(Vec::new()));
        assert_eq!(unloaded, open);
        let off = verdict_with_a_large_pulley(|car| {
            for phase in &mut car.phases {
                phase.engine = EngineState::Off;
            }
        });
        assert_eq!(off, open);
        assert_eq!(verdict_with_a_large_pulley(|car| car.phases.clear()), open);
    }
}
