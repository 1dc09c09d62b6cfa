//! Will it fit?

mod drawing;
mod ear;
mod entries;
mod places;
mod seller;
mod tables;

use super::compared::called;
use super::{Desk, stale, trying};
use crate::parts::empty::empty;
use crate::parts::field::{Fault, fault_view};
use crate::parts::live::{Unfinished, in_turns, live, live_option, piece};
use crate::parts::strip::stale_strip;
use crate::parts::verdict::verdict_view;
use crate::parts::working::{Working, working_view};
use crate::shell::route::Route;
use crate::words::belt as words;
use crate::words::pass::enter;
use laneside_core::belt::{BeltStudy, LayError, NoBelt, SideAnswer, Template};
use laneside_core::car::Car;
use laneside_core::car::entry::Field;
use leptos::prelude::*;
use std::sync::Arc;
use std::time::Duration;

/// A car and its belt drive, or why there is none.
#[derive(Debug)]
pub struct Drive {
    /// The car, with what is being dragged where the finger is.
    pub car: Car,
    /// What the pulleys looked at are called: the one on the car, then the one to try.
    pub called: Vec<String>,
    /// Its belt.
    pub belt: Result<BeltStudy, NoBelt>,
}

/// What is drawn and said; the same only if it is the very same.
#[derive(Clone, Debug)]
pub struct Shown(pub Arc<Drive>);

impl PartialEq for Shown {
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.0, &other.0)
    }
}

/// What is drawn and said, while a car is open.
pub type Found = Memo<Option<Shown>>;

/// Reads something off a belt that could be laid, tracked.
pub fn laid<T>(found: Found, read: impl FnOnce(&Car, &BeltStudy) -> T) -> Option<T> {
    found.with(|found| {
        let drive = &found.as_ref()?.0;
        drive.belt.as_ref().ok().map(|belt| read(&drive.car, belt))
    })
}

/// Whether a field is one of the belt drive's.
pub fn has(field: Field) -> bool {
    is_place(field)
        || matches!(
            field,
            Field::BeltDesignation
                | Field::BeltRibs
                | Field::BeltLengthWithin
                | Field::BeltTension
                | Field::BeltTensionWithin
                | Field::BeltDiameter(_)
                | Field::BeltPower(_)
                | Field::PlacesWithin
                | Field::TapeDistance(_)
                | Field::TapeTurned
                | Field::ArmFrom
                | Field::ArmTo
                | Field::SlideDirection
                | Field::SlideTo
                | Field::ObstacleName(_)
                | Field::ObstacleAcross(_)
                | Field::ShaftBore
                | Field::ShaftNut
                | Field::ShaftOffset
                | Field::ShaftNose
                | Field::ShaftRoom
                | Field::OfferRibs
                | Field::OfferBore
                | Field::OfferNut
                | Field::OfferOffset
                | Field::OfferNose
                | Field::OfferOutside
        )
}

/// Whether a field is a place or a travel, which has a sign.
pub fn is_place(field: Field) -> bool {
    matches!(
        field,
        Field::BeltX(_)
            | Field::BeltY(_)
            | Field::ObstacleX(_)
            | Field::ObstacleY(_)
            | Field::PivotX
            | Field::PivotY
            | Field::SlideFrom
    )
}

/// What is in sight when the page opens.
const AT_ONCE: usize = 3;

/// The page.
pub fn page(desk: Desk) -> AnyView {
    let store = desk.store;
    let is_open = Memo::new(move |_| store.with_car(|_| ()).is_some());
    let is_begun = Memo::new(move |_| {
        store
            .with_car(|car| !car.belt_drive.pulleys.is_empty())
            .unwrap_or_default()
    });
    live(move || match (is_open.get(), is_begun.get()) {
        (false, _) => empty(
            words::answers(),
            words::needs(),
            enter(),
            Route::Board.href(),
        ),
        (true, false) => begin(desk),
        (true, true) => whole(desk),
    })
}

/// Nothing entered yet.
fn begin(desk: Desk) -> AnyView {
    let hit = move |_| {
        desk.store.change(&[], |car| {
            car.belt_drive.begin_with(Template::AlternatorAndPump);
        });
    };
    view! {
        <div class="empty">
            <p class="answers">{words::answers()}</p>
            <p>{words::needs()}</p>
            <button type="button" class="button" id="begin" on:click=hit>{words::begin()}</button>
        </div>
    }
    .into_any()
}

