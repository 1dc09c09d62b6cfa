//! All loads of one moment, added up so that their sum costs one square root.

use crate::loads::LoadKind;

/// The sum of loads over voltage: the same as [`crate::loads::current_a`] one by one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Loads {
    /// Sum of `I/V`, S.
    resistive_s: f64,
    /// Sum of `I/V^1.5`, A/V^1.5.
    fan: f64,
    /// Sum of `I`, A.
    constant_a: f64,
    /// Sum of `I V`, W.
    power_w: f64,
    fading_v: f64,
    /// What all of them are together under the fading voltage, S.
    faded_s: f64,
}

impl Loads {
    /// No load yet. Under the fading voltage (V) every load becomes a resistor through the
    /// point it had there; zero for none.
    pub fn new(fading_v: f64) -> Self {
        Self {
            resistive_s: 0.0,
            fan: 0.0,
            constant_a: 0.0,
            power_w: 0.0,
            fading_v: if fading_v.is_finite() {
                fading_v.max(0.0)
            } else {
                0.0
            },
            faded_s: 0.0,
        }
    }

    /// Adds a load of `rated_a` at `rated_v`. One that is negative, or not finite, is none.
    pub fn add(&mut self, rated_a: f64, rated_v: f64, kind: LoadKind) {
        let counts = rated_a.is_finite() && rated_a > 0.0 && rated_v.is_finite() && rated_v > 0.0;
        if !counts {
            return;
        }
        match kind {
            LoadKind::Resistive => self.resistive_s += rated_a / rated_v,
            LoadKind::Fan => self.fan += rated_a / (rated_v * rated_v.sqrt()),
            LoadKind::Pump => self.constant_a += rated_a,
            LoadKind::Electronics => self.power_w += rated_a * rated_v,
        }
        if self.fading_v > 0.0 {
            self.faded_s = self.full_a(self.fading_v) / self.fading_v;
        }
    }

    /// Adds a part (a fraction) of other loads, which fade as these do.
    pub fn add_part(&mut self, other: &Self, part: f64) {
        self.resistive_s += part * other.resistive_s;
        self.fan += part * other.fan;
        self.constant_a += part * other.constant_a;
        self.power_w += part * other.power_w;
        if self.fading_v > 0.0 {
            self.faded_s = self.full_a(self.fading_v) / self.fading_v;
        }
    }

    fn full_a(&self, volts: f64) -> f64 {
        volts * (self.resistive_s + self.fan * volts.sqrt())
            + self.constant_a
            + self.power_w / volts
    }

    /// Current at a voltage (V), A; none at zero and below.
    #[inline]
    pub fn current_a(&self, volts: f64) -> f64 {
        if volts <= 0.0 {
            0.0
        } else if volts < self.fading_v {
            self.faded_s * volts
        } else {
            self.full_a(volts)
        }
    }

    /// Slope of [`current_a`](Self::current_a) at a voltage (V), S.
    #[inline]
    pub fn slope_s(&self, volts: f64) -> f64 {
        if volts <= 0.0 {
            0.0
        } else if volts < self.fading_v {
            self.faded_s
        } else {
            self.resistive_s + 1.5 * self.fan * volts.sqrt() - self.power_w / (volts * volts)
        }
    }

    /// How steeply their current can fall with voltage from `volts` (V) up, S: the slope of
    /// the constant power alone, which is the only part that falls.
    pub(super) fn steepest_fall_s(&self, volts: f64) -> f64 {
        if self.power_w == 0.0 {
            return 0.0;
        }
        let from_v = volts.max(self.fading_v);
        if from_v > 0.0 {
            self.power_w / (from_v * from_v)
        } else {
            f64::INFINITY
        }
    }
}

impl Default for Loads {
    /// No load, without fading.
    fn default() -> Self {
        Self::new(0.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn what_is_no_load_adds_none() {
        let mut loads = Loads::new(9.0);
        for (rated_a, rated_v) in [
            (-5.0, 13.5),
            (0.0, 13.5),
            (5.0, 0.0),
            (5.0, -1.0),
            (f64::NAN, 13.5),
            (f64::INFINITY, 13.5),
            (5.0, f64::NAN),
            (5.0, f64::INFINITY),
        ] {
            for kind in LoadKind::ALL {
                loads.add(rated_a, rated_v, kind);
            }
        }
        assert_eq!(loads, Loads::new(9.0));
    }

    proptest! {
        #[test]
        fn the_sum_is_that_of_the_list(
            list in prop::collection::vec((0.0..40.0f64, 10.0..16.0f64, 0..4usize), 0..8),
            volts in 0.0..18.0f64, fading_v in 5.0..11.0f64,
        ) {
            let mut loads = Loads::new(fading_v);
            let mut one_by_one = 0.0;
            for (rated_a, rated_v, kind) in list {
                let kind = LoadKind::ALL[kind];
                loads.add(rated_a, rated_v, kind);
                one_by_one += crate::loads::current_a(rated_a, rated_v, kind, volts, fading_v);
            }
            prop_assert!((loads.current_a(volts) - one_by_one).abs() < 1e-9);
        }

        /// Parts of what is there already: the same as all of them in one list.
        #[test]
        fn parts_fade_as_the_rest_does(
            rated in prop::collection::vec(0.5..40.0f64, 4), part in 0.0..1.0f64, volts in 0.0..18.0f64,
            fading_v in prop::sample::select(vec![0.0, 6.0, 10.5]),
        ) {
            let (mut loads, mut others) = (Loads::new(fading_v), Loads::new(fading_v));
            let mut list = Loads::new(fading_v);
            for (rated_a, kind) in rated.into_iter().zip(LoadKind::ALL) {
                loads.add(rated_a, 13.5, kind);
                others.add(2.0 * rated_a, 12.8, kind);
                list.add(rated_a, 13.5, kind);
                list.add(2.0 * rated_a * part, 12.8, kind);
            }
            loads.add_part(&others, part);
            prop_assert!((loads.current_a(volts) - list.current_a(volts)).abs() < 1e-9);
            prop_assert!((loads.slope_s(volts) - list.slope_s(volts)).abs() < 1e-9);
        }

        #[test]
        fn no_load_falls_more_steeply_than_said(
            rated in prop::collection::vec(0.0..40.0f64, 4), volts in 1.0..18.0f64, fading_v in 0.0..11.0f64,
        ) {
            let mut loads = Loads::new(fading_v);
            for (rated_a, kind) in rated.into_iter().zip(LoadKind::ALL) {
                loads.add(rated_a, 13.5, kind);
            }
            let step = 1e-3;
            let fall = (loads.current_a(volts) - loads.current_a(volts + step)) / step;
            if (fading_v - volts).abs() > 2.0 * step {
                prop_assert!((fall + loads.slope_s(volts + 0.5 * step)).abs() < 1e-3 * (1.0 + fall.abs()));
            }
            prop_assert!(fall <= loads.steepest_fall_s(volts) * 1.000_001 + 1e-9);
        }
    }
}
