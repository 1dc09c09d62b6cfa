//! Quantities: what the car's numbers are measured in, how people type them and how they are shown.
//!
//! Inside, every number with a unit is a [`uom`] quantity, held in SI. [`parse`] is the one way in from typed text,
//! [`show`] the one way out to text, [`range`] says whether a value is believable.
//!
//! ```
//! use laneside_core::quantity::{InLength, InRotationalSpeed, System, inch, parse, rpm, show};
//!
//! let crank = parse::length("5 1/2\"", System::Inch)?;
//! let alternator = inch(2.25);
//! let speed = rpm(7000.0) * (crank / alternator).value;
//! assert_eq!(crank.mm(), 139.7);
//! assert_eq!(speed.rpm().round(), 17111.0);
//! assert_eq!(show::speed(speed.into()).to_string(), "17,110 rpm");
//! # Ok::<(), laneside_core::quantity::parse::ParseError>(())
//! ```

mod mark;
pub mod parse;
pub mod plain;
pub mod range;
pub mod show;
#[cfg(test)]
mod show_tests;
mod units;

pub use mark::{Mark, mark, set_mark};
pub use units::*;

use serde::{Deserialize, Serialize};

/// The unit system a person reads and types in. It decides the unit of a bare number and how a value is shown, never
/// how it is stored.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum System {
    /// Inches and degrees Fahrenheit.
    Inch,
    /// Millimeters and degrees Celsius.
    Metric,
}

impl System {
    /// Both systems, for tables and pickers.
    pub const ALL: [Self; 2] = [Self::Inch, Self::Metric];

    /// The system that this one is not.
    #[must_use]
    pub const fn other(self) -> Self {
        match self {
            Self::Inch => Self::Metric,
            Self::Metric => Self::Inch,
        }
    }
}
