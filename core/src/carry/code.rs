//! A text as a QR code (ISO/IEC 18004): squares, dark or light.
//!
//! A part of a car is at most version 14 (73 squares a side) with medium correction: with its quiet zone a phone
//! 390 px wide shows a square of it 4.4 px large, about 0.8 mm, so that another phone's camera at 20 cm of the screen
//! (1280 px across) has about four pixels for each; there the reader finds nearly every picture of it (from version 17 on it
//! misses every third one at three to four pixels). Medium correction forgives a reflection over a seventh of the
//! code. The demo cars take four codes; version 17 would save one, smaller ones make many.

use qrcodegen::{Mask, QrCode, QrCodeEcc, QrSegment, Version};

/// Light squares around a code, as the standard wants.
pub const QUIET: usize = 4;

/// Largest version for a part of a car.
const PART: u8 = 14;
/// Largest version for a link, which is one code or none: it is also printed, and looked at from nearby.
const LINK: u8 = 25;

/// A code's squares.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Code {
    /// Squares a side.
    pub size: usize,
    /// Row by row, whether each is dark.
    pub dark: Vec<bool>,
}

impl Code {
    /// A part of a car, as [`super::parts::split`] writes it; `None` for any text that does not fit.
    pub fn of_part(text: &str) -> Option<Self> {
        let is_fit = QrSegment::is_alphanumeric(text);
        let segment = is_fit.then(|| QrSegment::make_alphanumeric(text))?;
        Self::new(&segment, QrCodeEcc::Medium, PART)
    }

    /// A link; `None` where it is too long for one code.
    pub fn of_link(text: &str) -> Option<Self> {
        Self::new(
            &QrSegment::make_bytes(text.as_bytes()),
            QrCodeEcc::Low,
            LINK,
        )
    }

    fn new(segment: &QrSegment, correction: QrCodeEcc, largest: u8) -> Option<Self> {
        let segments = std::slice::from_ref(segment);
        let (least, most) = (Version::new(1), Version::new(largest));
        let mask = None::<Mask>;
        let code =
            QrCode::encode_segments_advanced(segments, correction, least, most, mask, true).ok()?;
        let size = code.size();
        let dark = (0..size * size).map(|at| code.get_module(at % size, at / size));
        Some(Self {
            size: usize::try_from(size).ok()?,
            dark: dark.collect(),
        })
    }

    /// The dark squares as the path of a drawing, a square being 1, with the quiet zone around.
    pub fn path(&self) -> String {
        let mut path = String::new();
        for (row, squares) in self.dark.chunks(self.size).enumerate() {
            let mut at = 0;
            while at < self.size {
                let run = squares[at..].iter().take_while(|dark| **dark).count();
                if run > 0 {
                    let (x, y) = (at + QUIET, row + QUIET);
                    path.push_str(&format!("M{x} {y}h{run}v1h-{run}z"));
                }
                at += run.max(1);
            }
        }
        path
    }

    /// Squares a side with the quiet zone.
    pub fn side(&self) -> usize {
        self.size + 2 * QUIET
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::carry::parts::split;

    /// Verification, ISO/IEC 18004: a code has 21 squares and four more for each version, and squares of seven to be found
    /// by in three of its corners.
    #[test]
    fn every_part_fits_a_code_and_other_text_none() {
        for part in split(&[7; 2_000]).unwrap() {
            let code = Code::of_part(&part).unwrap();
            assert!(code.size >= 21 && (code.size - 21).is_multiple_of(4));
            assert_eq!(code.dark.len(), code.size * code.size);
            assert_eq!(code.side(), code.size + 8);
            let row = |row: usize, from: usize| &code.dark[row * code.size + from..][..7];
            for (top, left) in [(0, 0), (0, code.size - 7), (code.size - 7, 0)] {
                assert_eq!(row(top, left), [true; 7]);
                assert_eq!(
                    row(top + 1, left),
                    [true, false, false, false, false, false, true]
                );
                assert_eq!(
                    row(top + 3, left),
                    [true, false, true, true, true, false, true]
                );
            }
        }
        assert_eq!(Code::of_part("lower case"), None);
        assert_eq!(Code::of_part(&"A".repeat(5_000)), None);
    }
}