fn whole(desk: Desk) -> AnyView {
    let store = desk.store;
    let dragged = RwSignal::new(None);
    let found: Found = Memo::new(move |_| {
        let answer = store.answer()?;
        let mut car = answer.car.clone();
        if let Some((handle, at)) = dragged.get() {
            drawing::put(&mut car, handle, at);
        }
        let belt = BeltStudy::new(&car, answer.study.as_ref().ok());
        let called = called(&answer);
        Some(Shown(Arc::new(Drive { car, called, belt })))
    });
    let below = next_turn(found);
    let is_laid = Memo::new(move |_| laid(found, |_, _| ()).is_some());
    let is_laid_below = Memo::new(move |_| laid(below, |_, _| ()).is_some());
    let mut pieces = vec![
        piece(move || stale_strip(stale(store))),
        piece(move || trying(desk)),
        piece(move || {
            live(move || {
                if is_laid.get() {
                    let verdict = Memo::new(move |_| laid(found, words::verdict));
                    let none = crate::words::pass::no_verdict;
                    verdict_view(Signal::derive(move || verdict.get().unwrap_or_else(none)))
                } else {
                    troubled(desk, found)
                }
            })
        }),
        piece(move || drawing::drawing(desk, found, dragged)),
        piece(|| view! { <p class="caution">{words::caution()}</p> }.into_any()),
        piece(move || {
            live(move || {
                if is_laid_below.get() {
                    tables::tables(below)
                } else {
                    ().into_any()
                }
            })
        }),
    ];
    pieces.extend(entries::entries(desk, found));
    pieces.extend([
        piece(move || ear::ear(desk, below)),
        piece(move || seller::seller(desk, below)),
        piece(move || working(below)),
    ]);
    in_turns(AT_ONCE, pieces)
}

/// The same a turn later, for what is out of sight: an entry or a finger that drags need not wait for that.
fn next_turn(found: Found) -> Found {
    let shown = RwSignal::new(found.get_untracked());
    Effect::new(move || {
        found.track();
        let unfinished = Unfinished::new();
        let show = move || {
            // What has come meanwhile is shown at once: a finger that drags leaves no queue behind.
            if let Some(newest) = found.try_get_untracked() {
                let _ = shown.try_set(newest);
            }
            drop(unfinished);
        };
        set_timeout(show, Duration::ZERO);
    });
    Memo::new(move |_| shown.get())
}

/// Why there is no answer, with the way to what mends it; a side that is open is asked right here.
fn troubled(desk: Desk, found: Found) -> AnyView {
    live_option(move || {
        let drive = found.get()?.0;
        let error = drive.belt.as_ref().err()?;
        if let NoBelt::Lay(LayError::Ask(questions)) = error {
            let asked = *questions.first()?;
            let (question, sides) = words::question(&drive.car, &asked);
            let answer = move |left: bool| {
                desk.store.change(&[], |car| {
                    car.belt_drive.sides.push(SideAnswer {
                        pulley: asked.pulley,
                        from: asked.from,
                        to: asked.to,
                        left,
                    });
                });
            };
            let [left, right] = sides;
            return Some(
                view! {
                    <div class="empty belt-asks" role="status">
                        <p class="answers">{question}</p>
                        <div class="belt-sides">
                            <button type="button" class="button" on:click=move |_| answer(true)>{left}</button>
                            <button type="button" class="button" on:click=move |_| answer(false)>{right}</button>
                        </div>
                    </div>
                }
                .into_any(),
            );
        }
        let trouble = words::trouble(&drive.car, error);
        let way = trouble.field.map(|field| {
            let href = super::page_of(field).href_to(&field.key());
            view! { <a class="button" href=href>{words::to_field()}</a> }.into_any()
        });
        Some(
            view! {
                <div class="empty" role="status">
                    <p class="fault belt-trouble">{trouble.said}</p>
                    {way}
                </div>
            }
            .into_any(),
        )
    })
}

/// What is wrong with a pulley or a distance, beside it; `id` is alone in the document.
pub fn beside(
    found: Found,
    id: String,
    is_meant: impl Fn(&words::Trouble) -> bool + Send + Sync + 'static,
) -> AnyView {
    let fault = Signal::derive(move || {
        let drive = found.get()?.0;
        let trouble = words::trouble(&drive.car, drive.belt.as_ref().err()?);
        is_meant(&trouble).then(|| Fault {
            found: trouble.said,
            needed: String::new(),
        })
    });
    fault_view(id, fault)
}

/// What stands behind the figures.
fn working(found: Found) -> AnyView {
    working_view(Signal::derive(move || Working {
        formula: words::formula().to_owned(),
        inputs: laid(found, words::inputs).unwrap_or_default(),
        source: words::sources(),
    }))
}
