//! Will it last all rounds?

mod entries;
mod graph;
mod tables;

use super::compared::{called, frame, verdicts};
use super::sweep::{Spreads, judged, settled, swept};
use super::{Desk, stale, trying};
use crate::parts::live::all;
use crate::parts::strip::stale_strip;
use crate::parts::verdict::Verdict;
use crate::store::{Answer, Store};
use crate::words::day as words;
use laneside_core::race::{DayStudy, Otherwise, Swept};
use leptos::prelude::*;
use std::sync::Arc;

/// Both pulleys over one day: on the car, then to try.
#[derive(Clone, Debug, PartialEq)]
pub struct Days {
    /// Each with what it is called.
    pub each: Vec<(String, Arc<DayStudy>)>,
}

/// What is drawn and said.
type Found = Memo<Option<Arc<Days>>>;
/// The same day in other ways, by the pulleys' places, once an entry has settled.
type Others = Memo<Option<Arc<Vec<Otherwise>>>>;

/// The page.
pub fn page(desk: Desk) -> AnyView {
    frame(desk, (words::answers(), words::needs()), whole)
}

fn whole(desk: Desk) -> AnyView {
    let store = desk.store;
    let found: Found = Memo::new(move |_| days(store));
    let settled = settled(store);
    let studies = move || {
        found.get().map_or_else(Vec::new, |days| {
            let each = days.each.iter().map(|(_, day)| Arc::clone(day));
            each.map(|day| day as Arc<dyn Swept + Send + Sync>)
                .collect()
        })
    };
    let spreads = swept(store, settled, studies);
    let others: Others = Memo::new(move |_| settled.get().and_then(|answer| others(&answer)));
    all([
        stale_strip(stale(store)),
        trying(desk),
        super::car::battery::fit(desk),
        verdicts(store, move |place| {
            verdict(store, found, (spreads, others), place)
        }),
        graph::graph(desk, found, spreads),
        tables::rescues(settled),
        tables::rounds(found),
        tables::otherwise(found, others),
        entries::entries(desk),
        tables::working(desk, found),
    ])
}

fn days(store: Store) -> Option<Arc<Days>> {
    let answer = store.answer()?;
    let study = answer.study.as_ref().ok()?;
    let each = called(&answer)
        .into_iter()
        .zip(judged(&answer))
        .map(|(name, judged)| {
            let day = DayStudy::new(&answer.car, &study.tolerances, judged);
            (name, Arc::new(day))
        });
    Some(Arc::new(Days {
        each: each.collect(),
    }))
}

fn others(answer: &Answer) -> Option<Arc<Vec<Otherwise>>> {
    let study = answer.study.as_ref().ok()?;
    let each = judged(answer).into_iter();
    Some(Arc::new(
        each.map(|judged| Otherwise::new(&answer.car, &study.tolerances, judged))
            .collect(),
    ))
}

/// What a pulley comes to.
fn verdict(
    store: Store,
    found: Found,
    (spreads, others): (Spreads, Others),
    place: usize,
) -> Option<Verdict> {
    let (answer, days) = (store.answer()?, found.get()?);
    let (_, day) = days.each.get(place)?;
    let spreads = spreads.get();
    let own = spreads.as_ref().and_then(|all| all.get(place));
    let others = others.get();
    let other = others.as_ref().and_then(|all| all.get(place));
    Some(words::verdict(
        &answer.car,
        day,
        own.map(Vec::as_slice),
        other,
    ))
}
