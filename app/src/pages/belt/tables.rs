//! Lengths, wrap, grip and clearance in rows.

use super::{Found, laid};
use crate::parts::live::{all, live_option};
use crate::parts::table::table;
use crate::words::belt as words;
use laneside_core::belt::BeltStudy;
use laneside_core::car::Car;
use leptos::prelude::*;

type Rows = Vec<Vec<String>>;

fn texts(head: &[&'static str]) -> Signal<Vec<String>> {
    Signal::stored(head.iter().map(|text| (*text).to_owned()).collect())
}

/// A table that is there as long as it has rows.
fn listed(
    found: Found,
    caption: &'static str,
    head: Signal<Vec<String>>,
    note: &'static str,
    rows: fn(&Car, &BeltStudy) -> Rows,
) -> AnyView {
    let rows = Memo::new(move |_| laid(found, rows).unwrap_or_default());
    let is_there = Memo::new(move |_| rows.with(|rows| !rows.is_empty()));
    live_option(move || {
        is_there.get().then(|| {
            let note = (!note.is_empty()).then(|| view! { <p class="note">{note}</p> });
            view! { {table(caption, head, rows)} {note} }.into_any()
        })
    })
}

/// All of them.
pub fn tables(found: Found) -> AnyView {
    let two = texts(&words::two_head());
    all([
        listed(found, words::lengths(), two, "", words::length_rows),
        listed(
            found,
            words::clearances(),
            two,
            words::clearances_note(),
            words::clearance_rows,
        ),
        listed(
            found,
            words::offers(),
            texts(&words::offers_head()),
            words::offers_note(),
            words::offer_rows,
        ),
        listed(
            found,
            words::grip(),
            two,
            words::grip_note(),
            words::grip_rows,
        ),
        listed(found, words::wraps(), two, "", words::wrap_rows),
        cautions(found),
    ])
}

fn cautions(found: Found) -> AnyView {
    live_option(move || {
        let said = laid(found, words::cautions)?;
        (!said.is_empty()).then(|| {
            let each = said
                .into_iter()
                .map(|one| view! { <li>{one}</li> })
                .collect_view();
            view! {
                <h2 class="belt-cautions">{words::cautions_label()}</h2>
                <ul>{each}</ul>
            }
            .into_any()
        })
    })
}

/// How the distances agree.
pub fn residuals(found: Found) -> AnyView {
    let both = Memo::new(move |_| {
        laid(found, |car, belt| {
            let laid = &belt.comparison.on_car.nominal;
            let placement = laid.placement.as_ref()?;
            Some((words::residual_rows(car, placement), laid.by_order))
        })
        .flatten()
    });
    let is_there = Memo::new(move |_| both.with(Option::is_some));
    let rows = move |at: usize| {
        Signal::derive(move || {
            both.get()
                .map_or_else(Vec::new, |(rows, _)| rows[at].clone())
        })
    };
    live_option(move || {
        is_there.get().then(|| {
            let by_order = move || {
                let by_order = both.with(|both| both.as_ref().is_some_and(|both| both.1));
                by_order.then(|| view! { <p class="note">{words::by_order()}</p> }.into_any())
            };
            all([
                table(words::residuals(), texts(&words::residuals_head()), rows(0)),
                live_option(by_order),
                table(words::spreads(), texts(&words::spreads_head()), rows(1)),
            ])
        })
    })
}
