//! What will the voltage do down the track?

mod entries;
mod graph;
mod tables;

use super::compared::{called, frame, supply_inputs, verdicts};
use super::sweep::{Spreads, judged, settled, swept};
use super::{Desk, stale, trying};
use crate::parts::live::{all, live, live_option};
use crate::parts::strip::stale_strip;
use crate::parts::working::{Working, working_view};
use crate::store::Store;
use crate::words::pass as words;
use laneside_core::race::{NoPass, PassStudy, Swept};
use leptos::prelude::*;
use std::sync::Arc;

/// Both pulleys over one pass: on the car, then to try.
#[derive(Clone, Debug, PartialEq)]
pub struct Passes {
    /// Each with what it is called.
    pub each: Vec<(String, Arc<PassStudy>)>,
}

/// What is drawn and said.
type Found = Memo<Option<Result<Arc<Passes>, NoPass>>>;

/// The page.
pub fn page(desk: Desk) -> AnyView {
    frame(desk, (words::answers(), words::needs()), whole)
}

fn whole(desk: Desk) -> AnyView {
    let store = desk.store;
    let found: Found = Memo::new(move |_| passes(store));
    let studies = move || {
        let passes = found.get().and_then(Result::ok);
        passes.map_or_else(Vec::new, |passes| {
            let each = passes.each.iter().map(|(_, pass)| Arc::clone(pass));
            each.map(|pass| pass as Arc<dyn Swept + Send + Sync>)
                .collect()
        })
    };
    let spreads = swept(store, settled(store), studies);
    let result = Memo::new(move |_| found.with(|found| matches!(found, Some(Ok(_)))));
    all([
        stale_strip(stale(store)),
        trying(desk),
        super::car::battery::fit(desk),
        live(move || {
            if result.get() {
                all([
                    verdicts(store, move |place| verdict(store, found, spreads, place)),
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
        working(desk),
    ])
}

fn passes(store: Store) -> Option<Result<Arc<Passes>, NoPass>> {
    let answer = store.answer()?;
    let study = answer.study.as_ref().ok()?;
    let each = called(&answer)
        .into_iter()
        .zip(judged(&answer))
        .map(|(name, judged)| {
            let pass = PassStudy::new(&answer.car, &study.tolerances, judged)?;
            Ok((name, Arc::new(pass)))
        });
    let each: Result<Vec<_>, NoPass> = each.collect();
    Some(each.map(|each| Arc::new(Passes { each })))
}

/// What a pulley comes to.
fn verdict(
    store: Store,
    found: Found,
    spreads: Spreads,
    place: usize,
) -> Option<crate::parts::verdict::Verdict> {
    let (answer, passes) = (store.answer()?, found.get()?.ok()?);
    let (_, pass) = passes.each.get(place)?;
    let spreads = spreads.get();
    let own = spreads.as_ref().and_then(|all| all.get(place));
    Some(words::verdict(&answer.car, pass, own.map(Vec::as_slice)))
}

/// What is missing, said before the fields that give it.
fn missing(desk: Desk, found: Found) -> AnyView {
    live_option(move || {
        let error = found.get()?.err()?;
        let (what, is_fault) = desk.store.with_car(|car| words::no_pass(error, car))?;
        let class = if is_fault { "fault" } else { "answers" };
        Some(
            view! {
                <div class="empty">
                    <p>{words::answers()}</p>
                    <p class=class>{what}</p>
                </div>
            }
            .into_any(),
        )
    })
}

/// What stands behind the figures.
fn working(desk: Desk) -> AnyView {
    let working = Signal::derive(move || Working {
        formula: words::formula().to_owned(),
        inputs: desk
            .store
            .answer()
            .map_or_else(Vec::new, |answer| supply_inputs(&answer)),
        source: words::sources().to_owned(),
    });
    working_view(working)
}
