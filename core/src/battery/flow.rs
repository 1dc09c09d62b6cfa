//! What flows in a battery at one moment.

use super::state::SECONDS_PER_HOUR;
use super::{Battery, State};
use crate::data::battery_memory::RESISTANCE_FALL_PER_K;

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
        let pair_ohm = self.pair_ohm(state.celsius);
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
        SECONDS_PER_HOUR * self.capacity_ah * self.rest_v_per_k * state.soc
            + RESISTANCE_FALL_PER_K * self.pair_j(state)
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::battery::{Chemistry, Spec};
    use proptest::prelude::*;

    proptest! {
        /// Verification: what goes into the terminals is what is stored more, by a difference
        /// of two states, less what warming adds, and what is lost.
        #[test]
        fn power_in_is_stored_or_lost(at in 0..4usize, soc in 0.01..0.99f64, pair_v in -1.0..1.0f64,
            celsius in -10.0..60.0f64, amps in -300.0..150.0f64, k_per_s in -0.1..0.1f64) {
            let battery = Battery::new(&Spec::of(Chemistry::ALL[at])).unwrap();
            let state = State { soc, pair_v, celsius };
            let volts = battery.rest_v(soc, celsius) + pair_v + amps * battery.ohmic_ohm(celsius);
            let flow = battery.flow(&state, volts, amps);
            prop_assert!(flow.ohmic_w >= 0.0 && flow.pair_w >= 0.0 && flow.unstored_w >= 0.0);
            let after = |seconds: f64| battery.stored_j(&State {
                soc: soc + flow.soc_per_s * seconds,
                pair_v: pair_v + flow.pair_v_per_s * seconds,
                celsius: celsius + k_per_s * seconds,
            });
            let stored_w = (after(1e-3) - after(-1e-3)) / 2e-3;
            let warming_w = battery.warming_j_per_k(&state) * k_per_s;
            let off = volts * amps - (stored_w - warming_w + flow.heat_w());
            prop_assert!(off.abs() <= 1e-3 * (1.0 + (volts * amps).abs() + warming_w.abs()), "{}", off);
        }
    }

    #[test]
    fn charge_follows_its_efficiency_and_ends_when_full() {
        let battery = Battery::new(&Spec::of(Chemistry::Flooded)).unwrap();
        let per_hour = |soc, amps| {
            let flow = battery.flow(&State::rested(soc, 25.0), 14.0, amps);
            flow.soc_per_s * SECONDS_PER_HOUR * battery.capacity_ah
        };
        assert!((per_hour(0.5, -9.0) + 9.0).abs() < 1e-9);
        assert!((per_hour(0.5, 9.0) - 0.98 * 9.0).abs() < 1e-9);
        assert!((per_hour(0.9, 9.0) - 0.84 * 9.0).abs() < 1e-9);
        let full = battery.flow(&State::rested(1.0, 25.0), 14.0, 9.0);
        assert_eq!(full.soc_per_s, 0.0);
        assert!((full.heat_w() - 14.0 * 9.0).abs() < 1e-9);
    }
}
