//! Bytes in several texts, each for a code of its own: read in any order, twice or not, put together again.
//!
//! A text is [`MARK`] and, in Base45, a header of six bytes (how many there are, which one this is, a check of the
//! whole) and its piece. The check tells one car's codes from another's, and damage from none.

use super::base45;

/// What each text starts with: whose it is, and the version of what follows.
pub const MARK: &str = "LS1:";

/// How many codes one car takes at the most.
pub const MOST: usize = 32;

/// Bytes of a piece at the most: what a code of version 14 with medium correction holds beside mark and header.
pub const PIECE: usize = 342;

const HEADER: usize = 6;

/// Splits bytes into as few texts as hold them, about as long as each other; `None` where they are none or too many.
pub fn split(bytes: &[u8]) -> Option<Vec<String>> {
    let count = bytes.len().div_ceil(PIECE);
    if count == 0 || count > MOST {
        return None;
    }
    let check = crc32(bytes).to_be_bytes();
    let pieces = bytes.chunks(bytes.len().div_ceil(count));
    let text = |(place, piece): (usize, &[u8])| {
        let mut part = vec![count as u8, place as u8];
        part.extend(check);
        part.extend(piece);
        format!("{MARK}{}", base45::encode(&part))
    };
    Some(pieces.enumerate().map(text).collect())
}

/// Why a text was not taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Refused {
    /// No part of a car.
    #[error("found a code that is none of a car's")]
    Foreign,
    /// Of a newer version.
    #[error("found a code of a newer version")]
    Newer,
    /// A part of another car than those before.
    #[error("found a code of another car")]
    OtherCar,
    /// All are there, but they are not what was sent.
    #[error("found damaged codes")]
    Damaged,
}

/// What was taken so far.
#[derive(Clone, Debug, Default)]
pub struct Collected {
    check: u32,
    pieces: Vec<Option<Vec<u8>>>,
}

impl Collected {
    /// How many parts there are, and how many are taken; zero of zero before the first.
    pub fn progress(&self) -> (usize, usize) {
        (self.pieces.iter().flatten().count(), self.pieces.len())
    }

    /// The places that are still wanted, counted from 1.
    pub fn wanted(&self) -> Vec<usize> {
        let places = self.pieces.iter().enumerate();
        places
            .filter(|(_, piece)| piece.is_none())
            .map(|(place, _)| place + 1)
            .collect()
    }

    /// Takes a text; the whole once it is there.
    ///
    /// # Errors
    /// [`Refused`]; what was taken before stays, unless all of it is damaged: then it starts anew.
    pub fn take(&mut self, text: &str) -> Result<Option<Vec<u8>>, Refused> {
        let (count, place, check, piece) = read(text)?;
        if self.pieces.is_empty() {
            self.check = check;
            self.pieces = vec![None; count];
        } else if check != self.check || count != self.pieces.len() {
            return Err(Refused::OtherCar);
        }
        match &mut self.pieces[place] {
            empty @ None => *empty = Some(piece),
            // The same place twice must say the same.
            Some(before) if *before != piece => return Err(Refused::OtherCar),
            Some(_) => {}
        }
        if self.pieces.iter().any(Option::is_none) {
            return Ok(None);
        }
        let whole: Vec<u8> = self.pieces.iter().flatten().flatten().copied().collect();
        if crc32(&whole) == self.check {
            Ok(Some(whole))
        } else {
            *self = Self::default();
            Err(Refused::Damaged)
        }
    }
}

/// Count, place, check and piece of a text.
fn read(text: &str) -> Result<(usize, usize, u32, Vec<u8>), Refused> {
    let Some(rest) = text.strip_prefix(MARK) else {
        let digits = text
            .strip_prefix("LS")
            .and_then(|rest| rest.split_once(':'));
        let is_newer = digits.is_some_and(|(digits, _)| digits.parse::<u16>().is_ok());
        return Err(if is_newer {
            Refused::Newer
        } else {
            Refused::Foreign
        });
    };
    // Longer than any code is no use looking at.
    let part = Some(rest).filter(|rest| rest.len() <= (HEADER + PIECE + 2) * 3 / 2);
    let part = part.and_then(base45::decode).ok_or(Refused::Foreign)?;
    let [count, place, a, b, c, d, piece @ ..] = part.as_slice() else {
        return Err(Refused::Foreign);
    };
    let (count, place) = (usize::from(*count), usize::from(*place));
    if count == 0 || count > MOST || place >= count || piece.is_empty() || piece.len() > PIECE {
        return Err(Refused::Foreign);
    }
    Ok((
        count,
        place,
        u32::from_be_bytes([*a, *b, *c, *d]),
        piece.to_vec(),
    ))
}

