//! Figures of belt drives from memory, with their ranges.

use crate::data::memory::{Default, default};
use crate::finding::{Mark, Source};

pub use crate::data::memory::SOURCE;

/// Published ways of working that stand behind the belt's formulas.
pub const PATH_SOURCE: Source = Source {
    citation: "closed path over circles: span = sqrt(c^2 - (s2 r2 - s1 r1)^2), wrap from the directions of the spans (derived; held against Shigley's Mechanical Engineering Design, ch. 17, and Hamrock, Fundamentals of Machine Elements, ch. 19)",
    mark: Mark::Derived,
};

/// How a span's pitch tells its tension.
pub const PLUCK_SOURCE: Source = Source {
    citation: "T = 4 m L^2 f^2: a string of mass m for each length and span L that swings at f",
    mark: Mark::Published,
};

/// Grip of a belt on a pulley.
pub const GRIP_SOURCE: Source = Source {
    citation: "(F1 - Fc)/(F2 - Fc) <= exp(f wrap), Fc = m v^2: Shigley's Mechanical Engineering Design, ch. 17; Hamrock, Fundamentals of Machine Elements, ch. 19",
    mark: Mark::Published,
};

/// Where the 5 : 1 of V belts is from.
pub const V_GRIP_SOURCE: Source = Source {
    citation: "V belts: tension ratio 5 : 1 at 180 degrees of wrap",
    mark: Mark::Published,
};

/// Rotor inertia of an alternator, upper end.
pub const INERTIA_SOURCE: Source = Source {
    citation: "rotor with pulley up to 0.0042 kg m2 (published upper end); lower end from memory",
    mark: Mark::Memory,
};

/// How a belt is designated.
pub const DESIGNATION_SOURCE: Source = Source {
    citation: "ISO 9981: number of ribs, PK, effective length in mm",
    mark: Mark::Published,
};

/// From a bare backside pulley's surface to the belt's effective line, mm.
pub const BACK_LINE_MM: Default = default(2.2, 1.9, 3.2);
/// From the effective line to the tips of a PK belt's ribs, mm.
pub const RIB_TIPS_MM: Default = default(2.1, 1.5, 2.8);
/// How far a pulley's rim stands out over its effective (ribs) or bare (back) radius, mm.
pub const RIM_OVER_MM: Default = default(1.5, 0.0, 4.0);
/// Room for the belt's flap, mm.
pub const FLAP_MM: Default = default(4.0, 3.0, 5.0);
/// Mass of a PK belt for each rib, kg/m.
pub const MASS_PER_RIB: Default = default(0.0195, 0.018, 0.021);
/// Mass of a V belt of about 10 mm top width, kg/m.
pub const V_MASS: Default = default(0.10, 0.06, 0.14);
/// Effective coefficient of friction: PK ribs (4 : 1 at 180 degrees), ...
pub const GRIP_RIBS: Default = default(0.441, 0.35, 0.51);
/// ... V (5 : 1), ...
pub const GRIP_V: Default = default(0.512, 0.40, 0.60);
/// ... and the flat back.
pub const GRIP_BACK: Default = default(0.3, 0.2, 0.4);
/// Inertia of an alternator's rotor with its pulley, kg m2.
pub const ROTOR_INERTIA: Default = default(0.0030, 0.0018, 0.0042);
/// Power of a water pump at the limiter, W.
pub const WATER_PUMP_W: Default = default(1_000.0, 400.0, 2_500.0);
/// Power of a steering pump at the limiter, W.
pub const STEERING_W: Default = default(1_200.0, 400.0, 2_500.0);
/// Usual ceiling of belt speed, m/s.
pub const SPEED_CEILING_MPS: f64 = 50.0;
/// Smallest usual diameter under the belt's back, mm.
pub const LEAST_BACK_MM: f64 = 60.0;
/// Smallest usual diameter of a V belt's pulley, mm.
pub const LEAST_V_MM: f64 = 63.0;
/// Tolerance of a tape between two centers, mm.
pub const TAPE_CENTERS_MM: f64 = 1.5;
/// Tolerance of a belt's length: this many mm to 1,000 mm of length, ...
pub const LENGTH_TOLERANCE_MM: f64 = 5.0;
/// ... and this part of the length above.
pub const LENGTH_TOLERANCE_PART: f64 = 0.006;
/// Step of the lengths that shops have, mm.
pub const LENGTH_STEP_MM: u32 = 5;
/// A wrap that most would not go under on a pulley that carries load, degrees.
pub const LEAST_WRAP_DEG: f64 = 120.0;
