//! The study on paper: verdicts, chart, figures, cautions, what is assumed, what it rests on.

use super::Desk;
use super::pulleys::{lines, plot, tables};
use crate::browser;
use crate::parts::chart::picture;
use crate::parts::live::live_option;
use crate::parts::verdict::verdict_view;
use crate::shell::route::Route;
use crate::store::Answer;
use crate::words::{car as car_words, findings, names, pulleys, report as words, verdicts};
use laneside_core::finding::Source;
use laneside_core::study::{Study, findings as all_findings};
use leptos::prelude::*;
use std::sync::Arc;

/// The page's body.
pub fn page(desk: Desk) -> AnyView {
    let store = desk.store;
    let answer = Signal::derive(move || store.answer());
    let print = move |_| {
        let _ = window().print();
    };
    view! {
        <p class="actions screen-only">
            <button type="button" class="button" on:click=print>{words::print()}</button>
            <a class="button" href=Route::HandOn.href()>{words::back()}</a>
        </p>
        <p class="note screen-only">{words::paper()}</p>
        {live_option(move || {
            let answer = answer.get()?;
            let study = answer.study.as_ref().ok()?;
            Some(sheet(&answer, study, Signal::stored(Some(Arc::clone(&answer)))))
        })}
    }
    .into_any()
}

fn sheet(answer: &Arc<Answer>, study: &Study, shown: Signal<Option<Arc<Answer>>>) -> AnyView {
    let car = &answer.car;
    let spec = plot(car, study, None);
    let chart = picture::picture(
        &spec,
        &[words::chart_heading().to_owned()],
        picture::PRINT_WIDTH,
    )
    .and_then(|canvas| canvas.to_data_url().ok());
    let chart = chart.map(|chart| {
        view! { <img class="report-chart" src=chart alt=pulleys::chart_summary(car, study) /> }
    });
    let board = |label: String, judged, more: Option<String>| {
        let mut verdict = verdicts::judged(car, study, judged);
        verdict.line.push_str(&more.unwrap_or_default());
        verdict.action = None;
        view! { <section class="pulley"><h2>{label}</h2>{verdict_view(Signal::stored(verdict))}</section> }
    };
    let on_car = board(pulleys::on_car(&names::fitted(car)), &study.on_car, None);
    let tried = study.tried.as_ref().map(|tried| {
        let label = pulleys::to_try(&names::tried(car, &tried.pulley));
        board(label, &tried.judged, verdicts::instruction(car, study))
    });
    let more = lines(car, study)
        .into_iter()
        .map(|line| view! { <p>{line}</p> })
        .collect_view();
    view! {
        <article class="report">
            <p class="report-head"><strong>{car.name.clone()}</strong> " " <span>{words::signed(&browser::today())}</span></p>
            <p>{words::engine(car, study)}</p>
            <p class="caution">{pulleys::caution()}</p>
            <div class="pair">{on_car} {tried}</div>
            <p>{words::limit(study)}</p>
            {chart}
            {tables::speeds(shown)}
            {tables::balance(shown)}
            <h2>{pulleys::more()}</h2>
            {more}
            <p>{pulleys::not_counted()}</p>
            {assumed(answer)}
            {sources(answer, study)}
            <p class="caution">{words::computed()}</p>
        </article>
    }
    .into_any()
}

fn assumed(answer: &Answer) -> AnyView {
    let lines = super::car::assumed_lines(answer);
    if lines.is_empty() {
        return ().into_any();
    }
    let matter = lines.iter().filter(|line| line.matters).count();
    let count = car_words::assumed(lines.len(), matter);
    let rows = lines
        .into_iter()
        .map(|line| view! { <tr><th scope="row">{line.name}</th><td>{line.value}</td></tr> })
        .collect_view();
    view! { <h2>{words::assumed()}</h2><p>{count}</p><table class="report-assumed"><tbody>{rows}</tbody></table> }
        .into_any()
}

/// Every source that any finding rests on, once.
fn sources(answer: &Answer, study: &Study) -> AnyView {
    let mut all: Vec<Source> = Vec::new();
    for finding in all_findings(&answer.car, study) {
        for source in finding.working.sources {
            if !all.contains(&source) {
                all.push(source);
            }
        }
    }
    let rows = all
        .iter()
        .map(|source| view! { <li>{findings::sources(std::slice::from_ref(source))}</li> })
        .collect_view();
    view! { <h2>{words::sources()}</h2><ul class="report-sources">{rows}</ul> }.into_any()
}
