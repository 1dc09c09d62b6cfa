//! The battery as numbers.

use std::sync::Arc;

use super::rating::{rated_ohm, temperature_factor};
use super::{Acceptance, Chemistry, Resistance, RestCurve, State, Terminal};
use crate::data::battery_memory as memory;
use crate::data::battery_resistance::{ACCEPTABLE_TO_OHM, EXCELLENT_BELOW_OHM};
use crate::interpolate::CurveError;

/// Why a description is no battery.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum BatteryError {
    /// A cell count that this chemistry is not sold in.
    #[error("found {found} cells, need one of {allowed:?}")]
    Cells {
        /// The count found.
        found: u8,
        /// The counts that are.
        allowed: &'static [u8],
    },
    /// A capacity outside 1 to 1,000 Ah.
    #[error("found {found} Ah, need 1 to 1,000 Ah")]
    Capacity {
        /// The capacity found, Ah.
        found: f64,
    },
    /// A cold-crank rating outside 10 to 10,000 A.
    #[error("found {found} A, need a cold-crank rating of 10 to 10,000 A")]
    ColdCrank {
        /// The rating found, A.
        found: f64,
    },
    /// A resistance outside 0.1 mOhm to 1 Ohm, or its temperature outside -60 to 100 degrees.
    #[error("found {ohm} ohm at {celsius} degC, need 0.0001 to 1 ohm at -60 to 100 degC")]
    Resistance {
        /// The resistance found, ohm.
        ohm: f64,
        /// The temperature found, degrees Celsius.
        celsius: f64,
    },
    /// A health outside 0.1 to 1.
    #[error("found a health of {found}, need 0.1 to 1")]
    Health {
        /// The health found.
        found: f64,
    },
    /// A charge limit outside 0.1 to 10,000 A.
    #[error("found a charge limit of {found} A, need 0.1 to 10,000 A")]
    ChargeLimit {
        /// The limit found, A.
        found: f64,
    },
    /// The published rest voltages are no curve.
    #[error(transparent)]
    Curve(#[from] CurveError),
}

/// What a person knows about a battery.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spec {
    /// What it is made of.
    pub chemistry: Chemistry,
    /// Cells in series.
    pub cells: u8,
    /// Capacity when new, Ah (20 h for lead-acid).
    pub capacity_ah: f64,
    /// What is known about its resistance.
    pub resistance: Resistance,
    /// Capacity left over capacity when new; a rated resistance grows by its inverse.
    pub health: f64,
    /// The maker's limit on charging current, A; used for lithium.
    pub charge_limit_a: Option<f64>,
}

impl Spec {
    /// A typical battery of this chemistry (from memory).
    pub fn of(chemistry: Chemistry) -> Self {
        Self {
            chemistry,
            cells: chemistry.cells()[0],
            capacity_ah: memory::CAPACITY_AH.value,
            resistance: Resistance::Typical,
            health: memory::HEALTH.value,
            charge_limit_a: None,
        }
    }
}

/// What a measured resistance says about a battery.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Condition {
    /// Under 5 mOhm on 12 V.
    Excellent,
    /// 5 to 10 mOhm on 12 V.
    Acceptable,
    /// More.
    Poor,
}

/// A battery, every number resolved. The fields that a spread moves can be set one by one.
#[derive(Clone, Debug)]
pub struct Battery {
    chemistry: Chemistry,
    cells: u8,
    rest: Arc<RestCurve>,
    /// Capacity as it is now, Ah.
    pub capacity_ah: f64,
    /// Ohmic resistance at 25 degrees Celsius, ohm.
    pub ohmic_25_ohm: f64,
    /// Resistance of the RC pair over the ohmic one.
    pub pair_over_ohmic: f64,
    /// Time constant of the RC pair, s.
    pub pair_seconds: f64,
    /// Rest voltage over temperature, V/K, whole battery.
    pub rest_v_per_k: f64,
    /// Greatest charging current, A: lithium's limit; infinite for lead-acid.
    pub charge_limit_a: f64,
    /// Charging current that each missing Ah allows, 1/h; infinite lifts the limit.
    pub acceptance_per_h: f64,
    /// Voltage at which acceptance is whole, V.
    pub absorb_v: f64,
    /// Charge stored for charge put in, up to 80 %.
    pub efficiency: f64,
    /// Charge stored for charge put in, at full; between the two it falls in a straight line.
    pub efficiency_full: f64,
}

