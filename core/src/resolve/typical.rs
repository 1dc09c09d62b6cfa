//! Loads that stand in while none are entered.

use crate::data::common_practice;
use crate::loads::{Duty, Load, LoadKind};
use crate::quantity::amps;

/// The loads that stand in while none are entered (common practice).
pub fn typical_loads() -> Vec<(Load, f64, f64)> {
    let pick = |code: &str, kind: LoadKind, follows_engine: bool, off_in: &[&str]| {
        common_practice::LOADS
            .iter()
            .find(|load| load.code == code)
            .map(|typical| {
                let load = Load {
                    name: code.to_owned(),
                    current: amps(typical.typical_a),
                    tolerance: None,
                    rated_at: None,
                    kind,
                    follows_engine,
                    duty: off_in
                        .iter()
                        .map(|phase| Duty {
                            phase: (*phase).to_owned(),
                            fraction: 0.0,
                        })
                        .collect(),
                };
                (load, typical.lowest_a, typical.highest_a)
            })
    };
    const PARKED: [&str; 2] = ["pits", "cool_down"];
    [
        pick("fuel_pump", LoadKind::Pump, false, &PARKED),
        pick("fan", LoadKind::Fan, false, &["pits"]),
        pick("water_pump", LoadKind::Pump, false, &["pits"]),
        pick("ignition_inductive", LoadKind::Resistive, false, &PARKED),
        pick("engine_control", LoadKind::Electronics, false, &PARKED),
        pick("logger_dash", LoadKind::Electronics, false, &PARKED),
    ]
    .into_iter()
    .flatten()
    .collect()
}
