//! How a battery changes over a step of time, and where the energy went.
//!
//! Within a step the current is constant, and everything else is exact: the RC pair by its
//! exponential, charge by the straight lines of its efficiency.

use super::Battery;
use crate::data::battery_memory::{EFFICIENT_TO_SOC, REFERENCE_C};

const SECONDS_PER_HOUR: f64 = 3_600.0;

/// Points and weights of Gauss's rule with three points on an interval from -1 to 1.
const GAUSS_3: [(f64, f64); 3] = [
    (-0.774_596_669_241_483_4, 5.0 / 9.0),
    (0.0, 8.0 / 9.0),
    (0.774_596_669_241_483_4, 5.0 / 9.0),
];

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

/// One step: the state after it, and its energy. `terminal_j = stored_j + loss_j -
/// overdrawn_j`; what is stored is a difference of two states, what is lost is worked out
/// on its own.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Step {
    /// After the step.
    pub state: State,
    /// Energy into the terminals, J.
    pub terminal_j: f64,
    /// Energy stored, in charge and in the RC pair, J.
    pub stored_j: f64,
    /// Heat in resistance, acceptance and charge that was not stored, J.
    pub loss_j: f64,
    /// Energy given after the battery was empty, J: zero unless the step was too long.
    pub overdrawn_j: f64,
}

/// Voltage while a starter turns.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dip {
    /// At the posts just after the starter takes its current, V.
    pub first_v: f64,
    /// At the posts when it lets go, V.
    pub last_v: f64,
}

impl Battery {
    /// Energy in a state against an empty battery at rest, J: in charge at its
    /// temperature, and in the RC pair.
    pub fn stored_j(&self, state: &State) -> f64 {
        let farad = self.pair_farad(self.pair_ohm(state.celsius));
        self.charge_j(state) + 0.5 * farad * state.pair_v * state.pair_v
    }

    fn charge_j(&self, state: &State) -> f64 {
        let warmth_v = self.rest_v_per_k * (state.celsius - REFERENCE_C);
        let area_v = self.rest_curve().area_v(state.soc) + warmth_v * state.soc;
        SECONDS_PER_HOUR * self.capacity_ah * area_v
    }

    fn pair_ohm(&self, celsius: f64) -> f64 {
        self.pair_over_ohmic * self.ohmic_ohm(celsius)
    }

    /// Capacitance of the RC pair with this resistance (ohm), F; none without resistance.
    fn pair_farad(&self, pair_ohm: f64) -> f64 {
        if pair_ohm > 0.0 {
            self.pair_seconds / pair_ohm
        } else {
            0.0
        }
    }

    /// Charge stored for charge put in, at a charge of 0 to 1.
    pub fn efficiency_at(&self, soc: f64) -> f64 {
        let over = ((soc - EFFICIENT_TO_SOC) / (1.0 - EFFICIENT_TO_SOC)).clamp(0.0, 1.0);
        self.efficiency + (self.efficiency_full - self.efficiency) * over
    }

    /// A step with this current (A, positive into the battery) for so many seconds, from a
    /// state whose terminals are at `volts` (V) at its start.
    ///
    /// Temperature stays; move it between steps.
    pub fn step(&self, state: &State, volts: f64, amps: f64, seconds: f64) -> Step {
        let pair_ohm = self.pair_ohm(state.celsius);
        let fade = (-seconds / self.pair_seconds).exp();
        let settled_v = amps * pair_ohm;
        let pair_v = settled_v + (state.pair_v - settled_v) * fade;

        let (soc, rest_seconds) = self.soc_after(state.soc, amps, seconds);
        let next = State {
            soc,
            pair_v,
            celsius: state.celsius,
        };

        let charge_j = self.charge_j(&next) - self.charge_j(state);
        // At an end of the range the rest of the step moves no charge.
        let beyond_j = self.rest_v(soc, state.celsius) * amps * rest_seconds;
        let overdrawn_j = (-beyond_j).max(0.0);
        let unstored_j = if amps > 0.0 {
            self.unstored_j(state, &next) + beyond_j
        } else {
            0.0
        };

        let faded_seconds = self.pair_seconds * (1.0 - fade);
        let offset_v = state.pair_v - settled_v;
        let pair_in_j = amps * (settled_v * seconds + offset_v * faded_seconds);
        let pair_heat_j = if pair_ohm > 0.0 {
            let squared = settled_v * settled_v * seconds
                + 2.0 * settled_v * offset_v * faded_seconds
                + offset_v * offset_v * 0.5 * faded_seconds * (1.0 + fade);
            squared / pair_ohm
        } else {
            0.0
        };
        let pair_stored_j =
            0.5 * self.pair_farad(pair_ohm) * (pair_v - state.pair_v) * (pair_v + state.pair_v);
        let over_v = volts - self.rest_v(state.soc, state.celsius) - state.pair_v;
        let resistive_j = over_v * amps * seconds;
        Step {
            terminal_j: charge_j + unstored_j - overdrawn_j + pair_in_j + resistive_j,
            stored_j: charge_j + pair_stored_j,
            loss_j: resistive_j + pair_heat_j + unstored_j,
            overdrawn_j,
            state: next,
        }
    }

