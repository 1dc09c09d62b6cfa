//! Engine speed, road speed and gearing.

use crate::data::memory::{Default, default};
use crate::finding::{Mark, Source};

/// The formula in inches and miles an hour.
pub const SOURCE: Source = Source {
    citation: "engine rpm = mph x gear x final drive x 336.135 / tire diameter in inches; 336.135 = 63360/(60 pi) (derived; printed examples: 50 mph, 6.66, 37.5 in, 2983 rpm; 70 mph, 3.73 x 0.70, 28 in, 2193 rpm)",
    mark: Mark::Published,
};

/// How speed is drawn from elapsed time and trap speed.
pub const PROFILE_SOURCE: Source = Source {
    citation: "v = V (t/T)^p with p = V T/d - 1: elapsed time, trap speed and distance are met; the start is held by the 60-ft time (derived)",
    mark: Mark::Derived,
};

/// Exponents of the profile that a car can have (from memory).
pub const EXPONENT: (f64, f64) = (0.35, 0.75);
/// An eighth of a mile, m.
pub const EIGHTH_M: f64 = 201.168;
/// A quarter of a mile, m.
pub const QUARTER_M: f64 = 402.336;
/// Sixty feet, m.
pub const SIXTY_FT_M: f64 = 18.288;

/// Converter slip at the stripe, as a fraction.
pub const CONVERTER_SLIP: Default = default(0.05, 0.03, 0.08);
/// Growth of a bias slick at trap speed, as a fraction.
pub const SLICK_GROWTH: Default = default(0.04, 0.02, 0.06);
/// How long a shift takes, s.
pub const SHIFT_S: Default = default(0.15, 0.05, 0.4);
/// Engine speed at the stripe over shift speed, where the gearing is not known.
pub const STRIPE_OVER_SHIFT: Default = default(0.97, 0.88, 1.0);
/// Ratios of an automatic that nobody entered.
pub const AUTOMATIC: [f64; 3] = [2.48, 1.48, 1.0];
/// Ratios of a manual gearbox that nobody entered.
pub const MANUAL: [f64; 4] = [2.66, 1.78, 1.3, 1.0];
