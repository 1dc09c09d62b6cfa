//! What will the voltage do down the track?

mod entries;
mod graph;
mod tables;

use super::compared::{called, frame, supply_inputs, verdicts};
use super::sweep::{Pauses, Spreads, judged, settled, swept, worked_out};
use super::{Desk, stale, trying};
use crate::parts::live::{in_turns, live, live_option, piece};
use crate::parts::strip::stale_strip;
use crate::parts::verdict::Verdict;
use crate::parts::working::{Working, working_view};
use crate::store::Answer;
use crate::words::pass as words;
use laneside_core::race::{NoPass, PassStudy, Swept};
use laneside_core::turns::Turns;
use leptos::prelude::*;
use std::sync::Arc;

/// Both pulleys over one pass: on the car, then to try.
#[derive(Clone, Debug)]
pub struct Passes {
    /// Of which car.
    pub answer: Arc<Answer>,
    /// Each with what it is called.
    pub each: Vec<(String, Arc<PassStudy>)>,
}

/// What is drawn and said.
type Found = RwSignal<Option<Result<Arc<Passes>, NoPass>>>;

/// What is in sight when the page opens.
const AT_ONCE: usize = 4;

/// The page.
pub fn page(desk: Desk) -> AnyView {
    frame(desk, (words::answers(), words::needs()), whole)
}

fn whole(desk: Desk) -> AnyView {
    let store = desk.store;
    let found: Found = worked_out(move || store.answer(), passes);
    let studies = move || {
        let passes = found.get()?.ok()?;
        let each = passes.each.iter().map(|(_, pass)| Arc::clone(pass));
        let each = each.map(|pass| pass as Arc<dyn Swept + Send + Sync>);
        Some((Arc::clone(&passes.answer), each.collect()))
    };
    let spreads = swept(store, settled(store), studies);
    let result = Memo::new(move |_| found.with(|found| matches!(found, Some(Ok(_)))));
    in_turns(
        AT_ONCE,
        [
            piece(move || stale_strip(stale(store))),
            piece(move || trying(desk)),
            piece(move || super::car::battery::fit(desk)),
            piece(move || {
                live(move || {
                    if result.get() {
                        answers(desk, found, spreads)
                    } else {
                        missing(desk, found)
                    }
                })
            }),
            piece(move || {
                // A link may lead into it before there is an answer.
                let devices = tables::own_devices(desk);
                view! { <div hidden=move || !result.get()>{devices}</div> }.into_any()
            }),
            piece(move || entries::entries(desk)),
            piece(move || working(desk)),
        ],
    )
}

fn answers(desk: Desk, found: Found, spreads: Spreads) -> AnyView {
    in_turns(
        1,
        [
            piece(move || verdicts(move |place| verdict(found, spreads, place))),
            piece(move || graph::graph(desk, found)),
            piece(move || tables::moments(found)),
            piece(move || tables::over(found)),
            piece(move || tables::costs(found)),
        ],
    )
}

async fn passes(answer: Arc<Answer>, pauses: Pauses) -> Result<Arc<Passes>, NoPass> {
    let mut each = Vec::new();
    if let Ok(study) = &answer.study {
        for (name, judged) in called(&answer).into_iter().zip(judged(&answer)) {
            pauses.pause().await;
            let pass = PassStudy::new(&answer.car, &study.tolerances, judged)?;
            each.push((name, Arc::new(pass)));
        }
    }
    Ok(Arc::new(Passes { answer, each }))
}

/// What a pulley is called, and what it comes to.
fn verdict(found: Found, spreads: Spreads, place: usize) -> Option<(String, Verdict)> {
    let passes = found.get()?.ok()?;
    let (name, pass) = passes.each.get(place)?;
    let spreads = spreads.get();
    let own = spreads.as_ref().and_then(|all| all.get(place));
    let verdict = words::verdict(&passes.answer.car, pass, own.map(Vec::as_slice));
    Some((name.clone(), verdict))
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
