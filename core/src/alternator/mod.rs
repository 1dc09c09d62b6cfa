//! What the alternator gives over speed, voltage and temperature, when it turns on, and
//! what it takes from the engine.

mod curve;
mod drag;
mod machine;

pub use curve::{Curve, CurveError, PointCurve, SquareRoot};
pub use drag::{Drag, drag};
pub use machine::{AtBus, Excitation, Fan, Field, Machine, SpeedLimits, Warmth};
