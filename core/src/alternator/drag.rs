//! Power that the alternator takes from the engine.

use crate::data::sarafianos_2015::{ELECTRICAL_EFFICIENCY, FRICTION_FITTED_TO_RPM};

/// What the alternator takes from the engine at one operating point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Drag {
    /// To make the electrical output, W.
    pub electrical_w: f64,
    /// Friction and windage, W.
    pub friction_w: f64,
    /// The friction fit is extrapolated (above 8,000 alternator rpm).
    pub extrapolated: bool,
}

impl Drag {
    /// Both together, W.
    pub fn total_w(self) -> f64 {
        self.electrical_w + self.friction_w
    }
}

/// Drag at an output (A, V) and an alternator speed (rpm): `V I / 0.694` plus friction
/// and windage `10.8 N + 0.134 N^3` W, N in krpm, of a 180 A class machine
/// (Sarafianos et al. 2015; fit derived).
///
/// ```
/// use laneside_core::alternator::drag;
///
/// let at_6010 = drag(0.0, 14.0, 6_010.0);
/// assert!((at_6010.total_w() - 91.0).abs() < 5.0);
/// ```
pub fn drag(amps: f64, volts: f64, rpm: f64) -> Drag {
    let krpm = rpm / 1_000.0;
    Drag {
        electrical_w: amps * volts / ELECTRICAL_EFFICIENCY,
        friction_w: 10.8 * krpm + 0.134 * krpm * krpm * krpm,
        extrapolated: rpm > FRICTION_FITTED_TO_RPM,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Verification: the fit's own polynomial at round speeds, worked out by hand; 1,388 W made at 0.694 take 2,000.
    #[test]
    fn friction_grows_with_speed_and_its_cube() {
        for (rpm, friction_w) in [
            (0.0, 0.0),
            (1_000.0, 10.934),
            (5_000.0, 70.75),
            (10_000.0, 242.0),
        ] {
            let found = drag(0.0, 14.0, rpm);
            assert!((found.friction_w - friction_w).abs() < 1e-9, "{found:?}");
            assert_eq!(found.electrical_w, 0.0);
            let loaded = drag(100.0, 13.88, rpm);
            assert!((loaded.total_w() - 2_000.0 - friction_w).abs() < 1e-9);
        }
    }
}
