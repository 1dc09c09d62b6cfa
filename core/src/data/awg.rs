//! American wire gauge.

use crate::finding::{Mark, Source};

/// The geometric rule.
pub const SOURCE: Source = Source {
    citation: "ASTM B258, American wire gauge: d = 0.127 x 92^((36 - n)/39) mm",
    mark: Mark::Published,
};

/// Diameter of a solid wire of this gauge, mm; 1/0, 2/0, 3/0 and 4/0 are 0, -1, -2 and -3.
pub fn diameter_mm(gauge: f64) -> f64 {
    0.127 * 92f64.powf((36.0 - gauge) / 39.0)
}

/// Cross-section of this gauge, mm2.
pub fn area_mm2(gauge: f64) -> f64 {
    let diameter = diameter_mm(gauge);
    std::f64::consts::FRAC_PI_4 * diameter * diameter
}
