//! Sun or night: the person's choice, else the phone's.

use crate::browser;
use leptos::prelude::*;

const STORE: &str = "laneside.theme";
const NAMES: [&str; 3] = ["", "sun", "night"];

/// The theme in force.
#[derive(Clone, Copy)]
pub struct Theme {
    chosen: RwSignal<usize>,
    changed: Trigger,
}

impl Theme {
    /// Puts the stored choice in force and follows the phone's own changes.
    pub fn start() -> Self {
        let stored = browser::stored(STORE).unwrap_or_default();
        let chosen = NAMES.iter().position(|&name| name == stored).unwrap_or(0);
        let changed = Trigger::new();
        mark(NAMES[chosen]);
        browser::on_colors_change(move || changed.notify());
        Self {
            chosen: RwSignal::new(chosen),
            changed,
        }
    }

    /// Tracks every change of the colors in force; the root has the new ones when this fires.
    pub fn track(self) {
        self.changed.track();
    }

    /// The choice, tracked: 0 as the phone, 1 sun, 2 night.
    pub(super) fn chosen(self) -> usize {
        self.chosen.get()
    }

    pub(super) fn choose(self, at: usize) {
        let name = NAMES.get(at).copied().unwrap_or_default();
        if name.is_empty() {
            browser::forget(STORE);
        } else {
            browser::store(STORE, name);
        }
        mark(name);
        self.chosen.set(at);
        self.changed.notify();
    }
}

/// Marks the root for the style sheet.
fn mark(name: &str) {
    let Some(root) = browser::root() else {
        return;
    };
    let _ = if name.is_empty() {
        root.remove_attribute("data-theme")
    } else {
        root.set_attribute("data-theme", name)
    };
}
