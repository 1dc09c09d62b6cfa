//! The text field: a name, or several lines. It is typed on the phone's own keyboard.

use super::field::{Fault, fault_view};
use super::locked::is_locked;
use leptos::prelude::*;

/// A text field in the making.
pub struct Text {
    id: String,
    label: String,
    text: Signal<String>,
    on_text: Callback<String>,
    note: String,
    placeholder: String,
    fault: Signal<Option<Fault>>,
    has_lines: bool,
}

impl Text {
    /// A field of this id and label. `on_text` is called with the whole text at every change.
    pub fn new(
        id: impl Into<String>,
        label: impl Into<String>,
        text: impl Into<Signal<String>>,
        on_text: Callback<String>,
    ) -> Self {
        Self {
            id: id.into(),
            label: label.into(),
            text: text.into(),
            on_text,
            note: String::new(),
            placeholder: String::new(),
            fault: Signal::stored(None),
            has_lines: false,
        }
    }

    /// What the thing is, in one line.
    pub fn note(mut self, note: impl Into<String>) -> Self {
        self.note = note.into();
        self
    }

    /// What stands in while nothing is typed.
    pub fn placeholder(mut self, placeholder: impl Into<String>) -> Self {
        self.placeholder = placeholder.into();
        self
    }

    /// What is wrong with the text.
    pub fn fault(mut self, fault: Signal<Option<Fault>>) -> Self {
        self.fault = fault;
        self
    }

    /// Several lines rather than one.
    pub fn lines(mut self) -> Self {
        self.has_lines = true;
        self
    }

    /// The field's view.
    pub fn view(self) -> AnyView {
        let Self {
            text,
            on_text,
            fault,
            ..
        } = self;
        let (about, found) = (format!("{}-about", self.id), format!("{}-fault", self.id));
        let described = format!("{about} {found}");
        let id = self.id.clone();
        let invalid = Signal::derive(move || fault.with(Option::is_some));
        let mark = Signal::derive(move || invalid.get().then_some("true"));
        let input = if self.has_lines {
            view! {
                <textarea
                    id=self.id
                    rows="5"
                    spellcheck="false"
                    autocomplete="off"
                    aria-describedby=described
                    aria-invalid=mark
                    disabled=is_locked
                    prop:value=text
                    on:input=move |ev| on_text.run(event_target_value(&ev))
                ></textarea>
            }
            .into_any()
        } else {
            view! {
                <input
                    id=self.id
                    type="text"
                    spellcheck="false"
                    autocomplete="off"
                    placeholder=self.placeholder
                    aria-describedby=described
                    aria-invalid=mark
                    disabled=is_locked
                    prop:value=text
                    on:input=move |ev| on_text.run(event_target_value(&ev))
                />
            }
            .into_any()
        };
        view! {
            <div class="field text" class:wrong=invalid>
                <div class="field-line">
                    <div class="field-label">
                        <label for=id>{self.label}</label>
                    </div>
                    <span class="slot">{input}</span>
                </div>
                {fault_view(found, fault)}
                <p id=about class="note">{self.note}</p>
            </div>
        }
        .into_any()
    }
}
