//! What the groups of the page are made of: fields, picks of one of a few, disclosures.

use super::super::Desk;
use super::super::entry::entry_field;
use super::super::missing::missing;
use crate::browser;
use crate::parts::choice::Choice;
use crate::parts::field::Tag;
use crate::parts::live::{all, live_option};
use crate::words::tongue::look;
use laneside_core::car::Car;
use laneside_core::car::entry::Field;
use leptos::prelude::*;

/// One of a few, kept in the car: which is picked, and what a pick changes.
#[derive(Clone, Copy)]
pub struct Pick {
    /// Id in the document.
    pub id: &'static str,
    /// Legend, then one line of what it means (may be empty); both as the catalog has them.
    pub words: (&'static str, &'static str),
    /// The options as the catalog has them, counted from zero.
    pub options: &'static [&'static str],
    /// Which one the car has.
    pub read: fn(&Car) -> Option<usize>,
    /// Puts one into the car.
    pub write: fn(&mut Car, usize),
    /// The option that stands for "not said", tagged as assumed.
    pub unsaid: Option<usize>,
}

impl Pick {
    fn picked(self, desk: Desk) -> Signal<Option<usize>> {
        Signal::derive(move || desk.store.with_car(self.read).flatten())
    }

    fn on_pick(self, desk: Desk) -> Callback<usize> {
        let store = desk.store;
        Callback::new(move |at| {
            let before = untrack(|| missing(store));
            store.change(&[], |car| (self.write)(car, at));
            // What the pick asks for may be out of sight. Focus stays: arrow keys may be picking yet.
            let first = untrack(|| missing(store)).into_iter().next();
            if let Some(first) = first.filter(|first| !before.contains(first)) {
                request_animation_frame(move || {
                    if let Some(input) = browser::by_id(&first.key()) {
                        browser::show_whole(&input);
                    }
                });
            }
        })
    }

    fn tag(self, picked: Signal<Option<usize>>) -> Signal<Tag> {
        Signal::derive(move || {
            if self.unsaid.is_some() && picked.get() == self.unsaid {
                Tag::Assumed
            } else {
                Tag::None
            }
        })
    }

    /// On plates: for what settles a verdict by one tap.
    pub fn choice(self, desk: Desk) -> Choice {
        let picked = self.picked(desk);
        Choice::new(
            self.id,
            look(self.words.0),
            self.options.iter().map(|option| look(option)),
            picked,
            self.on_pick(desk),
        )
        .tag(self.tag(picked))
        .note(look(self.words.1))
    }

    /// In one row.
    pub fn select(self, desk: Desk) -> Choice {
        let picked = self.picked(desk);
        Choice::new(
            self.id,
            look(self.words.0),
            self.options.iter().map(|option| look(option)),
            picked,
            self.on_pick(desk),
        )
        .tag(self.tag(picked))
        .note(look(self.words.1))
    }
}

/// Number fields, one under the other.
pub fn fields(desk: Desk, fields: &[Field]) -> AnyView {
    let view = |field: &Field| entry_field(desk, *field).view(desk.pad);
    all(fields.iter().map(view).collect::<Vec<_>>())
}

/// The heading of a group. Links lead to it by its id.
pub fn heading(id: &'static str, text: &'static str) -> AnyView {
    view! {
        <h2 id=id tabindex="-1">
            {text}
        </h2>
    }
    .into_any()
}

/// A quiet line.
pub fn note(text: &'static str) -> AnyView {
    view! { <p class="note">{text}</p> }.into_any()
}

/// That a list is full.
pub fn full(text: &'static str) -> AnyView {
    view! { <p class="fault full">{text}</p> }.into_any()
}

/// A disclosure. What is in it is in the document from the start, so that links lead into it.
pub fn rare(summary: AnyView, content: impl Into<Vec<AnyView>>) -> AnyView {
    disclosure(summary, all(content))
}

fn disclosure(summary: AnyView, content: AnyView) -> AnyView {
    view! {
        <details class="rare">
            <summary>{summary}</summary>
            {content}
        </details>
    }
    .into_any()
}

/// One of a list, closed to a line: its name, what is known of it, the field that links lead to, and
/// what is only made once it is opened.
pub fn item(
    is_open: bool,
    name: AnyView,
    line: AnyView,
    first: AnyView,
    rest: Callback<(), AnyView>,
) -> AnyView {
    let opened = RwSignal::new(is_open);
    view! {
        <details class="item" open=is_open on:toggle=move |_| opened.set(true)>
            <summary>
                <span class="item-name">{name}</span>
                <span class="item-line">{line}</span>
            </summary>
            {first}
            {live_option(move || opened.get().then(|| rest.run(())))}
        </details>
    }
    .into_any()
}

/// A button that does one thing to the car.
pub fn button(words: &'static str, hit: Callback<()>) -> AnyView {
    view! {
        <button type="button" class="button" on:click=move |_| hit.run(())>
            {words}
        </button>
    }
    .into_any()
}

/// A button that takes something out: plain, and apart from the others.
pub fn remove(words: &'static str, hit: Callback<()>) -> AnyView {
    view! {
        <p class="apart">
            <button type="button" class="plain" on:click=move |_| hit.run(())>
                {words}
            </button>
        </p>
    }
    .into_any()
}

/// Where one of a list is found once the one at a place is gone.
pub fn closed_up(place: usize, gone: usize) -> Option<usize> {
    match place.cmp(&gone) {
        std::cmp::Ordering::Less => Some(place),
        std::cmp::Ordering::Equal => None,
        std::cmp::Ordering::Greater => Some(place - 1),
    }
}
