//! One of several where plates would take too much room: the phone's own picker, in one row.

use super::choice::told;
use super::field::{Tag, tag_view};
use leptos::prelude::*;

/// A select in the making.
pub struct Select {
    id: String,
    label: String,
    options: Vec<String>,
    picked: Signal<Option<usize>>,
    on_pick: Callback<usize>,
    tag: Signal<Tag>,
    note: Signal<String>,
    how: Option<ViewFn>,
}

impl Select {
    /// A select of this id and label; options count from zero.
    pub fn new<T: Into<String>>(
        id: impl Into<String>,
        label: impl Into<String>,
        options: impl IntoIterator<Item = T>,
        picked: impl Into<Signal<Option<usize>>>,
        on_pick: Callback<usize>,
    ) -> Self {
        Self {
            id: id.into(),
            label: label.into(),
            options: options.into_iter().map(Into::into).collect(),
            picked: picked.into(),
            on_pick,
            tag: Signal::stored(Tag::None),
            note: Signal::default(),
            how: None,
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

    /// The select's view.
    pub fn view(self) -> AnyView {
        let Self {
            picked, on_pick, ..
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
        let id = self.id.clone();
        let told = told(&id, self.note, self.how);
        view! {
            <div class="select">
            <div class="field-line">
                <div class="field-label">
                    <label for=id>{self.label}</label>
                    {tag_view(self.tag)}
                </div>
                <select
                    id=self.id
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
