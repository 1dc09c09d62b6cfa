//! What can be wrong with an entry.

use crate::alternator::CurveError;
use crate::belt::DesignationError;
use crate::car::check::Fault;
use crate::quantity::Length;
use crate::quantity::parse::{Kind, ParseError};
use crate::quantity::range::{LengthError, OtherReading};

/// What the numbers of a range are in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Quantity {
    /// rpm.
    Speed,
    /// A.
    Current,
    /// V.
    Voltage,
    /// Degrees Celsius.
    Temperature,
    /// Turns.
    Turns,
    /// Hundredths.
    Percent,
    /// What [`crate::quantity::plain`] shows of this kind.
    Of(Kind),
}

/// Why typed text was not taken: what was found and what is needed, as data.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum EntryError {
    /// It is no quantity of the kind asked for.
    #[error(transparent)]
    Parse(#[from] ParseError),
    /// A number outside its range.
    #[error("found {found}, need {low} to {high}")]
    Range {
        /// What was found.
        found: f64,
        /// Lowest accepted.
        low: f64,
        /// Highest accepted.
        high: f64,
        /// What they are in.
        quantity: Quantity,
    },
    /// A length outside its range.
    #[error("length out of range")]
    Length {
        /// What was found.
        found: Length,
        /// Lowest accepted.
        low: Length,
        /// Highest accepted.
        high: Length,
        /// The same number in the other unit, where that would fit.
        other: Option<OtherReading>,
    },
    /// A line of the curve that is not two numbers.
    #[error("line {line}: found {found:?}, need a speed and a current")]
    CurveLine {
        /// Which line, counted from 1.
        line: usize,
        /// What it says.
        found: String,
    },
    /// Points that make no curve.
    #[error(transparent)]
    Curve(CurveError),
    /// The short-time limit without the continuous one.
    #[error("enter the continuous limit first")]
    ContinuousFirst,
    /// A clamp-meter voltage without its current.
    #[error("enter the current first")]
    CurrentFirst,
    /// A pulley's limit without its size.
    #[error("enter the size first")]
    SizeFirst,
    /// Round or hours of a meter reading without its voltage.
    #[error("enter the voltage first")]
    VoltageFirst,
    /// No designation of a belt.
    #[error(transparent)]
    Designation(DesignationError),
    /// It does not fit to the rest of the car.
    #[error(transparent)]
    Fault(Fault),
}

impl EntryError {
    pub(super) fn check(
        found: f64,
        (low, high): (f64, f64),
        quantity: Quantity,
    ) -> Result<(), Self> {
        if (low..=high).contains(&found) {
            Ok(())
        } else {
            Err(Self::Range {
                found,
                low,
                high,
                quantity,
            })
        }
    }
}

impl From<LengthError> for EntryError {
    fn from(error: LengthError) -> Self {
        match error {
            LengthError::Parse(error) => Self::Parse(error),
            LengthError::OutOfRange { found, other } => Self::Length {
                found: found.value,
                low: found.lo,
                high: found.hi,
                other,
            },
        }
    }
}

impl From<Fault> for EntryError {
    fn from(fault: Fault) -> Self {
        match fault {
            Fault::Curve(error) => Self::Curve(error),
            other => Self::Fault(other),
        }
    }
}
