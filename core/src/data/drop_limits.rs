//! What a charging circuit may drop.

use crate::finding::{Mark, Source};

/// Output lead.
pub const SOURCE: Source = Source {
    citation: "one carmaker's workshop manual: at most 0.3 V in the output lead at 30 A",
    mark: Mark::Published,
};

/// Ground side.
pub const GROUND_SOURCE: Source = Source {
    citation: "published charging-circuit test: at most 0.2 V on the ground side",
    mark: Mark::Published,
};

/// Greatest drop of the output lead, V ...
pub const OUTPUT_LEAD_V: f64 = 0.3;
/// ... at this current, A.
pub const OUTPUT_LEAD_AT_A: f64 = 30.0;
/// Greatest drop of the ground side, V.
pub const GROUND_V: f64 = 0.2;
