//! What a battery does at a voltage.

/// What limits a charging current.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Acceptance {
    /// Greatest current at the absorb voltage, A; zero when full, infinite for no limit.
    pub most_a: f64,
    /// Voltage at which the limit is whole, V.
    pub absorb_v: f64,
}

/// A battery frozen in one state: current over voltage.
///
/// `u = (V - E - V1)/R0`. Giving (`u < 0`): `I = u`, less and less under 5 % charge.
/// Taking: `I = u/(1 + u/I_max)`, `I_max = most (V - E)/(V_abs - E)` held between zero and
/// `most`. Continuous, never falling, zero when full.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Terminal {
    rest_v: f64,
    pair_v: f64,
    ohmic_s: f64,
    /// Conductance while giving, S.
    giving_s: f64,
    most_a: f64,
    /// Part of the limit that a volt over rest opens, 1/V.
    opening_per_v: f64,
}

impl Terminal {
    /// Rest voltage (V), voltage over the RC pair (V, positive after charging), ohmic
    /// resistance (ohm), the part of its conductance that is left to give (0 when empty,
    /// 1 over 5 % charge), and what limits charging.
    pub fn new(
        rest_v: f64,
        pair_v: f64,
        ohmic_ohm: f64,
        giving: f64,
        acceptance: Acceptance,
    ) -> Self {
        let ohmic_s = ohmic_ohm.recip();
        Self {
            rest_v,
            pair_v,
            ohmic_s,
            giving_s: ohmic_s * giving,
            most_a: acceptance.most_a,
            // An absorb voltage at or under rest opens at once.
            opening_per_v: (acceptance.absorb_v - rest_v).max(1e-3).recip(),
        }
    }

    /// A plain source: rest voltage (V) behind a resistance (ohm), charging without limit.
    pub fn plain(rest_v: f64, ohm: f64) -> Self {
        let acceptance = Acceptance {
            most_a: f64::INFINITY,
            absorb_v: f64::INFINITY,
        };
        Self::new(rest_v, 0.0, ohm, 1.0, acceptance)
    }

    /// Rest voltage, V.
    pub fn rest_v(&self) -> f64 {
        self.rest_v
    }

    /// Voltage at which it neither gives nor takes, V.
    pub fn open_v(&self) -> f64 {
        self.rest_v + self.pair_v
    }

    /// Conductance while giving, S.
    pub fn giving_s(&self) -> f64 {
        self.giving_s
    }

    /// Current into the battery at a voltage (V), A; negative when it gives.
    #[inline]
    pub fn current_a(&self, volts: f64) -> f64 {
        let over = volts - self.open_v();
        if over <= 0.0 {
            return over * self.giving_s;
        }
        let driven = over * self.ohmic_s;
        if self.most_a == f64::INFINITY {
            return driven;
        }
        let limit = self.most_a * ((volts - self.rest_v) * self.opening_per_v).clamp(0.0, 1.0);
        if limit > 0.0 {
            driven * limit / (driven + limit)
        } else {
            0.0
        }
    }

    /// Slope of [`current_a`](Self::current_a) at a voltage (V), S.
    #[inline]
    pub fn slope_s(&self, volts: f64) -> f64 {
        let over = volts - self.open_v();
        if over <= 0.0 {
            return self.giving_s;
        }
        if self.most_a == f64::INFINITY {
            return self.ohmic_s;
        }
        let opened = (volts - self.rest_v) * self.opening_per_v;
        if opened <= 0.0 || self.most_a == 0.0 {
            return 0.0;
        }
        let driven = over * self.ohmic_s;
        let limit = self.most_a * opened.min(1.0);
        let limit_slope = if opened < 1.0 {
            self.most_a * self.opening_per_v
        } else {
            0.0
        };
        // Of a harmonic sum: each part's slope by the square of the other's share.
        let sum = driven + limit;
        let (by_limit, by_ohm) = (limit / sum, driven / sum);
        self.ohmic_s * by_limit * by_limit + limit_slope * by_ohm * by_ohm
    }

