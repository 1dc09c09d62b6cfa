//! Rest voltage of absorbed-glass-mat lead-acid batteries.

use crate::finding::{Mark, Source};

/// The table.
pub const SOURCE: Source = Source {
    citation: "published rest-voltage table of a 12 V AGM battery, 12.8-13.2 V full to under 11.8 V empty",
    mark: Mark::Published,
};

/// (charge as a fraction, V at rest) of six cells near 25 degrees Celsius; the full battery is the middle of
/// [`FULL_V`], the empty one the table's upper bound.
pub const SOC_V: [(f64, f64); 5] = [
    (0.0, 11.8),
    (0.25, 12.0),
    (0.5, 12.3),
    (0.75, 12.6),
    (1.0, 13.0),
];

/// What a full battery rests at, lowest and highest V.
pub const FULL_V: (f64, f64) = (12.8, 13.2);
