//! Rest voltage of lithium iron phosphate batteries.

use crate::finding::{Mark, Source};

/// The points between 1 and 95.7 %.
pub const SOURCE: Source = Source {
    citation: "published measurement of one four-cell LiFePO4 battery at rest (one source, weak)",
    mark: Mark::Published,
};

/// The two ends are from memory.
pub const ENDS_SOURCE: Source = Source {
    citation: "LiFePO4 at rest: 13.35 V full, 10.0 V (2.5 V a cell) empty, from memory",
    mark: Mark::Memory,
};

/// (charge as a fraction, V at rest) of four cells.
pub const SOC_V: [(f64, f64); 8] = [
    (0.0, 10.0),
    (0.010, 11.60),
    (0.096, 12.68),
    (0.269, 12.92),
    (0.527, 13.09),
    (0.785, 13.22),
    (0.957, 13.28),
    (1.0, 13.35),
];
