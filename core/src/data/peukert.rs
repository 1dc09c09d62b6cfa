//! How long a lead-acid battery carries a constant current.

use crate::finding::{Mark, Source};

/// The law and the exponents worked from two ratings.
pub const SOURCE: Source = Source {
    citation: "Peukert's law, exponent from 20-hour capacity and reserve capacity at 25 A: published worked values",
    mark: Mark::Published,
};

/// Current at which a reserve capacity is measured, A.
pub const RESERVE_CURRENT_A: f64 = 25.0;
/// Time of a 20-hour capacity, h.
pub const CAPACITY_HOURS: f64 = 20.0;

/// (capacity over 20 h in Ah, reserve capacity in minutes, exponent).
pub const EXPONENTS: [(f64, f64, f64); 4] = [
    (70.0, 130.0, 1.130),
    (225.0, 500.0, 1.096),
    (85.0, 135.0, 1.233),
    (216.0, 450.0, 1.169),
];
