//! How do I do it? The job card of a swap, and the car's history.

mod awake;
mod boxes;
mod card;
mod done;
mod history;
mod readings;

use super::Desk;
use super::sweep::worked_out_from_start;
use crate::parts::empty::empty;
use crate::parts::held::Held;
use crate::parts::live::{all, live, live_option, live_text};
use crate::parts::undo::undo_bar;
use crate::parts::verdict::Status;
use crate::shell::route::Route;
use crate::store::Answer;
use crate::words::log::kept::date;
use crate::words::{belt as belt_words, history as past, swap as words};
use laneside_core::belt::BeltStudy;
use laneside_core::car::history::Entry;
use laneside_core::car::swap::JobCard;
use leptos::prelude::*;

/// What was put away or deleted last, and can be had back while the page is open.
#[derive(Clone, Debug)]
enum Gone {
    Card(Box<JobCard>),
    Entry(Box<Entry>),
}

/// What can be had back.
#[derive(Clone, Copy)]
struct Bin(RwSignal<Option<Gone>>);

/// Now, as the app writes it.
fn now() -> String {
    date(&js_sys::Date::new_0())
}

/// How far the page has come.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
enum Stage {
    /// There is a card.
    Card,
    /// One can be made.
    Ready,
    /// There is no pulley to put on.
    NoPulley,
    /// The car has no answer yet.
    #[default]
    NoAnswer,
}

/// The page.
pub fn page(desk: Desk) -> AnyView {
    let store = desk.store;
    let bin = Bin(RwSignal::new(None));
    let stage = Held::new(move || {
        let Some(answer) = store.answer() else {
            return Stage::NoAnswer;
        };
        match (&answer.car.swap, &answer.study) {
            (Some(_), _) => Stage::Card,
            (None, Err(_)) => Stage::NoAnswer,
            (None, Ok(study)) if study.tried.is_none() => Stage::NoPulley,
            (None, Ok(_)) => Stage::Ready,
        }
    });
    let body = live(move || match stage.get() {
        Stage::Card => card::card(desk, bin),
        Stage::Ready => start(desk),
        Stage::NoPulley => empty(
            words::answers(),
            words::needs_pulley(),
            words::choose(),
            Route::Pulleys.href(),
        ),
        Stage::NoAnswer => empty(
            words::answers(),
            words::needs(),
            words::enter(),
            Route::Board.href(),
        ),
    });
    all([
        against(desk, stage),
        body,
        bar(desk, bin),
        history::history(desk, bin),
    ])
}

/// What other pages have against the pulley to try, while a card is to be made or lies there. What the page Belt has
/// follows an entry late.
fn against(desk: Desk, stage: Held<Stage>) -> AnyView {
    let due = move || {
        let is_due = matches!(stage.get(), Stage::Card | Stage::Ready);
        desk.store.answer().filter(|_| is_due)
    };
    let is_worse = Memo::new(move |_| {
        let answer = due()?;
        Some(answer.study.as_ref().ok()?.is_worse())
    });
    let belt = worked_out_from_start(due, async |answer, _| belt_against(&answer));
    let line = |text: String, label: &'static str, route: Route| {
        let told = view! { <p class="caution">{text}</p> };
        view! { {told} <a class="way" href=route.href()>{label}</a> }.into_any()
    };
    let worse = live_option(move || {
        let is_worse = is_worse.get() == Some(true);
        is_worse.then(|| line(words::worse().to_owned(), words::choose(), Route::Pulleys))
    });
    let belt = live_option(move || {
        let text = belt.get().flatten()?;
        Some(line(text, words::see_belt(), Route::Belt))
    });
    view! { <div class="against" role="status">{worse} {belt}</div> }.into_any()
}

/// What the belt drive has against the pulley to try, if anything.
fn belt_against(answer: &Answer) -> Option<String> {
    let study = answer.study.as_ref().ok()?;
    study.tried.as_ref()?;
    let belt = BeltStudy::new(&answer.car, Some(study)).ok()?;
    let verdict = belt_words::verdict(&answer.car, &belt);
    let word = format!("{} {}", verdict.word, verdict.figure);
    (verdict.status == Status::Over).then(|| words::belt_against(word.trim_end(), &verdict.line))
}

/// What the page answers, and the button that makes the card.
fn start(desk: Desk) -> AnyView {
    let job = move || {
        let answer = desk.store.answer()?;
        let tried = answer.study.as_ref().ok()?.tried.as_ref()?;
        Some(words::to_put_on(&answer.car, &tried.pulley))
    };
    let job = live_text(move || job().unwrap_or_default());
    view! {
        <div class="empty">
            <p class="answers">{words::answers()}</p>
            <p>{job}</p>
            <button type="button" class="button" on:click=move |_| make(desk)>
                {words::make()}
            </button>
        </div>
    }
    .into_any()
}

/// The card that would be made now.
fn fresh(desk: Desk) -> Option<JobCard> {
    let answer = desk.store.answer()?;
    JobCard::new(&answer.car, answer.study.as_ref().ok()?, &now())
}

fn make(desk: Desk) {
    if let Some(card) = untrack(|| fresh(desk)) {
        desk.store.change(&[], move |car| car.swap = Some(card));
    }
}

/// The bar that brings back what went last.
fn bar(desk: Desk, bin: Bin) -> AnyView {
    let store = desk.store;
    let what = Signal::derive(move || match bin.0.get()? {
        Gone::Card(_) => Some(words::gone().to_owned()),
        Gone::Entry(entry) => store.with_car(|car| past::deleted(car, &entry)),
    });
    let undo = move |()| match bin.0.try_update(Option::take).flatten() {
        Some(Gone::Card(card)) => store.change(&[], move |car| car.swap = Some(*card)),
        Some(Gone::Entry(entry)) => history::put_back(desk, *entry),
        None => {}
    };
    undo_bar(
        what,
        (words::undo(), Callback::new(undo)),
        (words::close(), Callback::new(move |()| bin.0.set(None))),
    )
}
