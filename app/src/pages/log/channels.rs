//! Which column is what: a sentence each, all confirmed by one tap.

use crate::log::{Columns, Pick};
use crate::pages::Desk;
use crate::parts::choice::Choice;
use crate::parts::field::{fault_view, how_view};
use crate::parts::live::{all, live_option, live_text};
use crate::words::log::channels as words;
use crate::words::names;
use laneside_core::log::channels::Role;
use leptos::prelude::*;
use std::sync::Arc;

type Picks = RwSignal<Vec<Option<Pick>>>;

/// The channels, with a way to change each.
pub fn channels(desk: Desk, columns: Columns) -> AnyView {
    let logs = desk.logs;
    let picks: Picks = RwSignal::new(columns.picks.clone());
    let columns = Arc::new(columns);
    let row = |(place, role): (usize, Role)| channel(&columns, picks, place, role);
    let (shown, others): (Vec<_>, Vec<_>) =
        Role::ALL
            .into_iter()
            .enumerate()
            .partition(|(place, role)| {
                role.is_needed() || columns.picks.get(*place).is_some_and(Option::is_some)
            });
    let shown: Vec<AnyView> = shown.into_iter().map(row).collect();
    let others: Vec<AnyView> = others.into_iter().map(row).collect();
    let others = (!others.is_empty()).then(|| {
        view! {
            <details class="rare">
                <summary>{words::others()}</summary>
                {all(others)}
            </details>
        }
        .into_any()
    });
    let read = columns.read.clone();
    view! {
        <section class="log-channels">
            <h2>{words::right()}</h2>
            {all(shown)}
            {others}
            {fault_view("log-channels-fault".to_owned(), logs.refused.into())}
            <p class="note">{read}</p>
            {super::start::cancel(desk)}
            <div class="thumb">
                <button
                    type="button"
                    class="button"
                    disabled=move || logs.working.get()
                    on:click=move |_| logs.confirm(picks.get_untracked())
                >
                    {live_text(move || {
                        let words = if logs.working.get() { words::working() } else { words::confirm() };
                        words.to_owned()
                    })}
                </button>
            </div>
        </section>
    }
    .into_any()
}

fn channel(columns: &Arc<Columns>, picks: Picks, place: usize, role: Role) -> AnyView {
    let told = Arc::clone(columns);
    let picked = move || picks.with(|picks| picks.get(place).copied().flatten());
    let sentence = Signal::derive(move || words::sentence(&told, place, role, picked()));
    let columns = Arc::clone(columns);
    let change = move || pickers(&columns, picks, place, role);
    view! {
        <div class="log-channel">
            <h3>{words::role(role)}</h3>
            {how_view(format!("log-{place}"), sentence, words::change(), change.into())}
        </div>
    }
    .into_any()
}

/// Column and unit, made only once they are wanted.
fn pickers(columns: &Arc<Columns>, picks: Picks, place: usize, role: Role) -> AnyView {
    let picked = move || picks.with(|picks| picks.get(place).copied().flatten());
    let names = columns.columns.iter().map(|(name, _)| name.clone());
    let options = [words::none().to_owned()].into_iter().chain(names);
    let set = move |pick: Option<Pick>| {
        picks.update(|picks| {
            if let Some(here) = picks.get_mut(place) {
                *here = pick;
            }
        });
    };
    let guessed = columns.picks.get(place).copied().flatten();
    let on_column = move |at: usize| {
        let column = at.checked_sub(1);
        set(column.map(|column| match guessed {
            Some((guess, unit)) if guess == column => (column, unit),
            _ => (column, 0),
        }));
    };
    let column = Choice::new(
        format!("log-column-{place}"),
        words::column(),
        options,
        Signal::derive(move || Some(picked().map_or(0, |(column, _)| column + 1))),
        Callback::new(on_column),
    );
    let units = role.units();
    let unit = live_option(move || {
        let (column, _) = picked()?;
        let choice = Choice::new(
            format!("log-unit-{place}"),
            words::unit(),
            units.iter().map(|unit| names::unit(unit.symbol())),
            Signal::derive(move || picked().map(|(_, unit)| unit)),
            Callback::new(move |unit| set(Some((column, unit)))),
        );
        Some(choice.row())
    });
    all([column.row(), unit])
}
