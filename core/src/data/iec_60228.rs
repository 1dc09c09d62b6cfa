//! Flexible copper conductors by cross-section.

use crate::finding::{Mark, Source};

/// The standard.
pub const SOURCE: Source = Source {
    citation: "IEC 60228, Conductors of insulated cables, class 5 (flexible) plain copper, greatest resistance at 20 degC",
    mark: Mark::Published,
};

/// (cross-section in mm2, ohm/km at 20 degrees Celsius).
pub const MM2_OHM_PER_KM: [(f64, f64); 10] = [
    (1.5, 13.3),
    (2.5, 7.98),
    (4.0, 4.95),
    (6.0, 3.30),
    (10.0, 1.91),
    (16.0, 1.21),
    (25.0, 0.780),
    (35.0, 0.554),
    (50.0, 0.386),
    (70.0, 0.272),
];
