//! Figures from memory. Each stands in for what the person has not entered, carries its
//! range, and is shown as assumed.

use crate::finding::{Mark, Source};

/// Marks every figure of this file.
pub const SOURCE: Source = Source {
    citation: "from memory, no source: change it if you know better",
    mark: Mark::Memory,
};

/// A default with the range it may have: `value`, `lowest`, `highest`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Default {
    /// What is assumed.
    pub value: f64,
    /// Low end of the range.
    pub lowest: f64,
    /// High end of the range.
    pub highest: f64,
}

pub(crate) const fn default(value: f64, lowest: f64, highest: f64) -> Default {
    Default {
        value,
        lowest,
        highest,
    }
}

/// Overshoot over the limiter (missed shift, driveline break, downshift), rpm.
pub const OVERSHOOT_RPM: Default = default(300.0, 0.0, 800.0);
/// Belt creep and slip per stage, as a fraction; for output only.
pub const SLIP: Default = default(0.01, 0.0, 0.02);
/// How far the pitch diameter of a belt that is not ribbed may lie from the diameter over
/// the pulley's rim, mm.
pub const OTHER_BELT_LINE_MM: f64 = 8.0;
/// Low-speed output I_L as a fraction of rated output I_R.
pub const LOW_OUTPUT_FRACTION: Default = default(0.5, 0.35, 0.69);
/// Exponent of field current over bus voltage.
pub const FIELD_EXPONENT: Default = default(0.4, 0.0, 1.0);
/// Self-exciting turn-on speed as a multiple of cut-in speed.
pub const SELF_EXCITE_FACTOR: Default = default(1.4, 1.0, 1.7);
/// Scale of a rating that nobody measured on this very machine.
pub const RATED_OUTPUT_SCALE: Default = default(1.0, 0.95, 1.05);
/// Air around the alternator under the hood, degrees Celsius.
pub const UNDER_HOOD_C: Default = default(60.0, 45.0, 75.0);
/// Temperature rise of the machine at rated output, K.
pub const RATED_RISE_K: f64 = 75.0;
/// Time in which the machine follows its temperature, s.
pub const ALTERNATOR_WARMS_S: Default = default(300.0, 120.0, 600.0);
/// Output lost per kelvin of machine temperature (derived from two published
/// hot and cold pairs).
pub const OUTPUT_LOSS_PER_K: f64 = 0.002;
/// Field current of a machine that turns but is not excited, A.
pub const FIELD_DRAW_A: Default = default(4.0, 2.0, 6.0);
/// Uncertainty of the output form below the lowest rated speed, as a fraction.
pub const LOW_SPEED_FORM: Default = default(1.0, 0.8, 1.2);
/// Scale that all loads share.
pub const LOADS_SCALE: Default = default(1.0, 0.85, 1.15);
/// Voltage under which every load fades, 12 V system, V.
pub const UNDER_VOLTAGE_V: f64 = 9.0;

/// Speed limits of a machine without a maker's figure, rpm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LimitRange {
    /// Continuous limit: low and high end.
    pub continuous: (f64, f64),
    /// Short-time limit: low and high end.
    pub short: (f64, f64),
}

/// Fan outside the case.
pub const FAN_OUTSIDE: LimitRange = LimitRange {
    continuous: (12_000.0, 15_000.0),
    short: (12_000.0, 15_000.0),
};
/// Fan inside the case.
pub const FAN_INSIDE: LimitRange = LimitRange {
    continuous: (15_000.0, 18_000.0),
    short: (18_000.0, 20_000.0),
};
/// Large heavy-duty machine.
pub const HEAVY_DUTY: LimitRange = LimitRange {
    continuous: (8_000.0, 10_000.0),
    short: (8_000.0, 10_000.0),
};