impl Battery {
    /// Resolves a description: what it does not say is typical (from memory).
    ///
    /// # Errors
    /// [`BatteryError`] names the first number that cannot be.
    pub fn new(spec: &Spec) -> Result<Self, BatteryError> {
        let &Spec {
            chemistry,
            cells,
            capacity_ah: new_ah,
            resistance,
            health,
            charge_limit_a,
        } = spec;
        let allowed = chemistry.cells();
        if !allowed.contains(&cells) {
            return Err(BatteryError::Cells {
                found: cells,
                allowed,
            });
        }
        if !(1.0..=1_000.0).contains(&new_ah) {
            return Err(BatteryError::Capacity { found: new_ah });
        }
        if !(0.1..=1.0).contains(&health) {
            return Err(BatteryError::Health { found: health });
        }
        let nominal_v = nominal_v(chemistry, cells);
        let aged = |sae_a: f64| rated_ohm(sae_a, nominal_v) / health;
        let ohmic_25_ohm = match resistance {
            Resistance::ColdCrank { rated_a, standard } => {
                if !(10.0..=10_000.0).contains(&rated_a) {
                    return Err(BatteryError::ColdCrank { found: rated_a });
                }
                aged(standard.sae_a(rated_a))
            }
            Resistance::Measured { ohm, celsius } => {
                if !(1e-4..=1.0).contains(&ohm) || !(-60.0..=100.0).contains(&celsius) {
                    return Err(BatteryError::Resistance { ohm, celsius });
                }
                ohm / temperature_factor(celsius)
            }
            Resistance::Typical => aged(new_ah * crank_per_ah(chemistry)),
        };
        if let Some(found) = charge_limit_a
            && !(0.1..=10_000.0).contains(&found)
        {
            return Err(BatteryError::ChargeLimit { found });
        }
        let (charge_limit_a, acceptance_per_h) = match chemistry {
            Chemistry::Flooded => (f64::INFINITY, memory::FLOODED_ACCEPTANCE_PER_H),
            Chemistry::Agm | Chemistry::Gel => (f64::INFINITY, memory::AGM_ACCEPTANCE_PER_H),
            Chemistry::LithiumIronPhosphate => (
                charge_limit_a.unwrap_or(memory::LIFEPO4_LIMIT_PER_H * new_ah),
                memory::LIFEPO4_TAPER_PER_H,
            ),
        };
        Ok(Self {
            chemistry,
            cells,
            rest: Arc::new(RestCurve::of(chemistry, cells)?),
            capacity_ah: new_ah * health,
            ohmic_25_ohm,
            pair_over_ohmic: memory::PAIR_OVER_OHMIC,
            pair_seconds: memory::PAIR_SECONDS,
            rest_v_per_k: memory::REST_V_PER_K_CELL * f64::from(cells),
            charge_limit_a,
            acceptance_per_h,
            absorb_v: absorb_v(chemistry, cells),
            efficiency: memory::CHARGE_EFFICIENCY,
            efficiency_full: memory::CHARGE_EFFICIENCY_FULL,
        })
    }

    /// What it is made of.
    pub fn chemistry(&self) -> Chemistry {
        self.chemistry
    }

    /// Cells in series.
    pub fn cells(&self) -> u8 {
        self.cells
    }

    /// Cells over those of a 12 V battery of its chemistry.
    pub(super) fn cells_ratio(&self) -> f64 {
        f64::from(self.cells) / self.chemistry.table_cells()
    }

    /// Rest voltage over charge near 25 degrees Celsius.
    pub fn rest_curve(&self) -> &RestCurve {
        &self.rest
    }

    /// Rest voltage at a charge (0 to 1) and a temperature (degrees Celsius), V.
    pub fn rest_v(&self, soc: f64, celsius: f64) -> f64 {
        self.rest.at(soc) + self.rest_v_per_k * (celsius - memory::REFERENCE_C)
    }

    /// The charge (0 to 1) at which it rests at a voltage (V) and a temperature (degrees
    /// Celsius), held at both ends.
    pub fn soc_at_rest(&self, volts: f64, celsius: f64) -> f64 {
        self.rest
            .inverse(volts - self.rest_v_per_k * (celsius - memory::REFERENCE_C))
    }

    /// Ohmic resistance at a temperature (degrees Celsius), ohm.
    pub fn ohmic_ohm(&self, celsius: f64) -> f64 {
        self.ohmic_25_ohm * temperature_factor(celsius)
    }

    /// What its resistance says about it, near 25 degrees Celsius.
    pub fn condition(&self) -> Condition {
        let per_12_v = self.ohmic_25_ohm / self.cells_ratio();
        if per_12_v < EXCELLENT_BELOW_OHM {
            Condition::Excellent
        } else if per_12_v <= ACCEPTABLE_TO_OHM {
            Condition::Acceptable
        } else {
            Condition::Poor
        }
    }

