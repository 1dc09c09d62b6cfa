//! Belts by their designation, and the lengths that shops have.

use serde::{Deserialize, Serialize};
use thiserror::Error;

use super::layout::Section;
use crate::data::belt_memory::{LENGTH_STEP_MM, LENGTH_TOLERANCE_MM, LENGTH_TOLERANCE_PART};

/// A belt as it is designated: section and length.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BeltSize {
    /// Section.
    pub section: Section,
    /// Effective length (PK) or the V belt's length along its pitch line, mm.
    pub length_mm: f64,
    /// 95 % half-width of the length, mm; typical while absent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub half_width_mm: Option<f64>,
}

/// Why a text is no designation.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum DesignationError {
    /// Nothing there.
    #[error("empty")]
    Empty,
    /// Neither ribs, PK and length nor a plain length.
    #[error("neither ribs, PK and length nor a length")]
    Unknown,
    /// Another rib profile than PK (PH, PJ, PL, PM): none is used on cars' alternators.
    #[error("another rib profile than PK")]
    OtherProfile,
    /// No belt has so many ribs.
    #[error("no belt has so many ribs")]
    Ribs,
    /// No car's belt is so long or so short.
    #[error("no belt is so long or so short")]
    Length,
}

/// Ribs that belts of cars have.
const RIBS: std::ops::RangeInclusive<u32> = 2..=12;
/// Lengths that belts of cars have, mm.
const LENGTHS_MM: std::ops::RangeInclusive<f64> = 300.0..=4_000.0;

impl BeltSize {
    /// A PK belt.
    pub fn ribbed(ribs: u8, length_mm: f64) -> Self {
        Self {
            section: Section::VRibbed { ribs },
            length_mm,
            half_width_mm: None,
        }
    }

    /// Reads ribs, PK and effective length in mm as printed on the belt ("6PK1255", in any
    /// case, with spaces or hyphens, the two halves either way round), or the plain length of a
    /// V belt in mm ("1255", "V 1255", "1255 mm").
    ///
    /// # Errors
    /// [`DesignationError`] says which part cannot be.
    ///
    /// ```
    /// use laneside_core::belt::{BeltSize, DesignationError};
    ///
    /// assert_eq!(BeltSize::parse("6 pk-1255"), Ok(BeltSize::ribbed(6, 1_255.0)));
    /// assert_eq!(BeltSize::parse("6PJ1255"), Err(DesignationError::OtherProfile));
    /// ```
    pub fn parse(text: &str) -> Result<Self, DesignationError> {
        let compact: String = text
            .chars()
            .filter(|c| !c.is_whitespace() && !matches!(c, '-' | '_' | '/'))
            .map(|c| c.to_ascii_uppercase())
            .collect();
        if compact.is_empty() {
            return Err(DesignationError::Empty);
        }
        let letters: String = compact.chars().filter(char::is_ascii_alphabetic).collect();
        let halves = |at: &str| {
            compact
                .split_once(at)
                .map(|(before, after)| (before.to_owned(), after.to_owned()))
        };
        match letters.as_str() {
            "PK" | "PKMM" => {
                let (before, after) = halves("PK").ok_or(DesignationError::Unknown)?;
                let number = |text: &str| text.trim_end_matches("MM").parse::<u32>().ok();
                let (Some(first), Some(second)) = (number(&before), number(&after)) else {
                    return Err(DesignationError::Unknown);
                };
                // "1255PK6" is as common as "6PK1255".
                let (ribs, length) = (first.min(second), first.max(second));
                if !RIBS.contains(&ribs) {
                    return Err(DesignationError::Ribs);
                }
                let ribs = u8::try_from(ribs).map_err(|_| DesignationError::Ribs)?;
                checked(Self::ribbed(ribs, f64::from(length)))
            }
            "" | "MM" | "V" | "VMM" => {
                let number = compact.trim_start_matches('V').trim_end_matches("MM");
                let length_mm: f64 = number
                    .replace(',', ".")
                    .parse()
                    .map_err(|_| DesignationError::Unknown)?;
                checked(Self {
                    section: Section::V,
                    length_mm,
                    half_width_mm: None,
                })
            }
            "PH" | "PJ" | "PL" | "PM" => Err(DesignationError::OtherProfile),
            _ => Err(DesignationError::Unknown),
        }
    }

    /// The designation, as printed on the belt; a plain length for a V belt.
    pub fn designation(&self) -> String {
        match self.section {
            Section::VRibbed { ribs } => format!("{ribs}PK{:.0}", self.length_mm),
            Section::V => format!("V {:.0}", self.length_mm),
        }
    }

    /// 95 % half-width of its length, mm.
    pub fn tolerance_mm(&self) -> f64 {
        self.half_width_mm
            .unwrap_or_else(|| typical_tolerance_mm(self.length_mm))
    }
}

fn checked(size: BeltSize) -> Result<BeltSize, DesignationError> {
    if LENGTHS_MM.contains(&size.length_mm) {
        Ok(size)
    } else {
        Err(DesignationError::Length)
    }
}

/// How far a belt of this length may be off, mm (from memory; it differs by standard).
pub fn typical_tolerance_mm(length_mm: f64) -> f64 {
    LENGTH_TOLERANCE_MM.max(LENGTH_TOLERANCE_PART * length_mm)
}

/// Lengths between two ends (mm) in steps of 5 mm: a list to begin with, that a person edits.
pub fn usual_lengths_mm(from_mm: f64, to_mm: f64) -> Vec<f64> {
    let step = f64::from(LENGTH_STEP_MM);
    let (first, last) = ((from_mm / step).ceil(), (to_mm / step).floor());
    if !first.is_finite() || !last.is_finite() || last - first > 2_000.0 {
        return Vec::new();
    }
    let mut lengths = Vec::new();
    let mut at = first;
    while at <= last {
        lengths.push(at * step);
        at += 1.0;
    }
    lengths
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn designations_read_and_write() {
        for text in ["6PK1255", "6pk 1255", "1255PK6", "6-PK-1255", "6PK1255mm"] {
            let size = BeltSize::parse(text).unwrap();
            assert_eq!(size.designation(), "6PK1255", "{text}");
        }
        assert_eq!(BeltSize::parse("V 980").unwrap().designation(), "V 980");
        assert_eq!(BeltSize::parse("980,5 mm").unwrap().length_mm, 980.5);
    }

    #[test]
    fn what_is_none_says_why() {
        use DesignationError as E;
        for (text, wanted) in [
            (" ", E::Empty),
            ("PK", E::Unknown),
            ("PK1255", E::Unknown),
            ("6PK", E::Unknown),
            ("belt", E::Unknown),
            ("6PK12.5", E::Unknown),
            ("40PK1255", E::Ribs),
            ("1PK1255", E::Ribs),
            ("6PK12550", E::Length),
            ("6PK60", E::Length),
            ("6PL1255", E::OtherProfile),
            ("12", E::Length),
        ] {
            assert_eq!(BeltSize::parse(text), Err(wanted), "{text}");
        }
    }

    #[test]
    fn lengths_come_in_steps() {
        assert_eq!(
            usual_lengths_mm(1_251.0, 1_266.0),
            [1_255.0, 1_260.0, 1_265.0]
        );
        assert!(usual_lengths_mm(10.0, 5.0).is_empty());
        assert!(usual_lengths_mm(f64::NAN, 5.0).is_empty());
        assert!(usual_lengths_mm(0.0, f64::INFINITY).is_empty());
    }
}
