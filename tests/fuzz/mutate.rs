//! Bytes mutated at random.

use rand::rngs::StdRng;
use rand::{Rng, RngExt};

/// One of the choices.
pub fn pick<'a>(random: &mut StdRng, from: &[&'a str]) -> &'a str {
    from.get(random.random_range(0..from.len().max(1)))
        .copied()
        .unwrap_or_default()
}

/// Cuts, doubles, flips and fills in, up to so many times.
pub fn mutate(random: &mut StdRng, text: &mut Vec<u8>, bits: &[&str], most: usize) {
    for _ in 0..random.random_range(0..=most) {
        let at = random.random_range(0..=text.len());
        let to = (at + random.random_range(0..24)).min(text.len());
        match random.random_range(0..7) {
            0 => {
                if let Some(byte) = text.get_mut(at) {
                    *byte ^= 1 << random.random_range(0..8);
                }
            }
            1 => drop(text.drain(at..to)),
            2 => {
                let piece = text.get(at..to).unwrap_or_default().to_vec();
                let place = random.random_range(0..=text.len());
                text.splice(place..place, piece);
            }
            3 => {
                let byte = random.next_u32().to_le_bytes()[0];
                text.insert(at, byte);
            }
            _ => drop(text.splice(at..at, pick(random, bits).bytes())),
        }
    }
}
