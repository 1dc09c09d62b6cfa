//! The bare number input and its slot, shared by field and stepper.

use super::locked::is_locked;
use super::pad::{Keys, Pad, Target, has_unit};
use leptos::prelude::*;

/// What a number input needs.
pub struct NumberInput {
    /// The input's id, alone in the document.
    pub id: String,
    /// What is typed into it, for the pad and for assistive software.
    pub label: String,
    /// The text as typed.
    pub text: Signal<String>,
    /// Called with the whole text at every change.
    pub on_text: Callback<String>,
    /// The keys it needs.
    pub keys: Keys,
    /// The unit of a bare number.
    pub unit: Signal<String>,
    /// The value that stands in while nothing is typed; may be empty.
    pub assumed: Signal<String>,
    /// Ids of what describes the input.
    pub described_by: String,
    /// Whether the text has an error.
    pub invalid: Signal<bool>,
    /// What the next key does instead of going to the next input.
    pub on_next: Option<Callback<()>>,
}

/// The input in its slot, with the unit at the end unless the text brings its own.
pub fn number_input(pad: Pad, n: NumberInput) -> AnyView {
    let NumberInput {
        text,
        on_text,
        unit,
        assumed,
        invalid,
        ..
    } = n;
    let id = n.id.clone();
    let label = n.label.clone();
    let target = StoredValue::new((n.id, n.label, n.keys, n.on_next));
    let target = move || {
        let (id, label, keys, on_next) = target.get_value();
        Target {
            id,
            label,
            keys,
            metric: unit.get_untracked() == "mm",
            on_next,
        }
    };
    view! {
        <span class="slot">
            <input
                id=id
                class="num"
                type="text"
                dir="ltr"
                autocomplete="off"
                autocapitalize="off"
                spellcheck="false"
                enterkeyhint="next"
                aria-label=label
                aria-describedby=n.described_by
                aria-invalid=move || invalid.get().then_some("true")
                inputmode=move || if pad.is_system() { "decimal" } else { "none" }
                placeholder=assumed
                disabled=is_locked
                prop:value=text
                on:input=move |ev| on_text.run(event_target_value(&ev))
                on:pointerdown=move |_| pad.pressed()
                on:focus=move |_| pad.focused(target())
                on:click=move |_| {
                    pad.pressed();
                    pad.focused(target());
                }
                on:blur=move |_| pad.left()
                on:keydown=move |ev| match ev.key().as_str() {
                    "Escape" => pad.close(),
                    "Enter" => {
                        ev.prevent_default();
                        pad.next(&target());
                    }
                    _ => {}
                }
            />
            <span class="unit">
                {move || if text.with(|t| has_unit(t)) { String::new() } else { unit.get() }}
            </span>
        </span>
    }
    .into_any()
}
