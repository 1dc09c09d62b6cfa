//! What a voltage says with the engine running.

use crate::finding::{Mark, Source};

/// Six flooded cells near 20 degrees Celsius.
pub const SOURCE: Source = Source {
    citation: "published charging-voltage check of 12 V flooded batteries near 20 C: under 12.6 V not charging, to 13.2 low, to 14.7 good, to 14.8 high, above overcharging",
    mark: Mark::Published,
};

/// Up to here nothing charges, V.
pub const NOT_CHARGING_V: f64 = 12.6;
/// Up to here it is low, V.
pub const LOW_V: f64 = 13.2;
/// Up to here it is good, V.
pub const GOOD_V: f64 = 14.7;
/// Up to here it is high, V; above it overcharges.
pub const HIGH_V: f64 = 14.8;
/// Temperature that they are for, degrees Celsius.
pub const AT_C: f64 = 20.0;
/// How they move with temperature, V/K: as the set-point does.
pub const SLOPE_V_PER_K: f64 = -0.010;

/// Voltages at which four LiFePO4 cells carry a car by themselves, lowest and highest V (from
/// memory): the bands do not serve there.
pub const LITHIUM_ALONE_V: (f64, f64) = (12.9, 13.3);
