//! The number field: what is asked, what is typed, what is wrong with it, and how to measure it.

use super::input::{NumberInput, number_input};
use super::live::live_option;
use super::pad::{Keys, Pad};
use super::words;
use leptos::prelude::*;

/// Where a value comes from.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Tag {
    /// Nothing to say.
    #[default]
    None,
    /// A typical value stands in.
    Assumed,
    /// The app filled it in.
    Suggested,
    /// There is no answer without it.
    Missing,
}

/// The word of a tag, dotted underlined if the value is not the person's.
pub fn tag_view(tag: Signal<Tag>) -> AnyView {
    live_option(move || {
        let (class, word) = match tag.get() {
            Tag::None => return None,
            Tag::Assumed => ("tag assumed", words::assumed()),
            Tag::Suggested => ("tag suggested", words::suggested()),
            Tag::Missing => ("tag missing", words::missing()),
        };
        Some(view! { <span class=class>{word}</span> }.into_any())
    })
}

/// What is wrong with a typed text, in two lines.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// What was found.
    pub found: String,
    /// What is needed instead.
    pub needed: String,
}

/// The two lines of an error, with a bar at their left.
pub fn fault_view(id: String, fault: Signal<Option<Fault>>) -> AnyView {
    view! {
        <div id=id class="fault" aria-live="polite">
            {live_option(move || {
                fault
                    .get()
                    .map(|f| {
                        view! { <p class="found">{f.found}</p><p class="needed">{f.needed}</p> }.into_any()
                    })
            })}
        </div>
    }
    .into_any()
}

/// A number field in the making.
pub struct Field {
    input: NumberInput,
    fault: Signal<Option<Fault>>,
    note: Signal<String>,
    typical: Signal<String>,
    how: Option<ViewFn>,
    missing: Signal<bool>,
    is_large: bool,
}

impl Field {
    /// A field of this id and label. `on_text` is called with the whole text at every change.
    pub fn new(
        id: impl Into<String>,
        label: impl Into<String>,
        text: impl Into<Signal<String>>,
        on_text: Callback<String>,
    ) -> Self {
        let id = id.into();
        Self {
            input: NumberInput {
                described_by: format!("{id}-about {id}-fault"),
                id,
                label: label.into(),
                text: text.into(),
                on_text,
                keys: Keys::Decimal,
                unit: Signal::default(),
                assumed: Signal::default(),
                invalid: Signal::stored(false),
                on_next: None,
            },
            fault: Signal::stored(None),
            note: Signal::default(),
            typical: Signal::default(),
            how: None,
            missing: Signal::stored(false),
            is_large: false,
        }
    }

    /// Another label, where one field stands many times.
    pub fn labeled(mut self, label: String) -> Self {
        self.input.label = label;
        self
    }

    /// Called with the whole text at every change, instead of what the field was made with.
    pub fn on_text(mut self, on_text: Callback<String>) -> Self {
        self.input.on_text = on_text;
        self
    }

    /// The keys the pad shows.
    pub fn keys(mut self, keys: Keys) -> Self {
        self.input.keys = keys;
        self
    }

    /// The unit of a bare number ("in", "mm", "rpm", "A").
    pub fn unit(mut self, unit: impl Into<Signal<String>>) -> Self {
        self.input.unit = unit.into();
        self
    }

    /// The value that stands in while nothing is typed; it is tagged as assumed then.
    pub fn assumed(mut self, value: impl Into<Signal<String>>) -> Self {
        self.input.assumed = value.into();
        self
    }

    /// Whether there is no answer without it.
    pub fn missing(mut self, missing: Signal<bool>) -> Self {
        self.missing = missing;
        self
    }

    /// What is wrong with the text.
    pub fn fault(mut self, fault: Signal<Option<Fault>>) -> Self {
        self.input.invalid = Signal::derive(move || fault.with(Option::is_some));
        self.fault = fault;
        self
    }

    /// What the thing is, in one line.
    pub fn note(mut self, note: impl Into<Signal<String>>) -> Self {
        self.note = note.into();
        self
    }

    /// What is typical, and where that comes from.
    pub fn typical(mut self, typical: impl Into<Signal<String>>) -> Self {
        self.typical = typical.into();
        self
    }

    /// What "How to measure" opens: steps, a drawing.
    pub fn how(mut self, how: impl Into<ViewFn>) -> Self {
        self.how = Some(how.into());
        self
    }

    /// What the next key does instead of going to the next input.
    pub fn on_next(mut self, on_next: Callback<()>) -> Self {
        self.input.on_next = Some(on_next);
        self
    }

    /// One large entry, alone on its board.
    pub fn large(mut self) -> Self {
        self.is_large = true;
        self
    }

    /// The field's view.
    pub fn view(self, pad: Pad) -> AnyView {
        let id = self.input.id.clone();
        let label = self.input.label.clone();
        let (text, assumed) = (self.input.text, self.input.assumed);
        let stands_in =
            move || text.with(|t| t.trim().is_empty()) && assumed.with(|a| !a.is_empty());
        // Alone on its board it needs no telling.
        let (missing, is_large) = (self.missing, self.is_large);
        let tag = Signal::derive(move || {
            if stands_in() {
                Tag::Assumed
            } else if !is_large && missing.get() {
                Tag::Missing
            } else {
                Tag::None
            }
        });
        let about = format!("{id}-about");
        let (note, typical) = (self.note, self.typical);
        // With a disclosure the note is its summary, and what is typical stands in it.
        let told = match self.how {
            Some(how) => {
                let how = move || view! { {how.run()} {typical_line(typical)} };
                how_view(about, note, words::how(), how.into())
            }
            None => {
                view! { <div id=about>{note_line(note)} {typical_line(typical)}</div> }.into_any()
            }
        };
        let fault = fault_view(format!("{id}-fault"), self.fault);
        let invalid = self.input.invalid;
        view! {
            <div class="field" class:large=self.is_large class:wrong=invalid>
                <div class="field-line">
                    <div class="field-label">
                        <label for=id>{label}</label>
                        {tag_view(tag)}
                    </div>
                    {number_input(pad, self.input)}
                </div>
                {fault}
                {told}
            </div>
        }
        .into_any()
    }
}

/// A quiet line, where there is one.
pub fn note_line(note: Signal<String>) -> AnyView {
    led_line("", note)
}

fn led_line(lead: &'static str, text: Signal<String>) -> AnyView {
    live_option(move || {
        let text = text.get();
        (!text.is_empty()).then(|| view! { <p class="note">{lead} " " {text}</p> }.into_any())
    })
}

fn typical_line(typical: Signal<String>) -> AnyView {
    led_line(words::typical(), typical)
}

/// The disclosure of how to find out, after a note of this id. What is in it is only made once it is opened.
pub fn how_view(about: String, note: Signal<String>, words: &'static str, how: ViewFn) -> AnyView {
    let opened = RwSignal::new(false);
    view! {
        <details class="how" on:toggle=move |_| opened.set(true)>
            <summary>
                <span>
                    <span id=about class="quiet">{note}</span>
                    " "
                    <u>{words}</u>
                </span>
            </summary>
            {live_option(move || opened.get().then(|| how.run()))}
        </details>
    }
    .into_any()
}
