//! Round after round, what saves a day, and the same day in other ways.

use super::Found;
use crate::pages::Desk;
use crate::pages::pass::judged;
use crate::parts::live::{all, live_option};
use crate::parts::table::table;
use crate::parts::working::{Working, working_view};
use crate::store::Answer;
use crate::words::{day as words, names, pass};
use laneside_core::race::{Otherwise, rescues as find};
use leptos::prelude::*;
use std::sync::Arc;

/// Round after round, with either pulley.
pub fn rounds(desk: Desk, found: Found) -> AnyView {
    let one = move |place: usize| {
        let name = Memo::new(move |_| found.get()?.each.get(place).map(|(name, _)| name.clone()));
        let rows = Signal::derive(move || {
            let days = found.get();
            let day = days.as_ref().and_then(|days| days.each.get(place));
            day.map_or_else(Vec::new, |(_, day)| words::rounds(day, desk.store.units()))
        });
        let head = words::ROUNDS_HEAD.map(str::to_owned).to_vec();
        live_option(move || Some(table(name.get()?, Signal::stored(head.clone()), rows)))
    };
    view! {
        <h2>{words::ROUNDS_TABLE}</h2>
        {one(0)}
        {one(1)}
    }
    .into_any()
}

/// What saves a day that ends too soon.
pub fn rescues(settled: Signal<Option<Arc<Answer>>>) -> AnyView {
    live_option(move || {
        let answer = settled.get()?;
        let study = answer.study.as_ref().ok()?;
        let each = judged(&answer).into_iter().filter_map(|(name, judged)| {
            let found = find(&answer.car, &study.tolerances, judged)?;
            let mut lines: Vec<String> = found
                .iter()
                .map(|rescue| words::rescue(&answer.car, rescue))
                .collect();
            if lines.is_empty() {
                lines.push(words::NO_RESCUE.to_owned());
            }
            let lines = lines
                .into_iter()
                .map(|line| view! { <li>{line}</li> })
                .collect_view();
            let view = view! {
                <h3>{name}</h3>
                <ul>{lines}</ul>
            };
            Some(view.into_any())
        });
        let each: Vec<AnyView> = each.collect();
        (!each.is_empty()).then(|| {
            view! {
                <h2>{words::RESCUES}</h2>
                <p class="note">{words::RESCUES_NOTE}</p>
                {all(each)}
            }
            .into_any()
        })
    })
}

/// Back to back, on the battery alone, without the rev, over the limit.
pub fn otherwise(found: Found, settled: Signal<Option<Arc<Answer>>>) -> AnyView {
    live_option(move || {
        let answer = settled.get()?;
        let study = answer.study.as_ref().ok()?;
        let each = judged(&answer).into_iter().map(|(name, judged)| {
            let other = Otherwise::new(&answer.car, &study.tolerances, judged);
            let gone = found.with_untracked(|found| {
                let days = found.as_ref()?;
                days.each.iter().find(|one| one.0 == name)?.1.gone
            });
            let lines = words::otherwise(&other, gone)
                .into_iter()
                .map(|line| view! { <li>{line}</li> })
                .collect_view();
            view! {
                <h3>{name}</h3>
                <ul>{lines}</ul>
            }
            .into_any()
        });
        Some(
            view! {
                <h2>{words::OTHERWISE}</h2>
                {all(each.collect::<Vec<_>>())}
            }
            .into_any(),
        )
    })
}

/// What stands behind the figures, with the energy books.
pub fn working(desk: Desk, found: Found) -> AnyView {
    let store = desk.store;
    let working = Signal::derive(move || {
        let Some(answer) = store.answer() else {
            return Working::default();
        };
        let Ok(study) = &answer.study else {
            return Working::default();
        };
        let resolved = study.tolerances.resolved();
        let mut inputs: Vec<(String, String)> = resolved
            .supply_inputs
            .iter()
            .map(|input| {
                (
                    names::input(&answer.car, input.id),
                    pass::input_line(&answer.car, input),
                )
            })
            .collect();
        if let Some(days) = found.get() {
            let books = days
                .each
                .iter()
                .map(|(name, day)| (name.clone(), words::books(&day.books())));
            inputs.extend(books);
        }
        Working {
            formula: pass::FORMULA.to_owned(),
            inputs,
            source: words::SOURCES.to_owned(),
        }
    });
    working_view(working)
}
