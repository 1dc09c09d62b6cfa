//! Rest voltage of flooded lead-acid batteries.

use crate::finding::{Mark, Source};

/// The table.
pub const SOURCE: Source = Source {
    citation: "published rest-voltage table of a 12 V flooded lead-acid battery near 25 degC, 100/75/50/25/0 % charged",
    mark: Mark::Published,
};

/// (charge as a fraction, V at rest) of six cells near 25 degrees Celsius.
pub const SOC_V: [(f64, f64); 5] = [
    (0.0, 11.89),
    (0.25, 12.06),
    (0.5, 12.24),
    (0.75, 12.45),
    (1.0, 12.65),
];
