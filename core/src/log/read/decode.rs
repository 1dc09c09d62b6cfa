//! From a file's bytes to text: which encoding it is, and UTF-16 made UTF-8.
//!
//! Numbers and delimiters are the same bytes in UTF-8 and in the one-byte encodings, so those two pass as they are and
//! are told apart name by name.

/// How a file encodes its text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Encoding {
    /// UTF-8, or one byte a character.
    Bytes,
    /// Two bytes, the lower first.
    Utf16Le,
    /// Two bytes, the higher first.
    Utf16Be,
}

/// The encoding that the file's first bytes show, and the length of the byte-order mark.
pub(super) fn sniff(head: &[u8]) -> (Encoding, usize) {
    match head {
        [0xef, 0xbb, 0xbf, ..] => return (Encoding::Bytes, 3),
        [0xff, 0xfe, ..] => return (Encoding::Utf16Le, 2),
        [0xfe, 0xff, ..] => return (Encoding::Utf16Be, 2),
        _ => {}
    }
    // Without a mark: text of digits has every other byte zero.
    let pairs = head
        .get(..head.len().min(512))
        .unwrap_or(head)
        .chunks_exact(2);
    let count = pairs.len();
    let (mut low, mut high) = (0, 0);
    for pair in pairs {
        low += usize::from(pair[0] == 0 && pair[1] != 0);
        high += usize::from(pair[1] == 0 && pair[0] != 0);
    }
    let most = |zeros: usize| count > 0 && zeros * 10 >= count * 7;
    if most(high) {
        (Encoding::Utf16Le, 0)
    } else if most(low) {
        (Encoding::Utf16Be, 0)
    } else {
        (Encoding::Bytes, 0)
    }
}

/// Makes UTF-8 of UTF-16 that comes in pieces.
#[derive(Debug)]
pub(super) struct Utf16 {
    big_endian: bool,
    /// The first byte of a unit whose second is in the next piece.
    half: Option<u8>,
    /// The first unit of a pair whose second is still to come.
    high: Option<u16>,
}

impl Utf16 {
    pub const fn new(big_endian: bool) -> Self {
        Self {
            big_endian,
            half: None,
            high: None,
        }
    }

    /// Adds the piece's text to `out`; what is no text becomes U+FFFD.
    pub fn decode(&mut self, piece: &[u8], out: &mut Vec<u8>) {
        for &byte in piece {
            let Some(first) = self.half.take() else {
                self.half = Some(byte);
                continue;
            };
            let unit = if self.big_endian {
                u16::from_be_bytes([first, byte])
            } else {
                u16::from_le_bytes([first, byte])
            };
            self.unit(unit, out);
        }
    }

    /// What is left when the file ends in the middle of a character.
    pub fn finish(&mut self, out: &mut Vec<u8>) {
        if self.half.take().is_some() || self.high.take().is_some() {
            push(char::REPLACEMENT_CHARACTER, out);
        }
    }

    fn unit(&mut self, unit: u16, out: &mut Vec<u8>) {
        if let Ok(byte) = u8::try_from(unit)
            && byte < 0x80
            && self.high.is_none()
        {
            out.push(byte);
            return;
        }
        if let Some(high) = self.high.take() {
            if let Some(Ok(c)) = char::decode_utf16([high, unit]).next() {
                push(c, out);
                return;
            }
            push(char::REPLACEMENT_CHARACTER, out);
        }
        if (0xd800..0xdc00).contains(&unit) {
            self.high = Some(unit);
        } else {
            let c = char::from_u32(u32::from(unit));
            push(c.unwrap_or(char::REPLACEMENT_CHARACTER), out);
        }
    }
}

fn push(c: char, out: &mut Vec<u8>) {
    out.extend_from_slice(c.encode_utf8(&mut [0; 4]).as_bytes());
}

/// A name, a unit or an example as text: UTF-8 or else one byte a character, as ISO 8859-1 has them.
pub(super) fn text(bytes: &[u8]) -> String {
    match std::str::from_utf8(bytes) {
        Ok(text) => text.to_owned(),
        Err(_) => bytes.iter().map(|&byte| char::from(byte)).collect(),
    }
}

/// The first byte that no text has: a control character other than those that lay text out.
pub(super) fn first_control(text: &[u8]) -> Option<usize> {
    text.iter().position(|&byte| is_control(byte))
}

/// How many such bytes there are.
pub(super) fn controls(text: &[u8]) -> usize {
    text.iter().filter(|byte| is_control(**byte)).count()
}

const fn is_control(byte: u8) -> bool {
    // 0x1a ends a text file on old systems.
    byte < 0x20 && !matches!(byte, b'\t' | b'\n' | b'\r' | 0x0b | 0x0c | 0x1a | 0x1b)
        || byte == 0x7f
}

#[cfg(test)]
mod tests {
    use super::*;

    fn utf16(text: &str, big_endian: bool) -> Vec<u8> {
        text.encode_utf16()
            .flat_map(|unit| {
                if big_endian {
                    unit.to_be_bytes()
                } else {
                    unit.to_le_bytes()
                }
            })
            .collect()
    }

    #[test]
    fn utf16_is_read_in_pieces_of_any_size() {
        for text in ["t;°C\n0,1;Δ𝄞\r\n", ""] {
            for big_endian in [false, true] {
                let bytes = utf16(text, big_endian);
                for size in 1..=bytes.len().max(1) {
                    let mut decoder = Utf16::new(big_endian);
                    let mut out = Vec::new();
                    for piece in bytes.chunks(size) {
                        decoder.decode(piece, &mut out);
                    }
                    decoder.finish(&mut out);
                    assert_eq!(String::from_utf8(out), Ok(text.to_owned()));
                }
            }
        }
    }

    #[test]
    fn half_a_character_is_replaced() {
        for bytes in [
            &[0x41, 0x00, 0x42][..],
            &[0x41, 0, 0x00, 0xd8],
            &[0x00, 0xdc],
        ] {
            let mut decoder = Utf16::new(false);
            let mut out = Vec::new();
            decoder.decode(bytes, &mut out);
            decoder.finish(&mut out);
            assert!(String::from_utf8(out).is_ok_and(|text| text.ends_with('\u{fffd}')));
        }
    }

    #[test]
    fn encodings_show_in_the_first_bytes() {
        assert_eq!(sniff(b"\xef\xbb\xbftime"), (Encoding::Bytes, 3));
        assert_eq!(sniff(b"time;volts"), (Encoding::Bytes, 0));
        assert_eq!(sniff(b"\xff\xfet\0"), (Encoding::Utf16Le, 2));
        assert_eq!(sniff(b"\xfe\xff\0t"), (Encoding::Utf16Be, 2));
        assert_eq!(sniff(&utf16("time;volts", false)), (Encoding::Utf16Le, 0));
        assert_eq!(sniff(&utf16("time;volts", true)), (Encoding::Utf16Be, 0));
        assert_eq!(sniff(b""), (Encoding::Bytes, 0));
        assert_eq!(text(b"Temp \xb0C"), "Temp °C");
        assert_eq!(text("Temp °C".as_bytes()), "Temp °C");
    }
}
