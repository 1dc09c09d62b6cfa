//! What a battery's internal resistance says about it.

use crate::finding::{Mark, Source};

/// The two bounds.
pub const SOURCE: Source = Source {
    citation: "published guidance on 12 V starter batteries: under 5 mOhm excellent, 5 to 10 mOhm acceptable",
    mark: Mark::Published,
};

/// Below this a 12 V battery is excellent, ohm.
pub const EXCELLENT_BELOW_OHM: f64 = 0.005;
/// Up to this a 12 V battery is acceptable, ohm.
pub const ACCEPTABLE_TO_OHM: f64 = 0.010;
