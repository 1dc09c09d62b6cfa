//! V-ribbed (PK) pulleys: ISO 9981:2020 and SAE J1459.

use crate::finding::{Mark, Source};

/// The standard for PK pulleys.
pub const SOURCE: Source = Source {
    citation: "ISO 9981:2020 Belt drives, pulleys and V-ribbed belts for the automotive industry, PK profile, 5.2-5.4",
    mark: Mark::PublishedSummary,
};

/// How a caliper over the rib tips relates to the effective diameter.
pub const TIP_SOURCE: Source = Source {
    citation: "SAE J1459 V-ribbed belts and pulleys, rib tip radius 0.25 to 0.48 mm",
    mark: Mark::PublishedSummary,
};

/// Effective line differential b_e: the belt's cords run this far outside the
/// effective diameter, mm (5.4, nominal for the speed ratio).
pub const EFFECTIVE_LINE_DIFFERENTIAL_MM: f64 = 2.0;

/// Smallest recommended effective diameter, mm (5.2).
pub const SMALLEST_EFFECTIVE_DIAMETER_MM: f64 = 45.0;

/// Tolerance of the diameter over balls, mm (5.3): taken both ways, the safe reading.
pub const DIAMETER_OVER_BALLS_MM: f64 = 0.6;

/// Effective diameter less the diameter over the rib tips, mm: middle of the
/// 0 to 0.9 mm that the tip radius leaves open.
pub const TIP_OFFSET_MM: f64 = 0.45;

/// Half-width of [`TIP_OFFSET_MM`], mm.
pub const TIP_OFFSET_HALF_WIDTH_MM: f64 = 0.45;
