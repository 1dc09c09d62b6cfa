//! What else changes with the pulley, another crank pulley, and how it is all worked out.

use super::boards::drop_crank;
use crate::pages::Desk;
use crate::pages::entry::entry_field;
use crate::parts::live::live_option;
use crate::parts::working::{Working, working_view};
use crate::store::Answer;
use crate::words::tongue::look;
use crate::words::{findings, names, pulleys as words};
use laneside_core::car::Car;
use laneside_core::car::entry::Field;
use laneside_core::choose::{Side, window};
use laneside_core::drive::Hub;
use laneside_core::resolve::CrankPulley;
use laneside_core::study::{Study, accessory_speed_ratio, drag_at_shift, findings as all_findings};
use leptos::prelude::*;
use std::sync::Arc;

/// What a slower pulley gives back, what overruns, what is not counted, cautions.
pub fn more(calm: Signal<Option<Arc<Answer>>>) -> AnyView {
    view! {
        <h2>{words::more()}</h2>
        {live_option(move || {
            let answer = calm.get()?;
            let study = answer.study.as_ref().ok()?;
            Some(lines(&answer.car, study).into_iter().map(paragraph).collect_view().into_any())
        })}
        <p>{words::not_counted()}</p>
        <p class="caution">{words::caution()}</p>
    }
    .into_any()
}

fn paragraph(line: String) -> AnyView {
    view! { <p>{line}</p> }.into_any()
}

/// What else changes, in sentences.
pub fn lines(car: &Car, study: &Study) -> Vec<String> {
    let mut lines = Vec::new();
    let tried = study.tried.as_ref();
    let drags = drag_at_shift(study, &study.on_car)
        .zip(tried.and_then(|tried| drag_at_shift(study, &tried.judged)));
    if let Some((now, then)) = drags {
        lines.push(words::drag(
            now.total_w(),
            then.total_w(),
            now.extrapolated || then.extrapolated,
        ));
    }
    if let Some(change) = accessory_speed_ratio(&study.tolerances) {
        lines.push(words::accessories(&car.drive.accessories, change.value));
    }
    if car.drive.hub == Hub::OneWay {
        lines.push(words::overruns().to_owned());
    }
    lines
}

/// A crank pulley to try, with the window of its sizes.
pub fn crank(desk: Desk) -> AnyView {
    let store = desk.store;
    let opened = RwSignal::new(false);
    let sizes = Memo::new(move |_| {
        let answer = store.answer().filter(|_| opened.get())?;
        let study = answer.study.as_ref().ok()?;
        let found = window(&study.tolerances, Side::Crank, CrankPulley::OnCar);
        let size = |mm: f64| names::effective(mm, answer.car.units);
        Some(match (found.sure(), found.possible()) {
            (Some((low, high)), _) => words::crank_sure(&size(low), &size(high)),
            (None, Some((low, high))) => words::crank_possible(&size(low), &size(high)),
            (None, None) => words::crank_none().to_owned(),
        })
    });
    view! {
        <details class="more" on:toggle=move |_| opened.set(true)>
            <summary>{words::crank()}</summary>
            <p>{words::crank_note()}</p>
            {entry_field(desk, Field::TriedCrank).view(desk.pad)}
            {drop_crank(desk)}
            <p>{Signal::derive(move || sizes.get().unwrap_or_default())}</p>
        </details>
    }
    .into_any()
}

/// Every finding with its formula, inputs and source, made only once it is asked for.
pub fn working(settled: Signal<Option<Arc<Answer>>>) -> AnyView {
    let opened = RwSignal::new(false);
    let body = live_option(move || {
        let answer = settled.get().filter(|_| opened.get())?;
        let study = answer.study.as_ref().ok()?;
        let rows = all_findings(&answer.car, study)
            .into_iter()
            .map(|finding| {
                let units = answer.car.units;
                let working = Working {
                    formula: look(finding.working.formula).to_owned(),
                    inputs: finding
                        .working
                        .inputs
                        .iter()
                        .map(|input| (look(input.name).to_owned(), findings::input(input, units)))
                        .collect(),
                    source: findings::sources(&finding.working.sources),
                };
                view! {
                    <li>
                        <p>{findings::title(&answer.car, &finding)} ": " <strong>{findings::value(&finding, units)}</strong></p>
                        {working_view(Signal::stored(working))}
                    </li>
                }
            })
            .collect_view();
        Some(view! { <ol class="findings">{rows}</ol> }.into_any())
    });
    view! {
        <details class="more" on:toggle=move |_| opened.set(true)>
            <summary>{words::working()}</summary>
            {body}
        </details>
    }
    .into_any()
}