    /// Voltage at which this current (A, positive into the battery) flows, as far as the
    /// ohmic resistance goes; an empty battery that is to give gives at minus infinity.
    pub fn volts_at(&self, amps: f64) -> f64 {
        let conductance = if amps < 0.0 {
            self.giving_s
        } else {
            self.ohmic_s
        };
        if amps == 0.0 {
            self.open_v()
        } else {
            self.open_v() + amps / conductance
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn any_terminal() -> impl Strategy<Value = Terminal> {
        (
            9.0..18.0f64,
            -2.0..2.0f64,
            1e-3..0.2f64,
            0.0..=1.0f64,
            prop_oneof![Just(0.0), 0.0..200.0f64, Just(f64::INFINITY)],
            8.0..20.0f64,
        )
            .prop_map(|(rest_v, pair_v, ohm, giving, most_a, absorb_v)| {
                Terminal::new(rest_v, pair_v, ohm, giving, Acceptance { most_a, absorb_v })
            })
    }

    proptest! {
        /// Verification: acceptance is continuous and never falls; its slope is bounded by
        /// the ohmic conductance and the opening of the limit.
        #[test]
        fn current_is_continuous_and_rises(terminal in any_terminal(), volts in 0.0..25.0f64,
            step in 1e-9..0.01f64) {
            let (low, high) = (terminal.current_a(volts), terminal.current_a(volts + step));
            prop_assert!(high >= low - 1e-12);
            let opening = if terminal.most_a.is_finite() { terminal.most_a * terminal.opening_per_v } else { 0.0 };
            prop_assert!(high - low <= (terminal.ohmic_s + opening) * step * 1.000_001 + 1e-12);
        }

        #[test]
        fn slope_is_that_of_the_current(terminal in any_terminal(), volts in 0.0..25.0f64) {
            let step = 1e-6;
            let (low, high) = (terminal.current_a(volts - step), terminal.current_a(volts + step));
            let slope = (high - low) / (2.0 * step);
            let (before, after) = (terminal.slope_s(volts - step), terminal.slope_s(volts + step));
            // At a kink it lies between the slopes of the two sides.
            let slack = 1e-3 * (1.0 + slope.abs());
            prop_assert!(before.min(after) - slack <= slope && slope <= before.max(after) + slack);
        }

        #[test]
        fn charging_stays_under_its_limit_and_under_ohm(terminal in any_terminal(), volts in 0.0..25.0f64) {
            let amps = terminal.current_a(volts);
            prop_assert!(amps <= terminal.most_a);
            prop_assert!(amps <= ((volts - terminal.open_v()) * terminal.ohmic_s).max(0.0));
            if volts > terminal.open_v() { prop_assert!(amps >= 0.0); }
        }
    }

    #[test]
    fn a_full_battery_takes_nothing_and_an_empty_one_gives_nothing() {
        let none = Acceptance {
            most_a: 0.0,
            absorb_v: 14.4,
        };
        let terminal = Terminal::new(12.65, 0.0, 0.005, 0.0, none);
        assert_eq!(terminal.current_a(14.4), 0.0);
        assert_eq!(terminal.current_a(9.0), 0.0);
    }

    #[test]
    fn at_the_absorb_voltage_the_limit_is_the_harmonic_mean_with_ohm() {
        let acceptance = Acceptance {
            most_a: 25.0,
            absorb_v: 14.4,
        };
        let terminal = Terminal::new(12.4, 0.0, 0.02, 1.0, acceptance);
        let wanted = 100.0 / (1.0 + 100.0 / 25.0);
        assert!((terminal.current_a(14.4) - wanted).abs() < 1e-12);
        assert!((terminal.volts_at(-50.0) - 11.4).abs() < 1e-12);
        assert_eq!(terminal.volts_at(0.0), 12.4);
    }
}
