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
            <p class="readout-label">{label}</p>
            <p class="figure">{figure} " " <span class="unit">{unit}</span></p>
            <p class="spread">{spread}</p>
        </div>
    }
    .into_any()
}
