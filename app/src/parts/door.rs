//! A door: one big way on, where a page asks which way the person wants to go.

use leptos::prelude::*;

/// A door: its words, one line of what lies behind it, its link.
pub fn door(title: impl Into<String>, line: impl Into<String>, href: String) -> AnyView {
    view! {
        <a class="door" href=href>
            <span class="door-title">{title.into()}</span>
            <span class="door-line">{line.into()}</span>
        </a>
    }
    .into_any()
}
