//! A readout: a big figure with its label, unit and spread.

use leptos::prelude::*;

/// A readout. `spread` ("18,900 to 19,900") and `unit` may be empty; `class` may be "on-car", "try" or empty.
pub fn readout(
    label: impl Into<Signal<String>>,
    figure: impl Into<Signal<String>>,
    unit: impl Into<Signal<String>>,
    spread: impl Into<Signal<String>>,
    class: &'static str,
) -> AnyView {
    let (label, figure, unit, spread) = (label.into(), figure.into(), unit.into(), spread.into());
    view! {
        <div class=format!("readout {class}")>
            <p class="readout-label">{move || label.get()}</p>
            <p class="figure">{move || figure.get()} " " <span class="unit">{move || unit.get()}</span></p>
            <p class="spread">{move || spread.get()}</p>
        </div>
    }
    .into_any()
}
