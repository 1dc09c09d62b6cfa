//! Copper as a conductor.

use crate::finding::{Mark, Source};

/// The standard annealed copper.
pub const SOURCE: Source = Source {
    citation: "IEC 60028, International standard of resistance for copper: 1.7241e-8 ohm m and 0.00393/K at 20 degC",
    mark: Mark::Published,
};

/// Resistivity at 20 degrees Celsius, ohm m.
pub const RESISTIVITY_OHM_M: f64 = 1.724_1e-8;
/// Part by which resistance grows a kelvin, from 20 degrees Celsius.
pub const PER_K: f64 = 0.003_93;
/// Temperature of the figures, degrees Celsius.
pub const REFERENCE_C: f64 = 20.0;
