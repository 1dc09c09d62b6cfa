//! Tinned copper wire by gauge: resistance and continuous current.

use crate::finding::{Mark, Source};

/// The advisory circular.
pub const SOURCE: Source = Source {
    citation: "FAA AC 43.13-1B, change 1, chapter 11, tables 11-7 and 11-9: tin-plated copper wire",
    mark: Mark::Published,
};

/// (gauge, greatest ohm per 1000 ft at 20 degrees Celsius); 1/0 and 2/0 are 0 and -1.
pub const GAUGE_OHM_PER_1000_FT: [(f64, f64); 9] = [
    (-1.0, 0.09),
    (0.0, 0.12),
    (2.0, 0.18),
    (4.0, 0.28),
    (6.0, 0.44),
    (8.0, 0.70),
    (10.0, 1.26),
    (12.0, 2.02),
    (14.0, 3.06),
];

/// (gauge, A): continuous current in a bundle, 70 degrees Celsius around it, wire good for
/// 105 degrees Celsius. A low figure for a wire that runs alone.
pub const GAUGE_BUNDLE_A: [(f64, f64); 9] = [
    (-1.0, 147.0),
    (0.0, 128.0),
    (2.0, 95.0),
    (4.0, 68.0),
    (6.0, 50.0),
    (8.0, 38.0),
    (10.0, 17.0),
    (12.0, 13.0),
    (14.0, 10.0),
];
