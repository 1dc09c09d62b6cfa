//! Will it last all rounds?

mod entries;
mod graph;
mod tables;

use super::pass::judged;
use super::sweep::{Job, swept};
use super::{Desk, pulleys, stale, trying};
use crate::parts::empty::empty;
use crate::parts::live::{all, live, live_option};
use crate::parts::strip::stale_strip;
use crate::parts::verdict::verdict_view;
use crate::shell::route::Route;
use crate::store::{Answer, Store};
use crate::words::day as words;
use laneside_core::race::DayStudy;
use laneside_core::tolerance::Spread95;
use leptos::prelude::*;
use std::sync::Arc;

/// Both pulleys over one day.
#[derive(Clone, Debug, PartialEq)]
pub struct Days {
    /// On the car, then to try, each with what it is called.
    pub each: Vec<(String, DayStudy)>,
}

/// What is drawn and said.
type Found = Memo<Option<Arc<Days>>>;
/// The spreads of each, once they are worked out.
type Spreads = Signal<Option<Arc<Vec<Vec<Spread95>>>>>;

/// The page.
pub fn page(desk: Desk) -> AnyView {
    let store = desk.store;
    let is_ready = Memo::new(move |_| store.answer().is_some_and(|answer| answer.study.is_ok()));
    live(move || {
        if is_ready.get() {
            whole(desk)
        } else {
            empty(
                words::ANSWERS,
                words::NEEDS,
                words::ENTER,
                Route::Board.href(),
            )
        }
    })
}

fn whole(desk: Desk) -> AnyView {
    let store = desk.store;
    let found: Found = Memo::new(move |_| days(store));
    let spreads = swept(store, jobs);
    let settled = pulleys::settled(store);
    all([
        stale_strip(stale(store)),
        trying(desk),
        super::car::battery::fit(desk),
        verdicts(found, spreads),
        graph::graph(desk, found, spreads),
        tables::rescues(settled),
        tables::rounds(desk, found),
        tables::otherwise(found, settled),
        entries::entries(desk),
        tables::working(desk, found),
    ])
}

fn days(store: Store) -> Option<Arc<Days>> {
    let answer = store.answer()?;
    let study = answer.study.as_ref().ok()?;
    let each = judged(&answer)
        .into_iter()
        .map(|(name, judged)| (name, DayStudy::new(&answer.car, &study.tolerances, judged)));
    Some(Arc::new(Days {
        each: each.collect(),
    }))
}

fn jobs(answer: &Arc<Answer>) -> Vec<Job> {
    (0..judged(answer).len())
        .map(|place| {
            let answer = Arc::clone(answer);
            let mut begun = None;
            let job: Job = Box::new(move || {
                let Ok(study) = &answer.study else {
                    return Some(Vec::new());
                };
                let judged = judged(&answer).get(place)?.1;
                let (sweep, day) = begun.get_or_insert_with(|| {
                    let day = DayStudy::new(&answer.car, &study.tolerances, judged);
                    (day.sweep(), day)
                });
                let more = day.step(sweep, &answer.car, &study.tolerances, judged);
                (!more).then(|| sweep.spreads())
            });
            job
        })
        .collect()
}

/// What each pulley comes to.
fn verdicts(found: Found, spreads: Spreads) -> AnyView {
    let one = move |place: usize| {
        let verdict = Memo::new(move |_| {
            let days = found.get()?;
            let (_, day) = days.each.get(place)?;
            let spreads = spreads.get();
            let own = spreads.as_ref().and_then(|all| all.get(place));
            Some(words::verdict(day, own.map(Vec::as_slice)))
        });
        let name = move || found.get()?.each.get(place).map(|(name, _)| name.clone());
        live_option(move || {
            let _ = verdict.get()?;
            let shown = Signal::derive(move || {
                verdict.get().unwrap_or_else(crate::words::pass::no_verdict)
            });
            Some(
                view! {
                    <section>
                        <h2>{move || name()}</h2>
                        {verdict_view(shown)}
                    </section>
                }
                .into_any(),
            )
        })
    };
    view! { <div class="pair">{one(0)} {one(1)}</div> }.into_any()
}
