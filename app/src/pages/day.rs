//! Will it last all rounds?

mod entries;
mod graph;
mod tables;

use super::compared::{called, frame, verdicts};
use super::sweep::{Late, Pauses, Spreads, judged, late, settled, swept, worked_out};
use super::{Desk, stale, trying};
use crate::parts::live::{in_turns, piece};
use crate::parts::strip::stale_strip;
use crate::parts::verdict::Verdict;
use crate::store::Answer;
use crate::words::day as words;
use laneside_core::race::{DayStudy, Otherwise, Swept};
use laneside_core::turns::Turns;
use leptos::prelude::*;
use std::sync::Arc;

/// Both pulleys over one day: on the car, then to try.
#[derive(Clone, Debug)]
pub struct Days {
    /// Of which car.
    pub answer: Arc<Answer>,
    /// Each with what it is called.
    pub each: Vec<(String, Arc<DayStudy>)>,
}

/// What is drawn and said.
type Found = RwSignal<Option<Arc<Days>>>;
/// The same day in other ways, by the pulleys' places, once an entry has settled; with the day that they are other ways of.
type Others = Late<(Arc<Days>, Arc<Vec<Otherwise>>)>;

/// What is in sight when the page opens.
const AT_ONCE: usize = 4;

/// The page.
pub fn page(desk: Desk) -> AnyView {
    frame(desk, (words::answers(), words::needs()), whole)
}

fn whole(desk: Desk) -> AnyView {
    let store = desk.store;
    let found: Found = worked_out(
        move || store.answer(),
        async move |answer, pauses| days(answer, &pauses).await,
    );
    let settled = settled(store);
    let studies = move || {
        let days = found.get()?;
        let each = days.each.iter().map(|(_, day)| Arc::clone(day));
        let each = each.map(|day| day as Arc<dyn Swept + Send + Sync>);
        Some((Arc::clone(&days.answer), each.collect()))
    };
    let spreads = swept(store, settled, studies);
    let others: Others = worked_out(
        move || settled.get(),
        move |answer, pauses| others(found, answer, pauses),
    );
    in_turns(
        AT_ONCE,
        [
            piece(move || stale_strip(stale(store))),
            piece(move || trying(desk)),
            piece(move || super::car::battery::fit(desk)),
            piece(move || verdicts(move |place| verdict(found, (spreads, others), place))),
            piece(move || graph::graph(desk, found, spreads)),
            piece(move || tables::rescues(store, settled)),
            piece(move || tables::rounds(found)),
            piece(move || late(store, others, tables::otherwise(others))),
            piece(move || entries::entries(desk)),
            piece(move || tables::working(found)),
        ],
    )
}

async fn days(answer: Arc<Answer>, pauses: &Pauses) -> Arc<Days> {
    let mut each = Vec::new();
    if let Ok(study) = &answer.study {
        for (name, judged) in called(&answer).into_iter().zip(judged(&answer)) {
            pauses.pause().await;
            let day = DayStudy::new(&answer.car, &study.tolerances, judged);
            each.push((name, Arc::new(day)));
        }
    }
    Arc::new(Days { answer, each })
}

async fn others(
    found: Found,
    answer: Arc<Answer>,
    pauses: Pauses,
) -> (Arc<Answer>, (Arc<Days>, Arc<Vec<Otherwise>>)) {
    let known = found.try_get_untracked().flatten();
    let days = match known.filter(|days| Arc::ptr_eq(&days.answer, &answer)) {
        Some(days) => days,
        None => days(Arc::clone(&answer), &pauses).await,
    };
    let mut each = Vec::new();
    if let Ok(study) = &answer.study {
        for judged in judged(&answer) {
            each.push(Otherwise::new(&answer.car, &study.tolerances, judged, &pauses).await);
        }
    }
    (answer, (days, Arc::new(each)))
}

/// What a pulley is called, and what it comes to.
fn verdict(
    found: Found,
    (spreads, others): (Spreads, Others),
    place: usize,
) -> Option<(String, Verdict)> {
    let days = found.get()?;
    let (name, day) = days.each.get(place)?;
    let spreads = spreads.get();
    let own = spreads.as_ref().and_then(|all| all.get(place));
    let others = others.get().filter(|(of, _)| Arc::ptr_eq(of, &days.answer));
    let other = others.as_ref().and_then(|(_, (_, each))| each.get(place));
    let verdict = words::verdict(&days.answer.car, day, own.map(Vec::as_slice), other);
    Some((name.clone(), verdict))
}