    /// What it does at any voltage in this state, worked out once.
    pub fn terminal(&self, state: &State) -> Terminal {
        let missing_ah = self.capacity_ah * (1.0 - state.soc).max(0.0);
        // An infinite acceptance means no limit at all, not even when full.
        let most_a = if self.acceptance_per_h.is_finite() {
            (self.acceptance_per_h * missing_ah).min(self.charge_limit_a)
        } else {
            f64::INFINITY
        };
        Terminal::new(
            self.rest_v(state.soc, state.celsius),
            state.pair_v,
            self.ohmic_ohm(state.celsius),
            (state.soc / memory::EXHAUSTED_UNDER_SOC).clamp(0.0, 1.0),
            Acceptance {
                most_a,
                absorb_v: self.absorb_v,
            },
        )
    }
}

fn nominal_v(chemistry: Chemistry, cells: u8) -> f64 {
    12.0 * f64::from(cells) / chemistry.table_cells()
}

fn crank_per_ah(chemistry: Chemistry) -> f64 {
    if chemistry.is_lithium() {
        memory::LIFEPO4_CRANK_A_PER_AH.value
    } else {
        memory::CRANK_A_PER_AH.value
    }
}

fn absorb_v(chemistry: Chemistry, cells: u8) -> f64 {
    let (lowest, highest) = super::charging::absorb_band_v(chemistry, cells);
    if chemistry.is_lithium() {
        highest
    } else {
        0.5 * (lowest + highest)
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::battery::CrankStandard;

    #[test]
    fn what_cannot_be_is_refused_by_name() {
        let good = Spec::of(Chemistry::Agm);
        let refused = |spec: Spec| Battery::new(&spec).unwrap_err();
        assert_eq!(
            refused(Spec { cells: 4, ..good }),
            BatteryError::Cells {
                found: 4,
                allowed: &[6, 8]
            }
        );
        assert_eq!(
            refused(Spec {
                capacity_ah: 0.0,
                ..good
            }),
            BatteryError::Capacity { found: 0.0 }
        );
        assert!(matches!(
            refused(Spec {
                capacity_ah: f64::NAN,
                ..good
            }),
            BatteryError::Capacity { .. }
        ));
        assert_eq!(
            refused(Spec {
                health: 1.2,
                ..good
            }),
            BatteryError::Health { found: 1.2 }
        );
        let rated = |rated_a| Resistance::ColdCrank {
            rated_a,
            standard: CrankStandard::Sae,
        };
        assert_eq!(
            refused(Spec {
                resistance: rated(1.0),
                ..good
            }),
            BatteryError::ColdCrank { found: 1.0 }
        );
        let measured = |ohm, celsius| Resistance::Measured { ohm, celsius };
        for resistance in [measured(0.0, 25.0), measured(0.005, -300.0)] {
            assert!(matches!(
                refused(Spec { resistance, ..good }),
                BatteryError::Resistance { .. }
            ));
        }
        assert_eq!(
            refused(Spec {
                charge_limit_a: Some(0.0),
                ..good
            }),
            BatteryError::ChargeLimit { found: 0.0 }
        );
    }

    #[test]
    fn health_takes_capacity_and_adds_resistance_but_not_to_a_measured_one() {
        let new = Spec {
            health: 1.0,
            ..Spec::of(Chemistry::Flooded)
        };
        let old = Spec { health: 0.5, ..new };
        let (new, worn) = (Battery::new(&new).unwrap(), Battery::new(&old).unwrap());
        assert_eq!(worn.capacity_ah, 0.5 * new.capacity_ah);
        assert!((worn.ohmic_25_ohm - 2.0 * new.ohmic_25_ohm).abs() < 1e-15);
        let measured = Resistance::Measured {
            ohm: 0.006,
            celsius: 25.0,
        };
        let worn = Battery::new(&Spec {
            resistance: measured,
            ..old
        })
        .unwrap();
        assert_eq!(worn.ohmic_25_ohm, 0.006);
        assert_eq!(worn.condition(), Condition::Acceptable);
    }

    #[test]
    fn a_resistance_measured_in_the_cold_is_carried_to_its_own_temperature() {
        let spec = Spec {
            resistance: Resistance::Measured {
                ohm: 0.008,
                celsius: 5.0,
            },
            ..Spec::of(Chemistry::Agm)
        };
        let battery = Battery::new(&spec).unwrap();
        assert!((battery.ohmic_ohm(5.0) - 0.008).abs() < 1e-15);
        assert!(battery.ohmic_25_ohm < 0.008);
    }
}
