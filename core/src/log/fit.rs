//! The log against the car's model.

use crate::car::entry::Field;

use super::Within;

/// What a log can fix.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fixed {
    /// Alternator speed over which output is lost, rpm.
    Lose,
    /// Alternator speed under which it comes back, rpm.
    Recover,
    /// Voltage that the regulator holds, V.
    SetPoint,
    /// What the logger shows over what is there, V.
    Offset,
    /// Load on the pass, A.
    Load,
    /// Resistance of the charge path, ohm.
    PathOhm,
}

/// A value that the log offers for the car.
#[derive(Clone, Debug, PartialEq)]
pub struct Offer {
    /// What.
    pub fixed: Fixed,
    /// Its value with its spread.
    pub value: Within,
    /// What the car says now, or what stands in for it.
    pub present: Option<f64>,
    /// What to type into the car when the person accepts, in the units of `value`; nothing
    /// where the car has no place for it.
    pub edits: Vec<(Field, f64)>,
}

/// One moment of the model's band under the measured voltage.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Simulated {
    /// Time of the log, s.
    pub at_s: f64,
    /// Lowest, V.
    pub low_v: f64,
    /// Highest, V.
    pub high_v: f64,
}

/// A pass of a log against the car's model.
#[derive(Clone, Debug, PartialEq)]
pub struct Against {
    /// The simulated band.
    pub band: Vec<Simulated>,
    /// How much of the time the measured voltage lies in it, 0 to 1.
    pub inside: f64,
    /// Measured less the middle of the band: its median, V.
    pub off_v: f64,
    /// What the log can fix.
    pub offers: Vec<Offer>,
}
