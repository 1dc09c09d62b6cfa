//! What will the voltage do down the track?

mod entries;
mod graph;
mod tables;

use super::sweep::{Job, swept};
use super::{Desk, stale, trying};
use crate::parts::empty::empty;
use crate::parts::live::{all, live, live_option};
use crate::parts::strip::stale_strip;
use crate::parts::verdict::verdict_view;
use crate::shell::route::Route;
use crate::store::{Answer, Store};
use crate::words::{names, pass as words};
use laneside_core::gates::Judged;
use laneside_core::race::{NoPass, PassStudy};
use laneside_core::tolerance::Spread95;
use leptos::prelude::*;
use std::sync::Arc;

/// Both pulleys over one pass.
#[derive(Clone, Debug, PartialEq)]
pub struct Passes {
    /// On the car, then to try, each with what it is called.
    pub each: Vec<(String, PassStudy)>,
}

/// What is drawn and said.
type Found = Memo<Option<Result<Arc<Passes>, NoPass>>>;

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
    let found: Found = Memo::new(move |_| passes(store));
    let spreads = swept(store, jobs);
    let result = Memo::new(move |_| found.with(|found| matches!(found, Some(Ok(_)))));
    all([
        stale_strip(stale(store)),
        trying(desk),
        super::car::battery::fit(desk),
        live(move || {
            if result.get() {
                all([
                    verdicts(found, spreads),
                    graph::graph(desk, found),
                    tables::moments(found),
                    tables::over(found),
                    tables::costs(desk, found),
                ])
            } else {
                missing(desk, found)
            }
        }),
        entries::entries(desk),
        entries::working(desk),
    ])
}

fn passes(store: Store) -> Option<Result<Arc<Passes>, NoPass>> {
    let answer = store.answer()?;
    let each = judged(&answer).into_iter().map(|(name, judged)| {
        let study = answer.study.as_ref().ok()?;
        Some(PassStudy::new(&answer.car, &study.tolerances, judged).map(|pass| (name, pass)))
    });
    let each: Option<Result<Vec<_>, NoPass>> = each.collect();
    Some(each?.map(|each| Arc::new(Passes { each })))
}

/// The pulleys to look at, each with what it is called: on the car, and to try.
pub fn judged(answer: &Answer) -> Vec<(String, &Judged)> {
    let Ok(study) = &answer.study else {
        return Vec::new();
    };
    let car = &answer.car;
    let mut all = vec![(
        crate::words::pulleys::on_car(&names::fitted(car)),
        &study.on_car,
    )];
    if let Some(tried) = &study.tried {
        let size = names::tried(car, &tried.pulley);
        all.push((crate::words::pulleys::to_try(&size), &tried.judged));
    }
    all
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
                if begun.is_none() {
                    let pass = PassStudy::new(&answer.car, &study.tolerances, judged).ok();
                    begun = pass.map(|pass| (pass.sweep(), pass));
                }
                let Some((sweep, pass)) = &mut begun else {
                    return Some(Vec::new());
                };
                let more = pass.step(sweep, &answer.car, &study.tolerances, judged);
                (!more).then(|| sweep.spreads())
            });
            job
        })
        .collect()
}

/// What each pulley comes to.
fn verdicts(found: Found, spreads: Signal<Option<Arc<Vec<Vec<Spread95>>>>>) -> AnyView {
    let one = move |place: usize| {
        let verdict = Memo::new(move |_| {
            let passes = found.get()?.ok()?;
            let (_, pass) = passes.each.get(place)?;
            let spreads = spreads.get();
            let own = spreads.as_ref().and_then(|all| all.get(place));
            Some(words::verdict(pass, own.map(Vec::as_slice)))
        });
        let name = move || {
            let passes = found.get()?.ok()?;
            passes.each.get(place).map(|(name, _)| name.clone())
        };
        live_option(move || {
            let _ = verdict.get()?;
            let shown = Signal::derive(move || verdict.get().unwrap_or_else(words::no_verdict));
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

/// What is missing, said before the fields that give it.
fn missing(desk: Desk, found: Found) -> AnyView {
    let units = move || desk.store.units();
    let has_trap = move || desk.store.with_car(|car| car.course.trap_mps.is_some());
    live_option(move || {
        let error = found.get()?.err()?;
        let (what, is_fault) = words::no_pass(error, units(), has_trap() == Some(true));
        let class = if is_fault { "fault" } else { "answers" };
        Some(
            view! {
                <div class="empty">
                    <p>{words::ANSWERS}</p>
                    <p class=class>{what}</p>
                </div>
            }
            .into_any(),
        )
    })
}
