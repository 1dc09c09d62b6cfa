//! Where in a file something is.

use serde::{Deserialize, Serialize};

/// A place in a text file, as an editor counts it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Place {
    /// The line, from one. A quoted cell may go on over several.
    pub line: u64,
    /// The character in the line, from one.
    pub column: u64,
}

impl std::fmt::Display for Place {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "line {}, column {}", self.line, self.column)
    }
}

/// The characters in text that is UTF-8, or bytes of one character each where it is not.
pub(super) fn characters(text: &[u8]) -> u64 {
    let count = match std::str::from_utf8(text) {
        Ok(text) => text.chars().count(),
        Err(_) => text.len(),
    };
    count as u64
}
