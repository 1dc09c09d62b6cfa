//! The language in use, as the script that starts the module tells it (`app/build/boot.js`), and the person's choice.

use crate::browser;
use crate::words::tongue;
use js_sys::Reflect;
use laneside_core::quantity::{Mark, System, mark, set_mark};
use leptos::prelude::window;
use wasm_bindgen::JsValue;

const STORE: &str = "laneside.language";

/// The languages there are words for, each by its own name.
pub const LANGUAGES: [(&str, &str); 2] = [("en", "English"), ("es", "Español")];

/// What the script tells; absent in a page that has none.
fn told(name: &str) -> Option<JsValue> {
    let all = Reflect::get(&js_sys::global(), &"laneside".into()).ok()?;
    Reflect::get(&all, &name.into()).ok()
}

fn told_text(name: &str) -> String {
    told(name)
        .and_then(|text| text.as_string())
        .unwrap_or_default()
}

fn is_comma() -> bool {
    told("comma").is_some_and(|comma| comma.is_truthy())
}

/// Takes over words and mark of the language, before anything is said. In a worker as in the page.
pub fn start() {
    if is_comma() {
        set_mark(Mark::Comma);
    }
    let words = told_text("words");
    if !words.is_empty() {
        tongue::load(&words, mark());
    }
}

/// The place of the language in use among [`LANGUAGES`].
pub fn spoken() -> usize {
    let spoken = told_text("spoken");
    let at = LANGUAGES.iter().position(|(tag, _)| *tag == spoken);
    at.unwrap_or_default()
}

/// The own name of a language that was wanted and could not be had.
pub fn lost() -> Option<&'static str> {
    let lost = told_text("lost");
    let language = LANGUAGES.iter().find(|(tag, _)| *tag == lost)?;
    Some(language.1)
}

/// Speaks another language from the next start on, which is at once.
pub fn choose(at: usize) {
    if let Some((tag, _)) = LANGUAGES.get(at) {
        browser::store(STORE, tag);
        let _ = window().location().reload();
    }
}

/// The address of the words in use and whether decimals stand behind a comma, for a worker.
pub fn for_worker() -> String {
    let comma = if is_comma() { "comma" } else { "" };
    format!("#{}#{comma}", told_text("file"))
}

/// The units of where a language is spoken, as a browser names it: inches in the United States, Liberia and Myanmar.
pub fn units_of(language: &str) -> System {
    let mut parts = language.split('-');
    let is_inch = parts.next() == Some("my") || parts.any(|part| matches!(part, "US" | "LR"));
    if is_inch {
        System::Inch
    } else {
        System::Metric
    }
}

#[cfg(test)]
mod tests {
    use super::units_of;
    use laneside_core::quantity::System::{Inch, Metric};

    #[test]
    fn inches_are_guessed_where_they_are_used() {
        for (language, units) in [
            ("en-US", Inch),
            ("es-US", Inch),
            ("es-MX", Metric),
            ("es-419", Metric),
            ("my", Inch),
            ("my-MM", Inch),
            ("en-LR", Inch),
            ("en-GB", Metric),
            ("en", Metric),
            ("de-DE", Metric),
            ("", Metric),
        ] {
            assert_eq!(units_of(language), units, "{language}");
        }
    }
}
