//! What a channel may be to the diagnosis.

use crate::log::unit::Unit;
use serde::{Deserialize, Serialize};

/// A quantity that the diagnosis uses.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Role {
    /// Engine speed. Nothing can be said without it.
    EngineSpeed,
    /// Voltage of the car's supply. Nothing can be said without it.
    Voltage,
    /// Current out of the alternator.
    AlternatorCurrent,
    /// Current into the battery, negative out of it.
    BatteryCurrent,
    /// Throttle.
    Throttle,
    /// Speed of the car.
    RoadSpeed,
    /// Speed of the alternator.
    AlternatorSpeed,
    /// Temperature of the engine or the air.
    Temperature,
}

impl Role {
    /// All of them, those that are needed first.
    pub const ALL: [Self; 8] = [
        Self::EngineSpeed,
        Self::Voltage,
        Self::AlternatorCurrent,
        Self::BatteryCurrent,
        Self::Throttle,
        Self::RoadSpeed,
        Self::AlternatorSpeed,
        Self::Temperature,
    ];

    /// Whether there is no recording without it.
    #[must_use]
    pub const fn is_needed(self) -> bool {
        matches!(self, Self::EngineSpeed | Self::Voltage)
    }

    /// The units it may be recorded in, the usual first.
    #[must_use]
    pub const fn units(self) -> &'static [Unit] {
        match self {
            Self::EngineSpeed | Self::AlternatorSpeed => &[
                Unit::Rpm,
                Unit::KiloRpm,
                Unit::RevPerSecond,
                Unit::RadianPerSecond,
            ],
            Self::Voltage => &[Unit::Volt, Unit::Millivolt, Unit::Decivolt, Unit::Centivolt],
            Self::AlternatorCurrent | Self::BatteryCurrent => &[Unit::Ampere, Unit::Milliampere],
            Self::Throttle => &[Unit::Percent, Unit::Fraction],
            Self::RoadSpeed => &[
                Unit::KilometerPerHour,
                Unit::MilePerHour,
                Unit::MeterPerSecond,
                Unit::Knot,
                Unit::FootPerSecond,
            ],
            Self::Temperature => &[Unit::Celsius, Unit::Fahrenheit, Unit::Kelvin],
        }
    }
}
