//! How long at a constant current, by Peukert's law: for that question only, never for the
//! day's simulation.

use crate::data::peukert::{CAPACITY_HOURS, RESERVE_CURRENT_A};

/// Peukert's exponent from a 20-hour capacity (Ah) and a reserve capacity (minutes at 25 A):
/// `k = ln(20/RC_h)/ln(25/(C20/20))`. `None` where the two do not make an exponent of at
/// least one.
///
/// ```
/// use laneside_core::battery::peukert_exponent;
///
/// assert!(peukert_exponent(70.0, 130.0).is_some_and(|k| (k - 1.130).abs() < 5e-4));
/// assert_eq!(peukert_exponent(600.0, 60.0), None);
/// ```
pub fn peukert_exponent(capacity_ah: f64, reserve_minutes: f64) -> Option<f64> {
    let hours = reserve_minutes / 60.0;
    let slow_a = capacity_ah / CAPACITY_HOURS;
    let exponent = (CAPACITY_HOURS / hours).ln() / (RESERVE_CURRENT_A / slow_a).ln();
    (hours > 0.0 && slow_a > 0.0 && exponent.is_finite() && exponent >= 1.0).then_some(exponent)
}

/// Hours at a constant current (A) of a full battery with so many Ah over so many hours:
/// `t = H (C/(I H))^k`. Infinite at no current.
///
/// ```
/// use laneside_core::battery::peukert_hours;
///
/// assert!((peukert_hours(100.0, 20.0, 1.2, 10.0) - 8.706).abs() < 5e-4);
/// ```
pub fn peukert_hours(capacity_ah: f64, over_hours: f64, exponent: f64, amps: f64) -> f64 {
    if amps <= 0.0 {
        return f64::INFINITY;
    }
    over_hours * (capacity_ah / (amps * over_hours)).powf(exponent)
}
