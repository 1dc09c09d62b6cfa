//! How spreads are put together.

use crate::finding::{Mark, Source};

/// Root sum of squares of one-at-a-time changes.
pub const SOURCE: Source = Source {
    citation: "JCGM 100:2008 (GUM) 5.1.2",
    mark: Mark::Published,
};

/// Propagation by draws, where a margin has a kink.
pub const DRAWS_SOURCE: Source = Source {
    citation: "JCGM 101:2008, 2.5 and 97.5 percentiles of fixed draws",
    mark: Mark::Published,
};
