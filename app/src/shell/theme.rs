//! Sun or night: the person's choice, else the phone's.

use crate::browser;
use leptos::prelude::*;

const STORE: &str = "laneside.theme";
const NAMES: [&str; 3] = ["", "sun", "night"];

/// Puts the stored theme in force and gives the choice: 0 as the phone, 1 sun, 2 night.
pub fn start() -> RwSignal<usize> {
    let stored = browser::stored(STORE);
    let chosen = NAMES
        .iter()
        .position(|&name| Some(name) == stored.as_deref())
        .unwrap_or(0);
    let theme = RwSignal::new(chosen);
    Effect::new(move || apply(theme.get()));
    theme
}

fn apply(theme: usize) {
    let name = NAMES.get(theme).copied().unwrap_or_default();
    let root = browser::root();
    if name.is_empty() {
        browser::forget(STORE);
        let _ = root.map(|root| root.remove_attribute("data-theme"));
    } else {
        browser::store(STORE, name);
        let _ = root.map(|root| root.set_attribute("data-theme", name));
    }
}