    /// Energy at the rest voltage of the charge that went in and was not stored between two
    /// states, J.
    fn unstored_j(&self, from: &State, to: &State) -> f64 {
        let knee = State {
            soc: from.soc.max(EFFICIENT_TO_SOC).min(to.soc.max(from.soc)),
            ..*from
        };
        let low = if from.soc < EFFICIENT_TO_SOC {
            (self.efficiency.recip() - 1.0) * (self.charge_j(&knee) - self.charge_j(from))
        } else {
            0.0
        };
        let half = 0.5 * (to.soc - knee.soc);
        if half <= 0.0 {
            return low;
        }
        let high: f64 = GAUSS_3
            .iter()
            .map(|(point, weight)| {
                let soc = knee.soc + half * (1.0 + point);
                let part = self.efficiency_at(soc).recip() - 1.0;
                weight * part * self.rest_v(soc, from.celsius)
            })
            .sum();
        low + half * SECONDS_PER_HOUR * self.capacity_ah * high
    }

    /// Charge after a constant current, and the seconds at the end that could not move it.
    fn soc_after(&self, soc: f64, amps: f64, seconds: f64) -> (f64, f64) {
        let rate = amps / (SECONDS_PER_HOUR * self.capacity_ah);
        if rate <= 0.0 {
            let wanted = soc + rate * seconds;
            return if wanted < 0.0 {
                (0.0, seconds + soc.max(0.0) / rate)
            } else {
                (wanted, 0.0)
            };
        }
        if soc >= 1.0 {
            return (1.0, seconds);
        }
        let level = rate * self.efficiency;
        let to_knee = ((EFFICIENT_TO_SOC - soc) / level).max(0.0);
        if seconds <= to_knee {
            return (soc + level * seconds, 0.0);
        }
        let left = seconds - to_knee;
        let over = soc.max(EFFICIENT_TO_SOC) - EFFICIENT_TO_SOC;
        let fall = (self.efficiency - self.efficiency_full) / (1.0 - EFFICIENT_TO_SOC);
        let (over, full_after) = if fall.abs() < 1e-9 {
            let room = 1.0 - EFFICIENT_TO_SOC - over;
            (over + level * left, room / level)
        } else {
            let limit = self.efficiency / fall;
            (
                limit - (limit - over) * (-rate * fall * left).exp(),
                ((self.efficiency - fall * over) / self.efficiency_full).ln() / (rate * fall),
            )
        };
        if left >= full_after {
            (1.0, left - full_after)
        } else {
            ((EFFICIENT_TO_SOC + over).min(1.0), 0.0)
        }
    }

