//! Engine speed at a road speed.

use std::f64::consts::PI;

/// Gears, final drive and tire.
#[derive(Clone, Debug, PartialEq)]
pub struct Gearing {
    /// Gear ratios, first gear first.
    pub gears: Vec<f64>,
    /// Engine speed over road speed in a gear of 1, without slip and growth, rpm/(m/s).
    pub rpm_per_mps: f64,
    /// Growth of the tire at trap speed, as a fraction.
    pub growth: f64,
    /// Slip of converter or clutch, as a fraction.
    pub slip: f64,
}

impl Gearing {
    /// Engine speed over road speed in a gear of 1: `final x 60 / (pi D)`, rpm/(m/s).
    ///
    /// ```
    /// use laneside_core::pass::Gearing;
    ///
    /// // 70 mph, 3.73 x 0.70, 28 in.
    /// let engine = 70.0 * 0.447_04 * 0.70 * Gearing::rpm_per_mps(3.73, 28.0 * 0.025_4);
    /// assert!((engine - 2_194.1).abs() < 0.1);
    /// ```
    pub fn rpm_per_mps(final_drive: f64, tire_m: f64) -> f64 {
        final_drive * 60.0 / (PI * tire_m)
    }

    /// Engine speed with everything coupled, in a gear (from 0), at a road speed (m/s) that is
    /// `of_trap` of trap speed, rpm: `N = N_locked/(1 - s)`, tire `D = D0 (1 + g (v/v_trap)^2)`.
    pub fn coupled_rpm(&self, gear: usize, speed_mps: f64, of_trap: f64) -> f64 {
        let ratio = self.gears.get(gear).copied().unwrap_or(1.0);
        let grown = 1.0 + self.growth * of_trap * of_trap;
        speed_mps * ratio * self.rpm_per_mps / grown / (1.0 - self.slip)
    }
}
