//! Phases of a race day.

use serde::{Deserialize, Serialize};

use crate::quantity::{ElectricCurrent, ElectricPotential, RotationalSpeed, rpm};

/// What the engine does in a phase.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", tag = "state", deny_unknown_fields)]
pub enum EngineState {
    /// Stopped.
    Off,
    /// Idle in neutral.
    Idle,
    /// Idle in gear.
    IdleInGear,
    /// At launch speed.
    Launch,
    /// From launch to shift speed and back.
    Pass,
    /// At a speed of its own.
    At {
        /// That speed.
        #[serde(rename = "speed_rpm", with = "crate::stored::rpm")]
        speed: RotationalSpeed,
    },
}

/// A clamp-meter total: replaces the list of loads in its phase.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ClampReading {
    /// Everything the car draws, battery charging excluded.
    #[serde(rename = "current_a", with = "crate::stored::amps")]
    pub current: ElectricCurrent,
    /// Voltage meanwhile; the set-point where absent.
    #[serde(
        rename = "read_at_v",
        with = "crate::stored::opt_volts",
        default,
        skip_serializing_if = "Option::is_none"
    )]
    pub read_at: Option<ElectricPotential>,
}

/// One phase of the day.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Phase {
    /// Stable id that duties refer to.
    pub id: String,
    /// The person's own name for it; the word catalog has one for the built-in ids.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// What the engine does.
    pub engine: EngineState,
    /// Clamp-meter total, if one was read.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub clamp: Option<ClampReading>,
}

impl Phase {
    /// A phase with the built-in name of its id.
    pub fn new(id: &str, engine: EngineState) -> Self {
        Self {
            id: id.to_owned(),
            name: None,
            engine,
            clamp: None,
        }
    }
}

/// The usual phases of a day at the track (common practice).
pub fn day_phases() -> Vec<Phase> {
    vec![
        Phase::new("pits", EngineState::Off),
        Phase::new("warm_up", EngineState::Idle),
        Phase::new("lanes", EngineState::IdleInGear),
        Phase::new("burnout", EngineState::Launch),
        Phase::new("stage", EngineState::Launch),
        Phase::new("pass", EngineState::Pass),
        Phase::new(
            "return_road",
            EngineState::At {
                speed: rpm(2_000.0),
            },
        ),
        Phase::new("cool_down", EngineState::Off),
    ]
}
