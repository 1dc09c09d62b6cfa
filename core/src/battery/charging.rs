//! Which set-point suits which battery.

use super::{Battery, Chemistry};
use crate::data::absorb_voltage;
use crate::data::battery_memory::REFERENCE_C;

/// What a set-point does to a battery in the long run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ChargeFit {
    /// It is under what the battery rests at when empty: no charging at all. A 12 V
    /// set-point on a 16 V battery.
    CannotCharge,
    /// Charging ends where the battery rests at the set-point.
    OnlyTo {
        /// Charge, 0 to 1.
        soc: f64,
    },
    /// It fills the battery slowly or not quite: under the band that charges it.
    UnderBand,
    /// Within the band.
    Suits,
    /// Over the band: it gasses, loses water, ages.
    OverBand,
    /// Over the lithium ceiling: the battery's management may open the circuit while the
    /// alternator is charging, and the load dump can destroy electronics.
    ManagementMayOpen,
}

/// The band of voltages that charge a battery full, V.
pub(super) fn absorb_band_v(chemistry: Chemistry, cells: u8) -> (f64, f64) {
    let (lowest, highest) = match chemistry {
        Chemistry::Flooded => absorb_voltage::FLOODED_V,
        Chemistry::Agm | Chemistry::Gel => absorb_voltage::AGM_V,
        Chemistry::LithiumIronPhosphate => absorb_voltage::LIFEPO4_V,
    };
    let ratio = f64::from(cells) / chemistry.table_cells();
    (lowest * ratio, highest * ratio)
}

impl Battery {
    /// The band of voltages that charge it full, V.
    pub fn absorb_band_v(&self) -> (f64, f64) {
        absorb_band_v(self.chemistry(), self.cells())
    }

    /// What a set-point (V) does to it in the long run.
    pub fn charge_fit(&self, set_point_v: f64) -> ChargeFit {
        let (lowest, highest) = self.absorb_band_v();
        if set_point_v <= self.rest_v(0.0, REFERENCE_C) {
            ChargeFit::CannotCharge
        } else if set_point_v < self.rest_v(1.0, REFERENCE_C) {
            ChargeFit::OnlyTo {
                soc: self.soc_at_rest(set_point_v, REFERENCE_C),
            }
        } else if set_point_v < lowest {
            ChargeFit::UnderBand
        } else if set_point_v <= highest {
            ChargeFit::Suits
        } else if self.chemistry().is_lithium() {
            ChargeFit::ManagementMayOpen
        } else {
            ChargeFit::OverBand
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::battery::Spec;

    fn fit(chemistry: Chemistry, cells: u8, set_point_v: f64) -> ChargeFit {
        Battery::new(&Spec {
            cells,
            ..Spec::of(chemistry)
        })
        .unwrap()
        .charge_fit(set_point_v)
    }

    #[test]
    fn a_twelve_volt_set_point_cannot_charge_sixteen_volts() {
        for chemistry in [Chemistry::Flooded, Chemistry::Agm, Chemistry::Gel] {
            assert_eq!(fit(chemistry, 8, 14.4), ChargeFit::CannotCharge);
        }
        assert_eq!(fit(Chemistry::Flooded, 8, 18.8), ChargeFit::Suits);
    }

    #[test]
    fn set_points_are_told_apart() {
        let flooded = |volts| fit(Chemistry::Flooded, 6, volts);
        assert!(matches!(flooded(12.5), ChargeFit::OnlyTo { soc } if soc > 0.75 && soc < 0.9));
        assert_eq!(flooded(13.2), ChargeFit::UnderBand);
        assert_eq!(flooded(14.2), ChargeFit::Suits);
        assert_eq!(flooded(15.2), ChargeFit::OverBand);
        assert_eq!(fit(Chemistry::Agm, 6, 14.2), ChargeFit::UnderBand);
        let lithium = |volts| fit(Chemistry::LithiumIronPhosphate, 4, volts);
        assert_eq!(lithium(14.4), ChargeFit::Suits);
        assert_eq!(lithium(14.8), ChargeFit::ManagementMayOpen);
    }
}
