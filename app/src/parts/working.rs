//! The working of a finding: formula, inputs and source, behind a disclosure.

use super::words;
use leptos::prelude::*;

/// What stands behind a figure.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Working {
    /// The formula in words or signs.
    pub formula: String,
    /// Each input's name and value.
    pub inputs: Vec<(String, String)>,
    /// The source, or that there is none.
    pub source: String,
}

/// The disclosure. Its words are only made once it has been opened.
pub fn working_view(working: impl Into<Signal<Working>>) -> AnyView {
    let working = working.into();
    let opened = RwSignal::new(false);
    view! {
        <details class="working" on:toggle=move |_| opened.set(true)>
            <summary>{words::working()}</summary>
            {move || opened.get().then(|| body(working.get()))}
        </details>
    }
    .into_any()
}

fn body(working: Working) -> AnyView {
    let inputs = working
        .inputs
        .into_iter()
        .map(|(name, value)| view! { <div><dt>{name}</dt><dd>{value}</dd></div> })
        .collect_view();
    view! {
        <p class="formula"><span class="quiet">{words::formula()}</span> " " {working.formula}</p>
        <p class="quiet">{words::inputs()}</p>
        <dl>{inputs}</dl>
        <p><span class="quiet">{words::source()}</span> " " {working.source}</p>
    }
    .into_any()
}
