//! Figures of a day at the track from memory, with their ranges.

use crate::data::memory::{Default, default};

use crate::battery::Chemistry;

pub use crate::data::memory::SOURCE;

/// Time in which a battery follows the air around it, s.
pub const BATTERY_COOLING_S: f64 = 10_800.0;

/// Heat that warms a battery by a kelvin, for each Ah of capacity, J/K.
pub const fn battery_j_per_k_ah(chemistry: Chemistry) -> f64 {
    if chemistry.is_lithium() { 110.0 } else { 280.0 }
}

/// Charge in the morning where nobody read it.
pub const START_CHARGE: Default = default(0.9, 0.6, 1.0);
/// Capacity left over capacity when new: in the first season, ...
pub const HEALTH_NEW: Default = default(1.0, 0.95, 1.0);
/// ... after two or three, ...
pub const HEALTH_USED: Default = default(0.85, 0.7, 0.95);
/// ... and older.
pub const HEALTH_OLD: Default = default(0.65, 0.4, 0.85);
/// A capacity as printed, as a fraction either way.
pub const PRINTED_CAPACITY: f64 = 0.05;
/// A resistance as a tester reads it, as a fraction either way.
pub const TESTER: f64 = 0.1;
/// How well a cold-crank rating gives the resistance, as a fraction either way.
pub const RATING_TO_OHM: f64 = 0.2;
/// How well size and length give a lead's resistance with its terminals, as a fraction up.
pub const TERMINALS: f64 = 0.3;
/// How far a drop may be misread, V.
pub const DROP_V: f64 = 0.02;
/// Air over a race day, degrees Celsius.
pub const AMBIENT_C: Default = default(25.0, 15.0, 35.0);
/// Current of a starter, A.
pub const STARTER_A: Default = default(200.0, 150.0, 350.0);
/// How long it turns, s.
pub const STARTER_S: Default = default(1.0, 0.5, 2.0);
/// Current of a pit charger, A.
pub const CHARGER_A: Default = default(10.0, 4.0, 20.0);
/// How far the voltage of a charger is off what a six-cell battery wants, V.
pub const CHARGER_V_OFF: f64 = 0.3;
/// Speed at which output lost over the limit comes back over that at which it goes.
pub const RECOVERS_AT: Default = default(0.9, 0.8, 1.0);
/// Times of a day's steps over what is usual, where nobody entered them.
pub const STEP_TIMES: Default = default(1.0, 0.7, 1.5);
/// How far off a logger or dash is that nobody held against a meter, V.
pub const UNCALIBRATED_V: f64 = 0.1;
/// Lowest voltage to race with on a 12 V system, V.
pub const LEAST_V: f64 = 12.0;
