//! The language in use: a table from English to another, taken over once before anything is said, for as long as the
//! page or the worker lives. English has none.
//!
//! The script that starts the module has chosen the language and fetched its file (`app/build/speech.js`): one message a
//! line, English and translation parted by a tab, sorted by the English.

use laneside_core::quantity::Mark;
use std::fmt::{Display, Write};
use std::sync::OnceLock;

/// English and what it is in the language in use, sorted by the English.
type Table = Vec<(&'static str, &'static str)>;

static TABLE: OnceLock<Table> = OnceLock::new();

/// What parts a context from its message.
const CONTEXT_END: char = '\u{4}';

/// Speaks by this file from now on, with this mark where a translation has `{.}` in a number. A second one is ignored.
pub fn load(file: &str, mark: Mark) {
    let file = file.replace("{.}", mark.decimal().encode_utf8(&mut [0; 4]));
    let lines = Box::leak(file.into_boxed_str()).lines();
    let _ = TABLE.set(lines.filter_map(|line| line.split_once('\t')).collect());
}

fn find(id: &str) -> Option<&'static str> {
    let table = TABLE.get()?;
    let at = table.binary_search_by_key(&id, |(id, _)| id).ok()?;
    table.get(at).map(|(_, text)| *text)
}

// None of these is written out where it is called: there are more than a thousand places.

/// A text in the language in use; what the table does not have stays as it is.
#[inline(never)]
pub fn look(text: &str) -> &str {
    find(text).unwrap_or(text)
}

/// As [`look`], for each of a list.
#[inline(never)]
pub fn look_each<const N: usize>(mut texts: [&'static str; N]) -> [&'static str; N] {
    for text in &mut texts {
        *text = look(text);
    }
    texts
}

/// As [`look`], for one of several texts that are written alike in English and told apart by a context.
#[inline(never)]
pub fn look_in(context: &str, text: &'static str) -> &'static str {
    find(&[context, text].join(CONTEXT_END.encode_utf8(&mut [0; 4]))).unwrap_or(text)
}

/// A text with its placeholders filled: `{0}` by the first, and so on, in whatever order the language has them.
#[inline(never)]
pub fn fill(text: &str, with: &[&dyn Display]) -> String {
    let mut filled = String::new();
    let mut rest = look(text);
    while let Some((before, after)) = rest.split_once('{') {
        filled.push_str(before);
        let (place, after) = after.split_at_checked(2).unwrap_or_default();
        let place = place
            .as_bytes()
            .first()
            .map_or(u8::MAX, |digit| digit.wrapping_sub(b'0'));
        if let Some(value) = with.get(usize::from(place)) {
            let _ = write!(filled, "{value}");
        }
        rest = after;
    }
    filled.push_str(rest);
    filled
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn placeholders_are_filled_in_the_order_of_the_language() {
        let file = "at 13.5\ta 13{.}5\nby {0} of {1}\tde {1} por {0}\nlap\tvuelta\nverb\u{4}lap\tdar la vuelta";
        load(file, Mark::Comma);
        assert_eq!(look("at 13.5"), "a 13,5");
        assert_eq!(look("lap"), "vuelta");
        assert_eq!(look("Nettle"), "Nettle");
        assert_eq!(look_in("verb", "lap"), "dar la vuelta");
        assert_eq!(look_in("noun", "lap"), "lap");
        assert_eq!(fill("by {0} of {1}", &[&2, &"x{0}"]), "de x{0} por 2");
        assert_eq!(fill("{0}, {0}", &[&1]), "1, 1");
        assert_eq!(fill("open {", &[&1]), "open ");
    }
}
