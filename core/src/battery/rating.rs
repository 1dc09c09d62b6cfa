//! Resistance from a cold-crank rating, or as measured.

use serde::{Deserialize, Serialize};

use crate::data::battery_memory::{RATING_DROP_V, REFERENCE_C, RESISTANCE_FALL_PER_K};
use crate::data::cold_crank;
use crate::data::memory::Default as Range;

/// The standard behind a cold-crank figure.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum CrankStandard {
    /// SAE J537 (CCA): 30 s to 7.2 V at -18 degrees Celsius.
    Sae,
    /// EN 50342-1: 10 s to 7.5 V at -18 degrees Celsius.
    En,
    /// DIN 43539: 30 s to 9.0 V at -18 degrees Celsius.
    Din,
    /// IEC 60095-1, old form: 60 s to 8.4 V at -18 degrees Celsius.
    Iec,
    /// CA or MCA: 30 s to 7.2 V at 0 degrees Celsius.
    Freezing,
    /// Pulse of five seconds, warm.
    Pulse,
    /// Not said.
    #[default]
    Unknown,
}

impl CrankStandard {
    /// All of them, for pickers.
    pub const ALL: [Self; 7] = [
        Self::Sae,
        Self::En,
        Self::Din,
        Self::Iec,
        Self::Freezing,
        Self::Pulse,
        Self::Unknown,
    ];

    /// SAE amperes for one ampere of this standard, with its range (from memory; SAE is
    /// itself).
    pub const fn sae_ratio(self) -> Range {
        match self {
            Self::Sae => Range {
                value: 1.0,
                lowest: 1.0,
                highest: 1.0,
            },
            Self::En => cold_crank::SAE_FROM_EN,
            Self::Din => cold_crank::SAE_FROM_DIN,
            Self::Iec => cold_crank::SAE_FROM_IEC,
            Self::Freezing => cold_crank::SAE_FROM_FREEZING,
            Self::Pulse => cold_crank::SAE_FROM_PULSE,
            Self::Unknown => cold_crank::SAE_FROM_UNKNOWN,
        }
    }

    /// A rating in SAE amperes, A.
    pub fn sae_a(self, rated_a: f64) -> f64 {
        rated_a * self.sae_ratio().value
    }
}

/// What is known about the resistance.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Resistance {
    /// A cold-crank rating of the new battery.
    ColdCrank {
        /// As printed on the case, A.
        rated_a: f64,
        /// By which standard.
        standard: CrankStandard,
    },
    /// Measured on this battery as it is.
    Measured {
        /// Ohm.
        ohm: f64,
        /// Temperature of the battery then, degrees Celsius.
        celsius: f64,
    },
    /// Nothing: typical of its capacity (from memory).
    Typical,
}

/// Factor on resistance at a temperature (degrees Celsius) against 25 degrees: cold
/// batteries resist more.
pub(super) fn temperature_factor(celsius: f64) -> f64 {
    (RESISTANCE_FALL_PER_K * (REFERENCE_C - celsius)).exp()
}

/// Ohmic resistance at 25 degrees Celsius of a new battery with this SAE rating (A) and
/// nominal voltage (V), ohm.
pub(super) fn rated_ohm(sae_a: f64, nominal_v: f64) -> f64 {
    RATING_DROP_V * nominal_v / 12.0 / sae_a
}
