//! A recorded log: what the charging system really did.
//!
//! Delimited text becomes a table, a table with its channels known a [`Recording`]; passes,
//! figures and a diagnosis are found in that.

pub mod analysis;
pub mod bands;
pub mod channels;
pub mod compare;
mod cut;
pub mod diagnose;
pub mod dwell;
pub mod figures;
pub mod fit;
mod joined;
pub mod kept;
mod known;
mod look;
mod moments;
pub mod passes;
pub mod read;
pub mod readings;
mod robust;
mod sampling;
mod seen;
mod shifts;
pub mod signal;
#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
pub mod thin;
pub mod unit;

pub use analysis::Analysis;
pub use known::{Known, Within};
pub use seen::{Missing, Seen};
pub use signal::{Signal, SignalError};

/// What a log holds once its channels are known, in SI units and rpm.
///
/// Each channel has its own times, all counted from the same moment, since loggers write
/// their channels at their own rates.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Recording {
    /// Engine speed, rpm.
    pub rpm: Signal,
    /// Voltage where the logger reads it, V.
    pub volts: Signal,
    /// Current out of the alternator, A.
    pub alternator_amps: Option<Signal>,
    /// Current into the battery, A; negative out of it.
    pub battery_amps: Option<Signal>,
    /// Throttle, 0 to 1.
    pub throttle: Option<Signal>,
    /// Speed of the car, m/s.
    pub speed: Option<Signal>,
    /// Speed of the alternator, rpm.
    pub alternator_rpm: Option<Signal>,
    /// Air or engine temperature, degrees C.
    pub celsius: Option<Signal>,
}
