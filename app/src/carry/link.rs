//! A link that carries a car behind its hash: a server never sees it.

use crate::browser;
use crate::parts::field::Fault;
use crate::words::received as words;
use leptos::prelude::window;

/// What stands before the car in the hash.
pub const ROUTE: &str = "#/take/";
/// The longest text of a car in a link, in characters: what goes through every messenger's fields.
pub const LONGEST: usize = 16_000;

/// The link of a car's squeezed bytes; `None` where it would be too long.
pub fn of(bytes: &[u8]) -> Option<String> {
    let text: String = bytes.iter().map(|&byte| char::from(byte)).collect();
    let text = window().btoa(&text).ok()?;
    if text.len() > LONGEST {
        return None;
    }
    let text = text.replace('+', "-").replace('/', "_");
    let address = window().location().href().ok()?;
    let page = address.split('#').next().unwrap_or_default();
    Some(format!("{page}{ROUTE}{}", text.trim_end_matches('=')))
}

/// Whether a hash carries anything.
pub fn carries(hash: &str) -> bool {
    hash.len() > ROUTE.len() && hash.starts_with(ROUTE)
}

/// The squeezed bytes in a hash.
pub fn bytes(hash: &str) -> Result<Vec<u8>, Fault> {
    let text = hash.strip_prefix(ROUTE).unwrap_or_default();
    if text.len() > LONGEST {
        return Err(words::long_link(text.len(), LONGEST));
    }
    let text = text.replace('-', "+").replace('_', "/");
    let bytes = window().atob(&text).map_err(|_| words::broken())?;
    // Each character is one byte.
    Ok(bytes.chars().map(|c| c as u8).collect())
}

/// Goes on from a link without a way back to it: it would be taken again.
pub fn leave(hash: &str) {
    if browser::hash().starts_with(ROUTE) {
        let _ = window().location().replace(hash);
    }
}
