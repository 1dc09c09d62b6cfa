//! What flows in a battery at one moment.

use super::{Battery, State};
use crate::data::battery_memory::RESISTANCE_FALL_PER_K;

const SECONDS_PER_HOUR: f64 = 3_600.0;

/// Rates of change and powers at one moment. Into the terminals goes what is stored, less what
/// warming adds to it, and what is lost: `V I = d(stored)/dt - warming + ohmic + pair +
/// unstored`.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Flow {
    /// Change of charge, 1/s.
    pub soc_per_s: f64,
    /// Change of the voltage over the RC pair, V/s.
    pub pair_v_per_s: f64,
    /// Heat in the ohmic resistance and the acceptance, W.
    pub ohmic_w: f64,
    /// Heat in the RC pair, W.
    pub pair_w: f64,
    /// Power of the charge that goes in and is not stored, W.
    pub unstored_w: f64,
}

impl Flow {
    /// All of it that becomes heat, W.
    pub fn heat_w(&self) -> f64 {
        self.ohmic_w + self.pair_w + self.unstored_w
    }
}

impl Battery {
    /// What flows in a state with this voltage at the terminals (V) and this current into it
    /// (A).
    pub fn flow(&self, state: &State, volts: f64, amps: f64) -> Flow {
        let pair_ohm = self.pair_over_ohmic * self.ohmic_ohm(state.celsius);
        let rest_v = self.rest_v(state.soc, state.celsius);
        let stored = if amps > 0.0 {
            self.efficiency_at(state.soc)
        } else {
            1.0
        };
        let (pair_v_per_s, pair_w) = if pair_ohm > 0.0 {
            (
                (amps * pair_ohm - state.pair_v) / self.pair_seconds,
                state.pair_v * state.pair_v / pair_ohm,
            )
        } else {
            (0.0, 0.0)
        };
        Flow {
            soc_per_s: stored * amps / (SECONDS_PER_HOUR * self.capacity_ah),
            pair_v_per_s,
            ohmic_w: (volts - rest_v - state.pair_v) * amps,
            pair_w,
            unstored_w: (1.0 - stored) * rest_v * amps,
        }
    }

    /// What a kelvin of warming adds to what is stored, J/K: the rest voltage rises with
    /// temperature, and the pair's resistance falls while its time stays.
    pub fn warming_j_per_k(&self, state: &State) -> f64 {
        let pair_ohm = self.pair_over_ohmic * self.ohmic_ohm(state.celsius);
        let pair_j = if pair_ohm > 0.0 {
            0.5 * self.pair_seconds / pair_ohm * state.pair_v * state.pair_v
        } else {
            0.0
        };
        SECONDS_PER_HOUR * self.capacity_ah * self.rest_v_per_k * state.soc
            + RESISTANCE_FALL_PER_K * pair_j
    }
}
