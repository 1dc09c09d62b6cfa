//! A size between two big buttons: a step over the sizes on hand, or any size typed in place.

use super::field::{Fault, Tag, fault_view, tag_view};
use super::input::{NumberInput, number_input};
use super::locked::is_locked;
use super::pad::{Keys, Pad};
use super::words;
use leptos::prelude::*;

/// A stepper in the making.
pub struct Stepper {
    input: NumberInput,
    class: &'static str,
    on_step: Callback<bool>,
    ends: Signal<(bool, bool)>,
    tag: Signal<Tag>,
    note: Signal<String>,
    fault: Signal<Option<Fault>>,
}

impl Stepper {
    /// A stepper of this id and label over a typed text; `on_step` is called with whether to go larger.
    pub fn new(
        id: impl Into<String>,
        label: impl Into<String>,
        text: impl Into<Signal<String>>,
        on_text: Callback<String>,
        on_step: Callback<bool>,
    ) -> Self {
        let id = id.into();
        Self {
            input: NumberInput {
                described_by: format!("{id}-fault"),
                id,
                label: label.into(),
                text: text.into(),
                on_text,
                keys: Keys::Length,
                unit: Signal::default(),
                assumed: Signal::default(),
                invalid: Signal::stored(false),
                on_next: None,
            },
            class: "stepper",
            on_step,
            ends: Signal::stored((false, false)),
            tag: Signal::stored(Tag::None),
            note: Signal::default(),
            fault: Signal::stored(None),
        }
    }

    /// The unit of a bare number.
    pub fn unit(mut self, unit: impl Into<Signal<String>>) -> Self {
        self.input.unit = unit.into();
        self
    }

    /// The value that stands in while nothing is typed.
    pub fn assumed(mut self, value: impl Into<Signal<String>>) -> Self {
        self.input.assumed = value.into();
        self
    }

    /// Draws it as the pulley on the car: solid line, its color.
    pub fn on_car(mut self) -> Self {
        self.class = "stepper on-car";
        self
    }

    /// Draws it as the pulley to try: dashed line, its color.
    pub fn tried(mut self) -> Self {
        self.class = "stepper try";
        self
    }

    /// Whether there is nothing smaller, and nothing larger, to step to.
    pub fn ends(mut self, ends: Signal<(bool, bool)>) -> Self {
        self.ends = ends;
        self
    }

    /// Where the size comes from.
    pub fn tag(mut self, tag: Signal<Tag>) -> Self {
        self.tag = tag;
        self
    }

    /// What belongs to the size without being part of it; may be empty.
    pub fn note(mut self, note: Signal<String>) -> Self {
        self.note = note;
        self
    }

    /// What is wrong with the text.
    pub fn fault(mut self, fault: Signal<Option<Fault>>) -> Self {
        self.input.invalid = Signal::derive(move || fault.with(Option::is_some));
        self.fault = fault;
        self
    }

    /// The stepper's view.
    pub fn view(self, pad: Pad) -> AnyView {
        let Self { on_step, ends, .. } = self;
        let id = self.input.id.clone();
        let label = self.input.label.clone();
        let fault = fault_view(format!("{id}-fault"), self.fault);
        let button = |face: &'static str, name: String, at_end: Signal<bool>, larger: bool| {
            view! {
                <button
                    type="button"
                    class="step"
                    aria-label=name
                    disabled=move || at_end.get() || is_locked()
                    on:click=move |_| on_step.run(larger)
                >
                    {face}
                </button>
            }
            .into_any()
        };
        let less = button(
            "−",
            format!("{label}, {}", words::less()),
            Signal::derive(move || ends.get().0),
            false,
        );
        let more = button(
            "+",
            format!("{label}, {}", words::more()),
            Signal::derive(move || ends.get().1),
            true,
        );
        view! {
            <div class=self.class>
                <div class="stepper-label">
                    <label for=id>{label}</label>
                    {tag_view(self.tag)}
                    <span class="quiet">{self.note}</span>
                </div>
                <div class="stepper-line">{less} {number_input(pad, self.input)} {more}</div>
                {fault}
            </div>
        }
        .into_any()
    }
}
