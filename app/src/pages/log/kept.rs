//! The passes kept with the car: to keep one, the list, and the time over the limits of all.

use super::evidence::list;
use super::found::Found;
use crate::log::Entry;
use crate::pages::Desk;
use crate::parts::held::Held;
use crate::parts::live::{all, live, live_option};
use crate::parts::table::table;
use crate::parts::text::Text;
use crate::parts::undo::undo_bar;
use crate::words::log::kept as words;
use laneside_core::car::Car;
use laneside_core::log::kept::{KeptPass, worn};
use leptos::prelude::*;

/// The name of the pass that is looked at, and the button that keeps it.
pub fn keep(desk: Desk, found: Found) -> AnyView {
    let kept = desk.logs.kept;
    let is_kept = Held::new(move || {
        let now = found.current.get();
        now.is_some_and(|now| {
            kept.all
                .with(|all| all.iter().any(|entry| same(&entry.pass, &now)))
        })
    });
    let is_there = Held::new(move || found.pass.with(Option::is_some));
    let on_keep = move |_| {
        if let Some(pass) = found.current.get_untracked() {
            kept.keep(vec![(*pass).clone()]);
        }
    };
    let on_text = Callback::new(move |typed: String| found.name.set(typed));
    live(move || {
        if !is_there.get() {
            return ().into_any();
        }
        if is_kept.get() {
            return view! { <p class="log-is-kept">{words::is_kept()}</p> }.into_any();
        }
        view! {
            {Text::new("log-name", words::name(), found.name, on_text).view()}
            <p class="actions">
                <button type="button" class="button large" on:click=on_keep>
                    {words::keep()}
                </button>
            </p>
        }
        .into_any()
    })
}

/// Whether it is the same pass of the same log.
pub fn same(one: &KeptPass, other: &KeptPass) -> bool {
    // What was read back is rounded.
    const NEAR: f64 = 1e-3;
    let of = |pass: &KeptPass| {
        let span = pass.pass.span;
        let lowest = pass
            .figures
            .lowest
            .found()
            .map_or(0.0, |lowest| lowest.volts);
        [span.from_s, span.to_s, pass.pass.highest_rpm, lowest]
    };
    of(one)
        .iter()
        .zip(of(other))
        .all(|(one, other)| (one - other).abs() < NEAR)
}

/// The list, and the time over the limits.
pub fn kept(desk: Desk) -> AnyView {
    let kept = desk.logs.kept;
    let rows = live(move || {
        let entries = kept.all.get();
        if entries.is_empty() {
            return ().into_any();
        }
        // The newest first.
        let units = desk.store.units();
        let car = Car::new("", units);
        let rows = entries.iter().rev().map(|entry| row(desk, &car, entry));
        let worn = worn_table(&car, &entries);
        view! {
            <h2>{words::kept()}</h2>
            <ul class="ways log-passes">{all(rows.collect::<Vec<_>>())}</ul>
            <p class="note">{words::kept_note()}</p>
            {worn}
        }
        .into_any()
    });
    let trouble = live_option(move || {
        let trouble = kept.trouble.get()?;
        Some(view! { <p class="caution" role="alert">{words::trouble(trouble)}</p> }.into_any())
    });
    let unreadable = live_option(move || {
        let some = kept.unreadable.get();
        some.then(|| list(vec![words::unreadable().to_owned()]))
    });
    let deleted = Signal::derive(move || {
        kept.deleted
            .with(|entry| entry.as_ref().map(|entry| words::deleted(&entry.pass.name)))
    });
    let bar = undo_bar(
        deleted,
        (words::undo(), Callback::new(move |()| kept.undelete())),
        (
            words::close(),
            Callback::new(move |()| kept.deleted.set(None)),
        ),
    );
    all([trouble, rows, unreadable, bar])
}

fn row(desk: Desk, car: &Car, entry: &Entry) -> AnyView {
    let number = entry.number;
    view! {
        <li>
            <p>
                <strong>{entry.pass.name.clone()}</strong>
                <span class="log-kept">{words::line(car, &entry.pass)}</span>
            </p>
            <button type="button" class="plain" on:click=move |_| desk.logs.kept.delete(number)>
                {words::delete()}
            </button>
        </li>
    }
    .into_any()
}

fn worn_table(car: &Car, entries: &[Entry]) -> Option<AnyView> {
    let all = worn(entries.iter().map(|entry| &*entry.pass));
    let rows = words::worn(car, &all);
    let head = words::worn_head().map(str::to_owned).to_vec();
    (!rows.is_empty()).then(|| {
        table(
            words::worn_label(),
            Signal::stored(head),
            Signal::stored(rows),
        )
    })
}