    /// Voltage while a starter takes this current (A) for so many seconds from this state.
    pub fn crank(&self, state: &State, starter_a: f64, seconds: f64) -> Dip {
        let amps = -starter_a.abs();
        let first_v = self.terminal(state).volts_at(amps);
        let after = self.step(state, first_v, amps, seconds).state;
        Dip {
            first_v,
            last_v: self.terminal(&after).volts_at(amps),
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::battery::{Chemistry, Spec};
    use proptest::prelude::*;

    fn battery(chemistry: Chemistry) -> Battery {
        Battery::new(&Spec::of(chemistry)).unwrap()
    }

    fn any_battery() -> impl Strategy<Value = Battery> {
        (0..4usize).prop_map(|at| battery(Chemistry::ALL[at]))
    }

    proptest! {
        /// Verification: terminal voltage times current, summed over small parts of the
        /// step, is what was stored and lost.
        #[test]
        fn energy_in_is_stored_or_lost(battery in any_battery(), soc in 0.0..=1.0f64, pair_v in -1.0..1.0f64,
            celsius in -10.0..60.0f64, amps in -300.0..150.0f64, seconds in 0.0..120.0f64) {
            let state = State { soc, pair_v, celsius };
            let over_v = amps * battery.ohmic_ohm(celsius);
            let volts = battery.rest_v(soc, celsius) + pair_v + over_v;
            let step = battery.step(&state, volts, amps, seconds);
            let off = step.terminal_j - (step.stored_j + step.loss_j - step.overdrawn_j);
            prop_assert!(off.abs() <= 1e-9 * (1.0 + step.terminal_j.abs() + step.loss_j));
            prop_assert!((0.0..=1.0).contains(&step.state.soc));
            prop_assert!(step.loss_j >= -1e-9);

            let parts = 2_000;
            let part_s = seconds / f64::from(parts);
            let mut summed_j = 0.0;
            let mut now = battery.step(&state, volts, amps, 0.5 * part_s).state;
            for _ in 0..parts {
                let volts = battery.rest_v(now.soc, celsius) + now.pair_v + over_v;
                summed_j += volts * amps * part_s;
                now = battery.step(&now, volts, amps, part_s).state;
            }
            let through = volts.abs() * amps.abs() * seconds;
            prop_assert!((summed_j - step.terminal_j).abs() <= 1e-5 * through + 1e-6, "{summed_j} {}", step.terminal_j);
        }

        #[test]
        fn two_halves_are_one_step(battery in any_battery(), soc in 0.0..=1.0f64, pair_v in -1.0..1.0f64,
            amps in -300.0..150.0f64, seconds in 0.0..600.0f64) {
            let state = State { soc, pair_v, celsius: 25.0 };
            let whole = battery.step(&state, 12.0, amps, seconds).state;
            let half = battery.step(&state, 12.0, amps, 0.5 * seconds).state;
            let halves = battery.step(&half, 12.0, amps, 0.5 * seconds).state;
            prop_assert!((whole.soc - halves.soc).abs() < 1e-12, "{} {}", whole.soc, halves.soc);
            prop_assert!((whole.pair_v - halves.pair_v).abs() < 1e-12);
        }
    }

    #[test]
    fn charge_follows_its_efficiency() {
        let battery = battery(Chemistry::Flooded);
        let per_hour = 1.0 / battery.capacity_ah;
        let after = |soc, amps, seconds| {
            battery
                .step(&State::rested(soc, 25.0), 14.0, amps, seconds)
                .state
                .soc
        };
        assert!((after(0.5, -9.0, 3_600.0) - (0.5 - 9.0 * per_hour)).abs() < 1e-12);
        assert!((after(0.5, 9.0, 3_600.0) - (0.5 + 0.98 * 9.0 * per_hour)).abs() < 1e-12);
        // From 80 % to full by small steps of the differential equation itself.
        let (mut soc, mut seconds) = (0.8, 0);
        while soc < 0.99 {
            soc += battery.efficiency_at(soc) * 9.0 * per_hour / 3_600.0;
            seconds += 1;
        }
        assert!((after(0.8, 9.0, f64::from(seconds)) - soc).abs() < 1e-5);
    }

    #[test]
    fn nothing_goes_over_full_or_under_empty() {
        let battery = battery(Chemistry::Agm);
        let over = battery.step(&State::rested(0.95, 25.0), 14.6, 20.0, 36_000.0);
        assert_eq!(over.state.soc, 1.0);
        assert!((over.terminal_j - over.stored_j - over.loss_j).abs() < 1e-6 * over.terminal_j);
        let under = battery.step(&State::rested(0.05, 25.0), 11.0, -20.0, 36_000.0);
        assert_eq!(under.state.soc, 0.0);
        assert!(under.overdrawn_j > 0.0);
        let off = under.terminal_j - (under.stored_j + under.loss_j - under.overdrawn_j);
        assert!(off.abs() < 1e-6 * under.terminal_j.abs());
    }

    #[test]
    fn a_starter_pulls_the_voltage_down_and_further_while_it_turns() {
        let battery = battery(Chemistry::Agm);
        let dip = battery.crank(&State::rested(0.9, 25.0), 250.0, 2.0);
        assert!(dip.last_v < dip.first_v && dip.first_v < 12.0, "{dip:?}");
    }
}
