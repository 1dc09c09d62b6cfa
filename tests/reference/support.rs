//! What several checks need.

use laneside_core::car::{Car, RatingBy};
use laneside_core::drive::{Measure, Pulley};
use laneside_core::quantity::{System, amps, mm, rpm};

/// Fails unless `found` lies within `tolerance` (absolute) of `wanted`.
#[track_caller]
pub fn near(found: f64, wanted: f64, tolerance: f64) {
    assert!(
        (found - wanted).abs() <= tolerance,
        "found {found}, wanted {wanted} within {tolerance}"
    );
}

/// Fails unless `found` lies within this part of `wanted`.
#[track_caller]
pub fn within(found: f64, wanted: f64, part: f64) {
    near(found, wanted, part * wanted.abs());
}

/// An invented car with a 150 mm crank pulley and this alternator pulley (effective diameters, mm), a 50/120 A rating at
/// the standard's speeds, and the five entries filled.
pub fn car(alternator_mm: f64) -> Car {
    let mut car = Car::new("Reference", System::Metric);
    car.drive.crank = Some(Pulley::new(mm(150.0), Measure::Effective));
    car.drive.fitted = Some(Pulley::new(mm(alternator_mm), Measure::Effective));
    car.engine.limiter = Some(rpm(7_000.0));
    car.engine.idle = Some(rpm(900.0));
    car.alternator.rating_by = RatingBy::Pair;
    car.alternator.low = Some(amps(50.0));
    car.alternator.rated = Some(amps(120.0));
    car
}
