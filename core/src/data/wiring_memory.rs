//! Figures of wiring from memory, with their ranges.

use crate::data::memory::Default;
use crate::finding::{Mark, Source};

pub use crate::data::memory::SOURCE;

/// Fuses.
pub const FUSE_SOURCE: Source = Source {
    citation: "common practice, no source: charge fuse 1.25 to 1.5 times the alternator's rating, cable good for its fuse",
    mark: Mark::CommonPractice,
};

const fn default(value: f64, lowest: f64, highest: f64) -> Default {
    Default {
        value,
        lowest,
        highest,
    }
}

/// Length of the charge lead, and of the ground path, m.
pub const LEAD_M: Default = default(1.5, 0.6, 5.0);
/// Cross-section of a charge lead, mm2.
pub const LEAD_MM2: Default = default(16.0, 8.0, 35.0);
/// Temperature of the leads under the hood, degrees Celsius.
pub const LEAD_C: Default = default(60.0, 20.0, 90.0);

/// One wire in free air carries this many A at 1 mm2 ...
pub const FREE_AIR_A: f64 = 18.9;
/// ... growing with this power of its cross-section.
pub const FREE_AIR_EXPONENT: f64 = 0.642;
/// What is left of that in a hot engine bay.
pub const HOT_BAY: Default = default(0.75, 0.6, 0.9);

/// A charge fuse over the alternator's rated output: smallest and largest usual.
pub const FUSE_OVER_OUTPUT: (f64, f64) = (1.25, 1.5);

/// From the battery to the engine computer's supply pin, ohm for the whole car's load.
pub const TO_ENGINE_COMPUTER_OHM: Default = default(0.006, 0.0, 0.015);
/// From the battery to a dash or logger, ohm for the whole car's load.
pub const TO_DASH_OHM: Default = default(0.010, 0.0, 0.025);
