//! Base45 (RFC 9285): bytes in the 45 characters that a QR code packs most tightly.

const ALPHABET: &[u8; 45] = b"0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:";

/// Writes bytes: two as three characters, a last one as two.
pub fn encode(bytes: &[u8]) -> String {
    let mut text = String::with_capacity(bytes.len().div_ceil(2) * 3);
    for pair in bytes.chunks(2) {
        let mut value = pair
            .iter()
            .fold(0, |value, &byte| value * 256 + usize::from(byte));
        for _ in 0..=pair.len() {
            text.push(char::from(ALPHABET[value % 45]));
            value /= 45;
        }
    }
    text
}

/// Reads them again; `None` for a text that no bytes are written as.
pub fn decode(text: &str) -> Option<Vec<u8>> {
    let mut bytes = Vec::with_capacity(text.len() / 3 * 2 + 1);
    for group in text.as_bytes().chunks(3) {
        let mut value = 0;
        for one in group.iter().rev() {
            value = value * 45 + ALPHABET.iter().position(|known| known == one)?;
        }
        match group.len() {
            3 => bytes.extend(u16::try_from(value).ok()?.to_be_bytes()),
            2 => bytes.push(u8::try_from(value).ok()?),
            _ => return None,
        }
    }
    Some(bytes)
}
