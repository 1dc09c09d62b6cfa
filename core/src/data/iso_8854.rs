//! How alternators are rated: ISO 8854 and SAE J56.

use crate::finding::{Mark, Source};

/// The rating standard.
pub const SOURCE: Source = Source {
    citation: "ISO 8854:2012 and SAE J56, alternators with regulators, test methods: I_L at 1,500 rpm, I_R at rated speed, 13.5 V (27 V), 23 degC, net of field current",
    mark: Mark::Published,
};

/// The rated speed of 6,000 rpm is from memory.
pub const RATED_SPEED_SOURCE: Source = Source {
    citation: "rated speed 6,000 rpm (handbook form 1,800 / 6,000 rpm)",
    mark: Mark::Memory,
};

/// Speed at which the standard's low-speed output I_L is read, rpm.
pub const LOW_SPEED_RPM: f64 = 1_500.0;
/// Speed at which the handbook form ("14 V 70/140 A") reads its first figure, rpm.
pub const HANDBOOK_LOW_SPEED_RPM: f64 = 1_800.0;
/// Speed at which rated output I_R is read, rpm.
pub const RATED_SPEED_RPM: f64 = 6_000.0;
/// Test voltage of a 12 V machine, V.
pub const TEST_VOLTAGE_V: f64 = 13.5;
/// Air temperature of the test, degrees Celsius.
pub const TEST_TEMPERATURE_C: f64 = 23.0;
