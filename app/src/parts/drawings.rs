//! Line drawings of how to measure. They are drawn in the color of the text, so both themes have them.

use leptos::prelude::*;

/// A drawing: its lines, and its words for who cannot see it.
#[derive(Clone, Copy)]
pub struct Drawing {
    lines: &'static str,
    words: &'static str,
}

/// A caliper over the rib tips of a pulley.
pub const CALIPER: Drawing = Drawing {
    lines: include_str!("../../drawings/caliper.svg"),
    words: "A caliper closed over the rib tips of a pulley, straight across its middle.",
};

/// All drawings.
pub const ALL: [Drawing; 1] = [CALIPER];

/// A drawing in the page.
pub fn drawing(drawing: Drawing) -> AnyView {
    view! { <div class="drawing" role="img" aria-label=drawing.words inner_html=drawing.lines></div> }.into_any()
}
