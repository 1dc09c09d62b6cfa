//! What a battery remembers, and the energy in it.

use super::Battery;
use crate::data::battery_memory::{EFFICIENT_TO_SOC, REFERENCE_C};

pub(super) const SECONDS_PER_HOUR: f64 = 3_600.0;

/// What a battery remembers.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct State {
    /// Charge, 0 empty to 1 full.
    pub soc: f64,
    /// Voltage over the RC pair, V: positive after charging, negative after giving.
    pub pair_v: f64,
    /// Temperature of the battery, degrees Celsius.
    pub celsius: f64,
}

impl State {
    /// Long at rest at this charge (0 to 1) and temperature (degrees Celsius).
    pub fn rested(soc: f64, celsius: f64) -> Self {
        Self {
            soc,
            pair_v: 0.0,
            celsius,
        }
    }
}

impl Battery {
    /// Energy in a state against an empty battery at rest, J: in charge at its
    /// temperature, and in the RC pair.
    pub fn stored_j(&self, state: &State) -> f64 {
        let warmth_v = self.rest_v_per_k * (state.celsius - REFERENCE_C);
        let area_v = self.rest_curve().area_v(state.soc) + warmth_v * state.soc;
        SECONDS_PER_HOUR * self.capacity_ah * area_v + self.pair_j(state)
    }

    /// Energy in the RC pair, J; none without resistance.
    pub(super) fn pair_j(&self, state: &State) -> f64 {
        let ohm = self.pair_ohm(state.celsius);
        if ohm > 0.0 {
            0.5 * self.pair_seconds / ohm * state.pair_v * state.pair_v
        } else {
            0.0
        }
    }

    pub(super) fn pair_ohm(&self, celsius: f64) -> f64 {
        self.pair_over_ohmic * self.ohmic_ohm(celsius)
    }

    /// Charge stored for charge put in, at a charge of 0 to 1; none once full.
    pub fn efficiency_at(&self, soc: f64) -> f64 {
        if soc >= 1.0 {
            return 0.0;
        }
        let over = ((soc - EFFICIENT_TO_SOC) / (1.0 - EFFICIENT_TO_SOC)).clamp(0.0, 1.0);
        self.efficiency + (self.efficiency_full - self.efficiency) * over
    }
}
