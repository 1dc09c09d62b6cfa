//! Any of several: checkboxes on plates.

use super::locked::is_locked;
use leptos::prelude::*;

/// Checkboxes under a legend; `checked` tells of each whether it is, `on_toggle` is called with its place.
pub fn checks(
    legend: impl Into<String>,
    options: Vec<String>,
    checked: Signal<Vec<bool>>,
    on_toggle: Callback<usize>,
) -> AnyView {
    let plates = options
        .into_iter()
        .enumerate()
        .map(|(at, label)| {
            let is_checked = move || checked.with(|all| all.get(at).copied().unwrap_or_default());
            view! {
                <label class="option">
                    <input
                        type="checkbox"
                        disabled=is_locked
                        prop:checked=is_checked
                        on:change=move |_| on_toggle.run(at)
                    />
                    <span>{label}</span>
                </label>
            }
        })
        .collect::<Vec<_>>();
    view! {
        <fieldset class="choice">
            <legend>{legend.into()}</legend>
            <div class="options">{plates}</div>
        </fieldset>
    }
    .into_any()
}
