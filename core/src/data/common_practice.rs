//! Common practice of the trade, without a source.

use super::memory::{Default as Ranged, default};
use crate::finding::{Mark, Source};

/// Marks every figure of this file.
pub const SOURCE: Source = Source {
    citation: "common practice of the trade, no source",
    mark: Mark::CommonPractice,
};

/// Tolerance of a caliper reading on a pulley, mm.
pub const CALIPER_MM: f64 = 0.5;
/// Tolerance of a tape reading on a circumference, mm.
pub const TAPE_ON_CIRCUMFERENCE_MM: f64 = 1.0;
/// Tolerance of a size that was only called ("a two and a quarter"), mm: 1/8 in.
pub const CALLED_MM: f64 = 3.175;
/// Tolerance of a counted ratio, turns of the alternator.
pub const COUNTED_TURNS: f64 = 0.125;
/// Tolerance of a speed read off a tachometer, as a fraction.
pub const TACHOMETER: f64 = 0.02;
/// How far an automatic pulls the idle down in gear, rpm.
pub const IN_GEAR_DROP_RPM: f64 = 100.0;

/// Tolerance of a voltage read with a hand-held meter, V.
pub const METER_V: f64 = 0.1;
/// How far an idle wanders around what was read, rpm.
pub const IDLE_WANDER_RPM: f64 = 50.0;
/// Tolerance of a clamp-meter reading, as a fraction.
pub const CLAMP: f64 = 0.05;
/// Tolerance of a load's current that was entered without one, as a fraction.
pub const LOAD: f64 = 0.1;
/// Launch speed over the limiter's.
pub const LAUNCH_OF_LIMITER: Ranged = default(0.55, 0.35, 0.75);
/// Shift speed over the limiter's.
pub const SHIFT_OF_LIMITER: Ranged = default(0.96, 0.92, 1.0);

/// What a consumer does with its voltage.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TypicalLoad {
    /// Stable code for the word catalog.
    pub code: &'static str,
    /// Typical current, A.
    pub typical_a: f64,
    /// Lowest usual current, A.
    pub lowest_a: f64,
    /// Highest usual current, A.
    pub highest_a: f64,
}

const fn load(code: &'static str, typical_a: f64, lowest_a: f64, highest_a: f64) -> TypicalLoad {
    TypicalLoad {
        code,
        typical_a,
        lowest_a,
        highest_a,
    }
}

/// Typical currents for the picker, with their ranges.
pub const LOADS: [TypicalLoad; 13] = [
    load("fuel_pump", 11.0, 7.0, 15.0),
    load("fuel_pump_large", 15.0, 12.0, 18.0),
    load("fan", 18.0, 6.0, 30.0),
    load("water_pump", 7.0, 4.0, 10.0),
    load("ignition_discharge", 15.0, 6.0, 40.0),
    load("ignition_inductive", 8.0, 6.0, 10.0),
    load("engine_control", 3.5, 2.0, 5.0),
    load("injectors", 6.0, 4.0, 8.0),
    load("logger_dash", 2.0, 1.0, 3.0),
    load("transbrake", 5.0, 3.0, 8.0),
    load("nitrous_solenoid", 10.0, 5.0, 20.0),
    load("brake_lamps", 5.0, 3.0, 8.0),
    load("other", 5.0, 2.0, 10.0),
];

/// A race car whose output lasts keeps this voltage down the track on 12 V; one whose output is
/// gone at high rpm runs into the mid 11s. V.
pub const HEALTHY_PASS_V: f64 = 13.0;
/// Under this while the starter turns, a 12 V engine may not start: from memory, V.
pub const CRANKS_V: f64 = 9.0;
/// Engine speed of a fast idle at which a charging system is read, rpm ...
pub const FAST_IDLE_RPM: f64 = 2_000.0;
/// ... and at the least this much over idle, rpm.
pub const FAST_IDLE_OVER_RPM: f64 = 500.0;
