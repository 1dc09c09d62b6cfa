//! What was on the car when, and what is due.

use super::{Bin, Gone, now};
use crate::pages::Desk;
use crate::pages::entry::entry_text;
use crate::parts::held::Held;
use crate::parts::live::{all, live, live_option, live_text};
use crate::parts::table::table;
use crate::words::{history as words, swap};
use laneside_core::car::entry::Field;
use laneside_core::car::history::{Entry, Event};
use laneside_core::job::{due, fittings};
use laneside_core::log::kept::KeptPass;
use leptos::prelude::*;

/// The history, below the card.
pub fn history(desk: Desk, bin: Bin) -> AnyView {
    let store = desk.store;
    let is_full = RwSignal::new(false);
    let is_there = Held::new(move || store.with_car(|_| ()).is_some());
    live(move || {
        if !is_there.get() {
            return ().into_any();
        }
        let full = live_option(move || {
            is_full
                .get()
                .then(|| view! { <p class="caution" role="alert">{swap::full()}</p> }.into_any())
        });
        let button = move |words: &'static str, event: Event| {
            view! {
                <button type="button" class="button" on:click=move |_| write(desk, event, is_full)>
                    {words}
                </button>
            }
            .into_any()
        };
        view! {
            <section class="screen-only history">
                <h2>{words::history()}</h2>
                {all([what_is_due(desk), passes(desk), entries(desk, bin), full])}
                <p class="actions">
                    {button(words::note(), Event::Noted)} {button(words::checked(), Event::Checked)}
                </p>
            </section>
        }
        .into_any()
    })
}

fn write(desk: Desk, event: Event, is_full: RwSignal<bool>) {
    let store = desk.store;
    match untrack(|| store.with_car(|car| car.noted(event, &now()))) {
        Some(Ok(noted)) => {
            is_full.set(false);
            store.change(&[], |car| *car = noted);
        }
        Some(Err(_)) => is_full.set(true),
        None => {}
    }
}

/// Reads something off car and kept passes, tracked.
fn with_passes<T>(
    desk: Desk,
    read: impl FnOnce(&laneside_core::car::Car, &[&KeptPass]) -> T,
) -> Option<T> {
    let passes = desk.logs.kept.all.get();
    let passes: Vec<&KeptPass> = passes.iter().map(|entry| &*entry.pass).collect();
    desk.store.with_car(|car| read(car, &passes))
}

fn what_is_due(desk: Desk) -> AnyView {
    let lines = Held::new(move || {
        let said = |car: &_, passes: &[&KeptPass]| {
            let due = due(car, passes);
            due.iter().map(words::due).collect::<Vec<String>>()
        };
        with_passes(desk, said).unwrap_or_default()
    });
    live_option(move || {
        let lines = lines.get();
        let list = || {
            let each = lines.iter().cloned();
            let each = each.map(|line| view! { <li>{line}</li> }.into_any());
            view! {
                <h3>{words::due_label()}</h3>
                <ul class="due">{all(each.collect::<Vec<_>>())}</ul>
            }
            .into_any()
        };
        (!lines.is_empty()).then(list)
    })
}

fn passes(desk: Desk) -> AnyView {
    let rows = Held::new(move || {
        let rows = |car: &_, passes: &[&KeptPass]| words::fittings(car, &fittings(car, passes));
        with_passes(desk, rows).unwrap_or_default()
    });
    let head = words::passes_head().map(str::to_owned).to_vec();
    let table = table(words::passes(), Signal::stored(head), rows);
    view! {
        {table}
        <p class="note">{words::passes_note()}</p>
    }
    .into_any()
}

/// The entries, the latest first.
fn entries(desk: Desk, bin: Bin) -> AnyView {
    let numbers = Held::new(move || {
        let numbers = |car: &laneside_core::car::Car| {
            let numbers = car.history.iter().map(|entry| entry.number);
            numbers.rev().collect::<Vec<u32>>()
        };
        desk.store.with_car(numbers).unwrap_or_default()
    });
    live(move || {
        let numbers = numbers.get();
        if numbers.is_empty() {
            return view! { <p class="note">{words::empty()}</p> }.into_any();
        }
        let count = numbers.len();
        let each = numbers
            .into_iter()
            .enumerate()
            .map(|(place, number)| one(desk, bin, (count - 1 - place, number)));
        view! {
            <h3>{words::entries()}</h3>
            {all(each.collect::<Vec<_>>())}
        }
        .into_any()
    })
}

fn one(desk: Desk, bin: Bin, (place, number): (usize, u32)) -> AnyView {
    let store = desk.store;
    let entry = Held::new(move || {
        let entry = |car: &laneside_core::car::Car| {
            let mut history = car.history.iter();
            let entry = history.find(|entry| entry.number == number)?;
            let lines = [
                words::on(car, entry),
                words::readings(swap::sides()[0], &entry.before),
                words::readings(swap::sides()[1], &entry.after),
            ];
            Some((words::entry(car, entry), lines))
        };
        store.with_car(entry).flatten().unwrap_or_default()
    });
    // The notes of the card at hand are written on the card.
    let is_of_card = Held::new(move || {
        let entry = |car: &laneside_core::car::Car| {
            let card = car.swap.as_ref()?;
            Some(card.done.as_ref()?.entry)
        };
        store.with_car(entry).flatten() == Some(number)
    });
    let notes = live(move || {
        if is_of_card.get() {
            let said = live_text(move || store.text(Field::HistoryNotes(place)));
            view! { <p>{said}</p> }.into_any()
        } else {
            let notes = entry_text(desk, Field::HistoryNotes(place));
            notes.lines().view()
        }
    });
    let lines = move || {
        let lines = entry.get().1.into_iter().filter(|line| !line.is_empty());
        let lines = lines.map(|line| view! { <p>{line}</p> }.into_any());
        all(lines.collect::<Vec<_>>())
    };
    view! {
        <details class="item">
            <summary>
                <span class="item-name">{live_text(move || entry.get().0)}</span>
            </summary>
            {live(lines)}
            {notes}
            <p class="apart">
                <button type="button" class="plain" on:click=move |_| delete(desk, bin, number)>
                    {words::delete()}
                </button>
            </p>
        </details>
    }
    .into_any()
}

fn delete(desk: Desk, bin: Bin, number: u32) {
    let store = desk.store;
    let found = |car: &laneside_core::car::Car| {
        let place = car.history.iter().position(|one| one.number == number)?;
        Some((place, car.history.get(place)?.clone()))
    };
    let Some((gone, entry)) = untrack(|| store.with_car(found)).flatten() else {
        return;
    };
    bin.0.set(Some(Gone::Entry(Box::new(entry))));
    let moved = move |field| match field {
        Field::HistoryNotes(place) if place == gone => None,
        Field::HistoryNotes(place) if place > gone => Some(Field::HistoryNotes(place - 1)),
        field => Some(field),
    };
    store.remove_listed(moved, |car| {
        car.history.retain(|entry| entry.number != number);
    });
}

/// Puts a deleted entry back to its place.
pub fn put_back(desk: Desk, entry: Entry) {
    let store = desk.store;
    let is_before = |one: &Entry| one.number < entry.number;
    let place = untrack(|| store.with_car(|car| car.history.partition_point(is_before)));
    let place = place.unwrap_or_default();
    let moved = move |field| match field {
        Field::HistoryNotes(other) if other >= place => Some(Field::HistoryNotes(other + 1)),
        field => Some(field),
    };
    store.remove_listed(moved, |car| {
        car.history.insert(place.min(car.history.len()), entry);
    });
}