/// CRC-32 as ISO-HDLC (ITU-T V.42) has it.
fn crc32(bytes: &[u8]) -> u32 {
    let step = |crc: u32| (crc >> 1) ^ (0xEDB8_8320 & (crc & 1).wrapping_neg());
    !bytes.iter().fold(!0, |crc, &byte| {
        (0..8).fold(crc ^ u32::from(byte), |crc, _| step(crc))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bytes(length: usize, seed: u8) -> Vec<u8> {
        let next = |at: usize| (at * 31 + at / 7).wrapping_add(usize::from(seed)) as u8;
        (0..length).map(next).collect()
    }

    fn all(texts: &[String]) -> Result<Option<Vec<u8>>, Refused> {
        let mut collected = Collected::default();
        texts.iter().try_fold(None, |_, text| collected.take(text))
    }

    /// Validation. Source: the check value of CRC-32/ISO-HDLC, from memory of the published catalog of CRCs.
    #[test]
    fn the_check_is_the_usual_one() {
        assert_eq!(crc32(b"123456789"), 0xCBF4_3926);
        assert_eq!(crc32(b""), 0);
    }

    #[test]
    fn any_order_and_duplicates_are_fine() {
        for length in [1, 2, PIECE, PIECE + 1, 1_222, PIECE * MOST] {
            let sent = bytes(length, 1);
            let mut texts = split(&sent).unwrap();
            assert_eq!(texts.len(), length.div_ceil(PIECE));
            assert_eq!(all(&texts), Ok(Some(sent.clone())));
            texts.reverse();
            let mut twice = vec![texts[0].clone(), texts[0].clone()];
            twice.extend(texts);
            assert_eq!(all(&twice), Ok(Some(sent)));
        }
        assert_eq!(split(&[]), None);
        assert_eq!(split(&bytes(PIECE * MOST + 1, 0)), None);
    }

    #[test]
    fn another_cars_code_is_refused_and_harms_nothing() {
        let (mine, other) = (bytes(1_500, 1), bytes(1_500, 2));
        let (own, others) = (split(&mine).unwrap(), split(&other).unwrap());
        let mut collected = Collected::default();
        assert_eq!(collected.take(&own[1]), Ok(None));
        assert_eq!(collected.take(&others[0]), Err(Refused::OtherCar));
        assert_eq!(collected.progress(), (1, own.len()));
        assert_eq!(collected.wanted(), [1, 3, 4, 5]);
        for text in [&own[0], &own[2], &own[4]] {
            assert_eq!(collected.take(text), Ok(None));
        }
        assert_eq!(collected.take(&own[3]), Ok(Some(mine)));
    }

    #[test]
    fn damage_is_noticed_and_it_starts_anew() {
        let sent = bytes(PIECE + 9, 1);
        let mut texts = split(&sent).unwrap();
        // Another last character of the same value range: another byte in the piece.
        let last = texts[1].pop().unwrap();
        texts[1].push(if last == '1' { '2' } else { '1' });
        let mut collected = Collected::default();
        assert_eq!(collected.take(&texts[0]), Ok(None));
        assert_eq!(collected.take(&texts[1]), Err(Refused::Damaged));
        assert_eq!(collected.progress(), (0, 0));
        assert_eq!(all(&split(&sent).unwrap()), Ok(Some(sent)));
    }

    #[test]
    fn what_is_none_of_a_cars_is_told_apart() {
        let mut collected = Collected::default();
        let header = |bytes: &[u8]| format!("{MARK}{}", base45::encode(bytes));
        let long = format!("{MARK}{}", "0".repeat(100_000));
        for text in [
            "",
            "https://example.org/",
            "LS1:",
            "LS1:abc",
            "LS1:::::",
            "LSX:AB",
            &long,
            &header(&[1, 0, 0, 0, 0]),
            &header(&[0, 0, 0, 0, 0, 0, 1]),
            &header(&[2, 2, 0, 0, 0, 0, 1]),
            &header(&[200, 2, 0, 0, 0, 0, 1]),
            &header(&[2, 1, 0, 0, 0, 0]),
        ] {
            assert_eq!(collected.take(text), Err(Refused::Foreign), "{text:.20}");
        }
        assert_eq!(collected.take("LS2:QWERTY"), Err(Refused::Newer));
        assert_eq!(collected.progress(), (0, 0));
    }
}
