//! What low voltage costs: one published device each.

use crate::finding::{Mark, Source};

/// Where these are from.
pub const SOURCE: Source = Source {
    citation: "published figures of one device each; yours differs: enter its maker's",
    mark: Mark::Published,
};

/// The coil's figures.
pub const COIL_SOURCE: Source = Source {
    citation: "t = -(L/R) ln(1 - R I/V): current in an inductance behind a resistance (derived); inductance, resistance and current from memory",
    mark: Mark::Memory,
};

/// A large fuel pump: (V, L/h), from 700 and 800 lb/h at 0.74 kg/L.
pub const PUMP_V_LPH: [(f64, f64); 2] = [(12.0, 429.1), (13.5, 490.4)];
/// Dead time of an injector: (V, ms).
pub const DEAD_TIME_V_MS: [(f64, f64); 5] = [
    (10.0, 1.383),
    (11.0, 1.194),
    (12.0, 1.040),
    (13.0, 0.914),
    (14.0, 0.797),
];
/// Primary of an ignition coil, mH.
pub const COIL_MH: f64 = 3.0;
/// Its resistance with the driver's, ohm.
pub const COIL_OHM: f64 = 0.6;
/// Current it has to reach, A.
pub const COIL_A: f64 = 8.0;
