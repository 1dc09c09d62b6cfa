//! One of a few: real radio buttons on plates that wrap when narrow, or the phone's own picker in one row
//! where plates would take too much room.

use super::field::{Tag, how_view, note_line, tag_view};
use super::locked::is_locked;
use super::words;
use leptos::prelude::*;

/// A choice in the making.
pub struct Choice {
    name: String,
    legend: String,
    options: Vec<String>,
    picked: Signal<Option<usize>>,
    on_pick: Callback<usize>,
    tag: Signal<Tag>,
    note: Signal<String>,
    how: Option<ViewFn>,
    is_free: bool,
}

impl Choice {
    /// A choice of this id (alone in the document) and legend; options count from zero.
    pub fn new<T: Into<String>>(
        name: impl Into<String>,
        legend: impl Into<String>,
        options: impl IntoIterator<Item = T>,
        picked: impl Into<Signal<Option<usize>>>,
        on_pick: Callback<usize>,
    ) -> Self {
        Self {
            name: name.into(),
            legend: legend.into(),
            options: options.into_iter().map(Into::into).collect(),
            picked: picked.into(),
            on_pick,
            tag: Signal::stored(Tag::None),
            note: Signal::default(),
            how: None,
            is_free: false,
        }
    }

    /// Where the pick comes from.
    pub fn tag(mut self, tag: Signal<Tag>) -> Self {
        self.tag = tag;
        self
    }

    /// What the pick means, in one line.
    pub fn note(mut self, note: impl Into<Signal<String>>) -> Self {
        self.note = note.into();
        self
    }

    /// What "How to tell" opens.
    pub fn how(mut self, how: impl Into<ViewFn>) -> Self {
        self.how = Some(how.into());
        self
    }

    /// It changes what is looked at, not the car: it stays open where the car may only be looked at.
    pub fn free(mut self) -> Self {
        self.is_free = true;
        self
    }

    /// On plates.
    pub fn view(self) -> AnyView {
        let Self {
            picked,
            on_pick,
            name,
            is_free,
            ..
        } = self;
        let told = told(&name, self.note, self.how);
        let options = self
            .options
            .into_iter()
            .enumerate()
            .map(|(at, label)| option(name.clone(), at, label, picked, on_pick))
            .collect::<Vec<_>>();
        view! {
            <fieldset class="choice" id=name disabled=move || !is_free && is_locked()>
                <legend>{self.legend} " " {tag_view(self.tag)}</legend>
                <div class="options">{options}</div>
                {told}
            </fieldset>
        }
        .into_any()
    }

    /// In one row.
    pub fn row(self) -> AnyView {
        let Self {
            picked,
            on_pick,
            is_free,
            ..
        } = self;
        let options = self
            .options
            .into_iter()
            .enumerate()
            .map(|(at, label)| {
                let value = at.to_string();
                view! {
                    <option value=value prop:selected=move || picked.get() == Some(at)>
                        {label}
                    </option>
                }
            })
            .collect::<Vec<_>>();
        let id = self.name.clone();
        let told = told(&id, self.note, self.how);
        view! {
            <div class="select">
            <div class="field-line">
                <div class="field-label">
                    <label for=id>{self.legend}</label>
                    {tag_view(self.tag)}
                </div>
                <select
                    id=self.name
                    disabled=move || !is_free && is_locked()
                    on:change=move |ev| {
                        if let Ok(at) = event_target_value(&ev).parse() {
                            on_pick.run(at);
                        }
                    }
                >
                    {options}
                </select>
            </div>
            {told}
            </div>
        }
        .into_any()
    }
}

/// The note, and the disclosure if there is one.
fn told(id: &str, note: Signal<String>, how: Option<ViewFn>) -> AnyView {
    match how {
        Some(how) => how_view(format!("{id}-about"), note, words::how_to_tell(), how),
        None => note_line(note),
    }
}

fn option(
    name: String,
    at: usize,
    label: String,
    picked: Signal<Option<usize>>,
    on_pick: Callback<usize>,
) -> AnyView {
    view! {
        <label class="option">
            <input
                type="radio"
                name=name
                prop:checked=move || picked.get() == Some(at)
                on:change=move |_| on_pick.run(at)
            />
            <span>{label}</span>
        </label>
    }
    .into_any()
}
