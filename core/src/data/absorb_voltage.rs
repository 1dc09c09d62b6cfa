//! The voltage that charges a battery full.

use crate::finding::{Mark, Source};

/// Lead-acid.
pub const SOURCE: Source = Source {
    citation: "published charging voltages of 12 V batteries: flooded 13.8-14.4 V, AGM 14.4-14.7 V",
    mark: Mark::Published,
};

/// Lithium iron phosphate.
pub const LIFEPO4_SOURCE: Source = Source {
    citation: "LiFePO4 charges to 14.6 V at most, its management may open above, from memory",
    mark: Mark::Memory,
};

/// Six flooded cells, lowest and highest V.
pub const FLOODED_V: (f64, f64) = (13.8, 14.4);
/// Six AGM cells, lowest and highest V.
pub const AGM_V: (f64, f64) = (14.4, 14.7);
/// Four LiFePO4 cells, lowest that fills them (from memory) and the ceiling, V.
pub const LIFEPO4_V: (f64, f64) = (13.8, 14.6);
