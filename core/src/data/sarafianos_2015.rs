//! One measured claw-pole machine of the 180 A class.

use crate::finding::{Mark, Source};

/// Output and losses of the measured machine.
pub const SOURCE: Source = Source {
    citation: "Sarafianos, Llano, Ghosh, McMahon, Pickering, Characterization of output power performance in Lundell alternators, 2015",
    mark: Mark::Published,
};

/// The friction fit is derived from the table.
pub const FRICTION_FIT_SOURCE: Source = Source {
    citation: "10.8 N + 0.134 N^3 W (N in krpm), fitted to the published friction and windage table",
    mark: Mark::Derived,
};

/// Output at 13.5 V and 25 degC: (rpm, A).
pub const OUTPUT_RPM_A: [(f64, f64); 3] = [(2_000.0, 120.0), (4_000.0, 170.0), (6_000.0, 180.0)];

/// Friction and windage: (rpm, W).
pub const FRICTION_RPM_W: [(f64, f64); 7] = [
    (2_000.0, 23.0),
    (3_000.0, 39.0),
    (4_050.0, 56.0),
    (5_010.0, 71.0),
    (6_010.0, 91.0),
    (7_010.0, 116.0),
    (7_970.0, 159.0),
];

/// The fastest speed that the friction table reaches, rpm; beyond it the fit is
/// extrapolated and marked as such.
pub const FRICTION_FITTED_TO_RPM: f64 = 8_000.0;

/// Efficiency without friction, derived so that all-in efficiency is 0.67.
pub const ELECTRICAL_EFFICIENCY: f64 = 0.694;

/// How the efficiency without friction was found.
pub const EFFICIENCY_SOURCE: Source = Source {
    citation: "0.694 without friction, so that efficiency all in is the 0.67 of Decision (EU) 2017/785",
    mark: Mark::Derived,
};

/// All-in efficiency of the European baseline alternator.
pub const BASELINE_EFFICIENCY: f64 = 0.67;

/// Where the all-in efficiency is from.
pub const BASELINE_SOURCE: Source = Source {
    citation: "Commission Implementing Decision (EU) 2017/785, baseline alternator efficiency 0.67",
    mark: Mark::Published,
};
