//! What Pass and Day have in common: both pulleys over time, each with a verdict.

use super::{Desk, shown_car};
use crate::parts::chart::{Chart, Palette, PlotSpec, Role};
use crate::parts::empty::empty;
use crate::parts::live::{all, live, live_option};
use crate::parts::readout::readout;
use crate::parts::verdict::{Verdict, verdict_view};
use crate::shell::route::Route;
use crate::store::Answer;
use crate::words::{names, pass as words, pulleys};
use leptos::prelude::*;
use std::sync::Arc;

/// What a page says as long as the car has no answer: what it answers, what it needs.
pub type Needs = (&'static str, &'static str);

/// The page once the car has an answer.
pub fn frame(desk: Desk, (answers, needs): Needs, whole: fn(Desk) -> AnyView) -> AnyView {
    let store = desk.store;
    let is_ready = Memo::new(move |_| store.answer().is_some_and(|answer| answer.study.is_ok()));
    let shown = shown_car(store);
    live(move || {
        shown.with(|_| ());
        if is_ready.get() {
            whole(desk)
        } else {
            empty(answers, needs, words::enter(), Route::Board.href())
        }
    })
}

/// What the pulleys looked at are called: the one on the car, then the one to try.
pub fn called(answer: &Answer) -> Vec<String> {
    let car = &answer.car;
    let tried = answer
        .study
        .as_ref()
        .ok()
        .and_then(|study| study.tried.as_ref());
    let tried = tried.map(|tried| pulleys::to_try(&names::tried(car, &tried.pulley)));
    std::iter::once(pulleys::on_car(&names::fitted(car)))
        .chain(tried)
        .collect()
}

/// What each pulley is called and comes to, by its place.
pub fn verdicts(
    found: impl Fn(usize) -> Option<(String, Verdict)> + Copy + Send + Sync + 'static,
) -> AnyView {
    let one = move |place: usize| {
        let found = Memo::new(move |_| found(place));
        let is_there = Memo::new(move |_| found.with(Option::is_some));
        let name = move || found.get().map(|(name, _)| name);
        live_option(move || {
            is_there.get().then(|| {
                let verdict = move || found.get().map(|(_, verdict)| verdict);
                let shown = Signal::derive(move || verdict().unwrap_or_else(words::no_verdict));
                view! {
                    <section>
                        <h2>{name}</h2>
                        {verdict_view(shown)}
                    </section>
                }
                .into_any()
            })
        })
    };
    view! { <div class="pair">{one(0)} {one(1)}</div> }.into_any()
}

/// The words around a chart over time.
#[derive(Clone, Copy)]
pub struct Around {
    /// What the chart is.
    pub chart: &'static str,
    /// What its rail moves along.
    pub rail: &'static str,
    /// The figure's unit in the readout.
    pub unit: &'static str,
}

/// What the readout says.
#[derive(Clone, Copy)]
pub struct Readout {
    /// Where it stands.
    pub cursor: RwSignal<f64>,
    /// That in words.
    pub at: Signal<String>,
    /// All of it in words.
    pub said: Signal<String>,
    /// What a pulley is called, its figure and the line under it; none where there is no such pulley.
    pub of: Callback<usize, Option<[String; 3]>>,
}

/// Chart and readout.
pub fn section(
    desk: Desk,
    around: Around,
    spec: Signal<PlotSpec>,
    summary: Signal<String>,
    readout: Readout,
) -> AnyView {
    let palette = Memo::new(move |_| {
        desk.theme.track();
        crate::browser::root().map_or(Palette::SUN, |root| Palette::read(&root))
    });
    let one = move |place| reading(around.unit, readout, place);
    view! {
        <section aria-label=around.chart>
            <div class="readings" aria-live="off">
                <p class="readings-at">{readout.at}</p>
                <div class="readings-pair">{all([one(0), one(1)])}</div>
            </div>
            <Chart
                spec=spec
                palette=Signal::from(palette)
                summary=summary
                cursor=readout.cursor
                cursor_text=readout.said
                rail_label=around.rail
                back_label=words::earlier()
                forward_label=words::later()
            />
        </section>
    }
    .into_any()
}

fn reading(unit: &'static str, shown: Readout, place: usize) -> AnyView {
    let of = Memo::new(move |_| shown.of.run(place).unwrap_or_default());
    let part = move |at: usize| Signal::derive(move || of.with(|of| of[at].clone()));
    readout(
        part(0),
        part(1),
        Signal::stored(unit.to_owned()),
        part(2),
        if place == 0 { "on-car" } else { "try" },
    )
}

/// The role of a pulley's line, by its place.
pub fn role(place: usize) -> Role {
    if place == 0 { Role::OnCar } else { Role::Try }
}

/// Places where the readout stops: evenly spread, and those that matter.
pub fn stops(
    (from, to): (f64, f64),
    steps: u32,
    matter: impl IntoIterator<Item = f64>,
) -> Vec<f64> {
    let mut stops: Vec<f64> = (0..=steps)
        .map(|step| from + (to - from) * f64::from(step) / f64::from(steps))
        .collect();
    stops.extend(matter.into_iter().filter(|at| (from..=to).contains(at)));
    laneside_core::sort::sort_short(&mut stops, f64::total_cmp);
    stops.dedup();
    stops
}

/// What pass and day rest on besides what the gates do, each with its range.
pub fn supply_inputs(answer: &Arc<Answer>) -> Vec<(String, String)> {
    let Ok(study) = &answer.study else {
        return Vec::new();
    };
    let inputs = &study.tolerances.resolved().supply_inputs;
    inputs
        .iter()
        .map(|input| {
            (
                names::input(&answer.car, input.id),
                words::input_line(&answer.car, input),
            )
        })
        .collect()
}
