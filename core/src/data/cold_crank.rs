//! Cold-crank ratings: what the standards ask, and how their figures compare.

use crate::data::memory::Default;
use crate::finding::{Mark, Source};

/// What each test asks.
pub const SOURCE: Source = Source {
    citation: "cold-crank tests of SAE J537, EN 50342-1, DIN 43539-2 and IEC 60095-1 at -18 degC",
    mark: Mark::PublishedSummary,
};

/// How their figures compare.
pub const RATIO_SOURCE: Source = Source {
    citation: "ratios between cold-crank ratings, from memory: one battery's figures differ by maker",
    mark: Mark::Memory,
};

/// Temperature of the cold-crank tests, degrees Celsius.
pub const TEST_C: f64 = -18.0;
/// Voltage that six cells hold in the SAE test, V.
pub const SAE_END_V: f64 = 7.2;
/// Time for which they hold it, s.
pub const SAE_SECONDS: f64 = 30.0;

/// SAE amperes for one ampere of another rating: `value` in the range `lowest` to `highest`.
pub const SAE_FROM_EN: Default = ratio(1.05, 0.95, 1.12);
/// As [`SAE_FROM_EN`], for DIN.
pub const SAE_FROM_DIN: Default = ratio(1.70, 1.60, 1.80);
/// As [`SAE_FROM_EN`], for IEC.
pub const SAE_FROM_IEC: Default = ratio(1.45, 1.30, 1.60);
/// As [`SAE_FROM_EN`], for cranking amperes at 0 degrees Celsius (marine).
pub const SAE_FROM_FREEZING: Default = ratio(0.80, 0.75, 0.83);
/// As [`SAE_FROM_EN`], for a five-second pulse of a warm battery.
pub const SAE_FROM_PULSE: Default = ratio(0.50, 0.35, 0.65);
/// A figure whose standard nobody knows is taken as SAE.
pub const SAE_FROM_UNKNOWN: Default = ratio(1.0, 0.80, 1.15);

const fn ratio(value: f64, lowest: f64, highest: f64) -> Default {
    Default {
        value,
        lowest,
        highest,
    }
}
