//! Whether a value is believable, and whether the other length unit was meant.

use super::parse::{self, ParseError};
use super::{Length, System};
use thiserror::Error;

/// A value outside its range, with the range.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
#[error("out of range")]
pub struct OutOfRange<T: std::fmt::Debug> {
    /// The value found.
    pub value: T,
    /// The least value accepted.
    pub lo: T,
    /// The greatest value accepted.
    pub hi: T,
}

/// Gives `value` back if it lies between `lo` and `hi`, ends included.
///
/// # Errors
/// [`OutOfRange`] if it does not; not-a-number never does.
pub fn within<T: PartialOrd + Copy + std::fmt::Debug>(
    value: T,
    lo: T,
    hi: T,
) -> Result<T, OutOfRange<T>> {
    if lo <= value && value <= hi {
        Ok(value)
    } else {
        Err(OutOfRange { value, lo, hi })
    }
}

/// A typed length read in the length unit that was not meant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OtherReading {
    /// The number as typed.
    pub number: f64,
    /// The system whose length unit it would have.
    pub system: System,
    /// The length it would be.
    pub value: Length,
}

/// Why a text is no length for its field.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum LengthError {
    /// The text is no length at all.
    #[error(transparent)]
    Parse(#[from] ParseError),
    /// It is a length that cannot be.
    #[error("out of range")]
    OutOfRange {
        /// The length and its range.
        found: OutOfRange<Length>,
        /// The same number with the other unit, where that is in range ("89 in is too large, 89 mm would fit").
        other: Option<OtherReading>,
    },
}

/// Reads a length as [`parse::length`] does and checks that it lies between `lo` and `hi`.
///
/// # Errors
/// [`LengthError`]: it cannot be read, or it is out of range; then with the reading in the other unit if that fits.
pub fn length_within(
    text: &str,
    system: System,
    lo: Length,
    hi: Length,
) -> Result<Length, LengthError> {
    let (value, number, read_as) = parse::length_and_unit(text, system)?;
    within(value, lo, hi).map_err(|found| {
        let other = read_as.and_then(|system| {
            let system = system.other();
            let value = parse::length_of(number, system);
            within(value, lo, hi).ok().map(|value| OtherReading {
                number,
                system,
                value,
            })
        });
        LengthError::OutOfRange { found, other }
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{inch, mm, rpm};

    #[test]
    fn ends_belong_to_the_range() {
        assert_eq!(within(2, 2, 5), Ok(2));
        assert_eq!(within(5, 2, 5), Ok(5));
        assert_eq!(
            within(6, 2, 5),
            Err(OutOfRange {
                value: 6,
                lo: 2,
                hi: 5
            })
        );
        assert_eq!(
            within(1, 2, 5),
            Err(OutOfRange {
                value: 1,
                lo: 2,
                hi: 5
            })
        );
        assert!(within(rpm(f64::NAN), rpm(0.0), rpm(9000.0)).is_err());
    }

    fn diameter(text: &str, system: System) -> Result<Length, LengthError> {
        length_within(text, system, mm(20.0), mm(400.0))
    }

    fn offered(text: &str, system: System) -> Option<(f64, System)> {
        match diameter(text, system) {
            Err(LengthError::OutOfRange { other, .. }) => {
                other.map(|other| (other.number, other.system))
            }
            accepted => panic!("{text} should be out of range, was {accepted:?}"),
        }
    }

    #[test]
    fn the_other_unit_is_offered_where_it_fits() {
        assert_eq!(offered("89", System::Inch), Some((89.0, System::Metric)));
        assert_eq!(
            offered("89 in", System::Metric),
            Some((89.0, System::Metric))
        );
        assert_eq!(offered("2 1/4", System::Metric), Some((2.25, System::Inch)));
        assert_eq!(offered("2.25 mm", System::Inch), Some((2.25, System::Inch)));
        assert_eq!(offered("9000", System::Inch), None);
        assert_eq!(offered("0", System::Metric), None);
        // Neither feet nor meters are mistaken for inches or millimeters.
        assert_eq!(offered("89 ft", System::Inch), None);
    }

    #[test]
    fn a_good_length_passes_and_a_bad_text_says_why() {
        assert_eq!(diameter("2 1/4", System::Inch), Ok(inch(2.25)));
        assert_eq!(
            diameter("", System::Inch),
            Err(LengthError::Parse(ParseError::Empty))
        );
    }
}
