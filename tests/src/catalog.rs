//! The catalog of words: what the app's source says, and what `app/words/es.po` has for it.
//!
//! The source is read by the same code that expands `say!`, so that a message here is a message there.

#[path = "../../app/say/src/message.rs"]
#[allow(dead_code, reason = "the macros alone need what fills a text")]
mod message;
mod po;
mod source;

pub use po::{Entry, Po};
pub use source::{Message, Stray, gather};

use std::path::{Path, PathBuf};

/// What parts a context from its message in an id, as in gettext.
pub const CONTEXT_END: char = '\u{4}';

/// The project's folder.
#[must_use]
pub fn project() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

/// The catalog of the second language.
#[must_use]
pub fn spanish() -> PathBuf {
    project().join("app/words/es.po")
}

/// The placeholders of a message, sorted: `{0}` twice counts twice. The mark of decimals, `{.}`, is none.
#[must_use]
pub fn placeholders(text: &str) -> Vec<&str> {
    let mut found: Vec<&str> = text
        .split('{')
        .skip(1)
        .filter_map(|rest| rest.split_once('}'))
        .map(|(inside, _)| inside)
        .filter(|inside| *inside != ".")
        .collect();
    found.sort_unstable();
    found
}
