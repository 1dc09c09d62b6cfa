//! One lead, and the charge path made of two.

use super::WireSize;
use crate::data::copper;
use crate::quantity::{
    ElectricCurrent, ElectricPotential, InElectricCurrent, InElectricPotential, InLength, Length,
};

/// Why a description is no lead.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum LeadError {
    /// No such wire is made.
    #[error("found {found:?}, need 0.5 to 240 mm2 or 20 to 4/0 AWG")]
    Size {
        /// The size found.
        found: WireSize,
    },
    /// A length outside 0 to 40 m.
    #[error("found {found} m, need 0 to 40 m")]
    Length {
        /// The length found, m.
        found: f64,
    },
    /// A drop outside 0 to 5 V.
    #[error("found a drop of {found} V, need 0 to 5 V")]
    Drop {
        /// The drop found, V.
        found: f64,
    },
    /// A drop without a current of at least 1 A says nothing.
    #[error("found {found} A, need at least 1 A: a drop means nothing without its current")]
    Current {
        /// The current found, A.
        found: f64,
    },
}

/// A lead, or the ground path back.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lead {
    /// Resistance at 20 degrees Celsius of a lead known by its size, or as measured, ohm.
    ohm: f64,
    /// The size, where it is known by it.
    size: Option<WireSize>,
}

impl Lead {
    /// A lead of this size and length.
    ///
    /// # Errors
    /// [`LeadError`] when no such wire is made, or the length cannot be.
    pub fn of_size(size: WireSize, length: Length) -> Result<Self, LeadError> {
        if !size.exists() {
            return Err(LeadError::Size { found: size });
        }
        let found = length.meters();
        if !(0.0..=40.0).contains(&found) {
            return Err(LeadError::Length { found });
        }
        Ok(Self {
            ohm: size.ohm_per_m() * found,
            size: Some(size),
        })
    }

    /// A lead that drops so much at so much current, measured warm and with its terminals.
    ///
    /// # Errors
    /// [`LeadError`] when the drop cannot be, or its current is too small to say anything.
    pub fn measured(drop: ElectricPotential, at: ElectricCurrent) -> Result<Self, LeadError> {
        let (drop_v, at_a) = (drop.volts(), at.amps());
        if !(0.0..=5.0).contains(&drop_v) {
            return Err(LeadError::Drop { found: drop_v });
        }
        if !(1.0..=2_000.0).contains(&at_a) {
            return Err(LeadError::Current { found: at_a });
        }
        Ok(Self {
            ohm: drop_v / at_a,
            size: None,
        })
    }

    /// Resistance at a temperature (degrees Celsius), ohm. A measured lead stays as it was
    /// measured, since that was at its own temperature.
    pub fn ohm(&self, celsius: f64) -> f64 {
        if self.size.is_some() {
            self.ohm * (1.0 + copper::PER_K * (celsius - copper::REFERENCE_C)).max(0.0)
        } else {
            self.ohm
        }
    }

    /// Its size, if it is known by it.
    pub fn size(&self) -> Option<WireSize> {
        self.size
    }

    /// Drop at a current (A) and a temperature (degrees Celsius), V.
    pub fn drop_v(&self, amps: f64, celsius: f64) -> f64 {
        amps * self.ohm(celsius)
    }

    /// Heat at a current (A) and a temperature (degrees Celsius), W.
    pub fn waste_w(&self, amps: f64, celsius: f64) -> f64 {
        amps * amps * self.ohm(celsius)
    }

    /// The next size that would halve drop and waste; `None` where it was measured, or no
    /// size of its list does.
    pub fn halving(&self) -> Option<WireSize> {
        self.size.and_then(WireSize::halving)
    }
}

/// From the alternator's stud to the battery and back to its case.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ChargePath {
    /// From the stud to the battery's positive post.
    pub lead: Lead,
    /// From the battery's negative post to the alternator's case.
    pub ground: Lead,
    /// Temperature of both, degrees Celsius.
    pub celsius: f64,
}

impl ChargePath {
    /// Resistance of both, ohm.
    pub fn ohm(&self) -> f64 {
        self.lead.ohm(self.celsius) + self.ground.ohm(self.celsius)
    }

    /// Drop over both at a current (A), V.
    pub fn drop_v(&self, amps: f64) -> f64 {
        amps * self.ohm()
    }

    /// Heat in both at a current (A), W.
    pub fn waste_w(&self, amps: f64) -> f64 {
        amps * amps * self.ohm()
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::quantity::{amps, meters, volts};

    #[test]
    fn a_measured_lead_is_its_drop_over_its_current_at_any_temperature() {
        let lead = Lead::measured(volts(0.3), amps(30.0)).unwrap();
        assert!((lead.ohm(20.0) - 0.01).abs() < 1e-15);
        assert_eq!(lead.ohm(20.0), lead.ohm(90.0));
        assert!((lead.waste_w(60.0, 60.0) - 36.0).abs() < 1e-9);
        assert_eq!(lead.halving(), None);
    }

    #[test]
    fn what_cannot_be_is_refused_by_name() {
        assert_eq!(
            Lead::of_size(WireSize::Mm2(0.0), meters(1.0)),
            Err(LeadError::Size {
                found: WireSize::Mm2(0.0)
            })
        );
        assert!(Lead::of_size(WireSize::Mm2(f64::NAN), meters(1.0)).is_err());
        assert_eq!(
            Lead::of_size(WireSize::Awg(4), meters(-1.0)),
            Err(LeadError::Length { found: -1.0 })
        );
        assert_eq!(
            Lead::measured(volts(9.0), amps(30.0)),
            Err(LeadError::Drop { found: 9.0 })
        );
        assert_eq!(
            Lead::measured(volts(0.2), amps(0.0)),
            Err(LeadError::Current { found: 0.0 })
        );
    }

    #[test]
    fn a_path_is_the_sum_of_its_two_sides() {
        let lead = Lead::of_size(WireSize::Mm2(16.0), meters(2.0)).unwrap();
        let ground = Lead::measured(volts(0.1), amps(50.0)).unwrap();
        let path = ChargePath {
            lead,
            ground,
            celsius: 60.0,
        };
        assert!((path.ohm() - lead.ohm(60.0) - 0.002).abs() < 1e-15);
        assert!((path.drop_v(80.0) - 80.0 * path.ohm()).abs() < 1e-12);
        assert!((path.waste_w(80.0) - 80.0 * path.drop_v(80.0)).abs() < 1e-9);
    }
}
