//! Round after round, what saves a day, and the same day in other ways.

use super::{Found, Others};
use crate::pages::compared::{called, supply_inputs};
use crate::pages::sweep::{Pauses, judged, late, worked_out};
use crate::parts::live::{all, live_option};
use crate::parts::table::table;
use crate::parts::working::{Working, working_view};
use crate::store::{Answer, Store};
use crate::words::{day as words, pass};
use laneside_core::race::rescues as find;
use leptos::prelude::*;
use std::sync::Arc;

/// Round after round, with either pulley, and what a reading says of the model.
pub fn rounds(found: Found) -> AnyView {
    let one = move |place: usize| {
        let name = Memo::new(move |_| found.get()?.each.get(place).map(|(name, _)| name.clone()));
        let rows = Signal::derive(move || {
            let days = found.get();
            let day = days.as_ref().and_then(|days| days.each.get(place));
            day.map_or_else(Vec::new, |(_, day)| words::rounds(day))
        });
        let head = words::rounds_head().map(str::to_owned).to_vec();
        live_option(move || Some(table(name.get()?, Signal::stored(head.clone()), rows)))
    };
    let reading = live_option(move || {
        let days = found.get()?;
        let (_, first) = days.each.first()?;
        let line = words::reading_off(&first.reading?);
        Some(view! { <p>{line}</p> }.into_any())
    });
    view! {
        <h2>{words::rounds_table()}</h2>
        {reading}
        {one(0)}
        {one(1)}
    }
    .into_any()
}

/// A pulley's name over lines about it.
fn listed(name: &str, lines: Vec<String>) -> AnyView {
    let lines = lines
        .into_iter()
        .map(|line| view! { <li>{line}</li> }.into_any());
    view! {
        <h3>{name.to_owned()}</h3>
        <ul>{all(lines.collect::<Vec<_>>())}</ul>
    }
    .into_any()
}

/// What saves a day that ends too soon, with what each pulley is called.
type Saves = Vec<(String, Vec<String>)>;

async fn saves(answer: Arc<Answer>, pauses: Pauses) -> (Arc<Answer>, Saves) {
    let mut each = Vec::new();
    if let Ok(study) = &answer.study {
        for (name, judged) in called(&answer).into_iter().zip(judged(&answer)) {
            let Some(found) = find(&answer.car, &study.tolerances, judged, &pauses).await else {
                continue;
            };
            let lines = found
                .iter()
                .map(|rescue| words::rescue(&answer.car, rescue));
            let mut lines: Vec<String> = lines.collect();
            if lines.is_empty() {
                lines.push(words::no_rescue().to_owned());
            }
            each.push((name, lines));
        }
    }
    (answer, each)
}

/// What saves a day that ends too soon.
pub fn rescues(store: Store, settled: Signal<Option<Arc<Answer>>>) -> AnyView {
    let found = worked_out(move || settled.get(), saves);
    let view = live_option(move || {
        let (_, each) = found.get()?;
        (!each.is_empty()).then(|| {
            let each = each.into_iter().map(|(name, lines)| listed(&name, lines));
            view! {
                <h2>{words::rescues()}</h2>
                <p class="note">{words::rescues_note()}</p>
                {all(each.collect::<Vec<_>>())}
            }
            .into_any()
        })
    });
    late(store, found, view)
}

/// The same day in other ways. Names and days are those that they were worked out of: what was found last may be of
/// another car by then.
pub fn otherwise(others: Others) -> AnyView {
    live_option(move || {
        let (_, (days, others)) = others.get()?;
        let each = days.each.iter().zip(others.iter());
        let each = each.map(|((name, day), other)| listed(name, words::otherwise(other, day)));
        Some(
            view! {
                <h2>{words::otherwise_label()}</h2>
                {all(each.collect::<Vec<_>>())}
            }
            .into_any(),
        )
    })
}

/// What stands behind the figures, with the energy books.
pub fn working(found: Found) -> AnyView {
    let working = Signal::derive(move || {
        let inputs = found.get().map_or_else(Vec::new, |days| {
            let mut inputs = supply_inputs(&days.answer);
            let books = days.each.iter();
            inputs.extend(books.map(|(name, day)| (name.clone(), words::books(&day.books()))));
            inputs
        });
        Working {
            formula: pass::formula().to_owned(),
            inputs,
            source: words::sources().to_owned(),
        }
    });
    working_view(working)
}
