//! The swap made: asked first, told after, and taken back.

use crate::pages::Desk;
use crate::parts::held::Held;
use crate::parts::live::{all, live, live_option};
use crate::shell::route::Route;
use crate::words::swap as words;
use laneside_core::car::Car;
use laneside_core::car::entry::Field;
use leptos::prelude::*;

use super::{make, now};

/// The button, or that it is done.
pub fn done(desk: Desk) -> AnyView {
    let store = desk.store;
    let is_full = RwSignal::new(false);
    let since = Held::new(move || {
        let since = |car: &Car| {
            let card = car.swap.as_ref()?;
            Some(words::done(car, card, &card.done.as_ref()?.on))
        };
        store.with_car(since).flatten()
    });
    let body = live(move || match since.get() {
        Some(since) => is_done(desk, since),
        None => ask(desk, is_full),
    });
    let full = live_option(move || {
        is_full
            .get()
            .then(|| view! { <p class="caution" role="alert">{words::full()}</p> }.into_any())
    });
    view! { <div class="screen-only done">{all([body, full])}</div> }.into_any()
}

/// What the swap moves: texts typed there are of the car before.
const MOVED: [Field; 10] = [
    Field::Fitted,
    Field::FittedRating,
    Field::Tried,
    Field::TriedRating,
    Field::Crank,
    Field::TriedCrank,
    Field::CrankTurns,
    Field::AlternatorTurns,
    Field::ReadEngine,
    Field::ReadAlternator,
];

fn ask(desk: Desk, is_full: RwSignal<bool>) -> AnyView {
    let store = desk.store;
    let sure = move |_| {
        let swapped = untrack(|| store.with_car(|car| car.swapped(&now())));
        match swapped {
            Some(Ok(swapped)) => {
                is_full.set(false);
                store.change(&MOVED, |car| *car = swapped);
            }
            Some(Err(_)) => is_full.set(true),
            None => {}
        }
    };
    view! {
        <details class="rare">
            <summary class="button large">{words::done_words()}</summary>
            <p>{words::done_ask()}</p>
            <p class="actions">
                <button type="button" class="button" on:click=sure>
                    {words::done_sure()}
                </button>
            </p>
        </details>
    }
    .into_any()
}

fn is_done(desk: Desk, since: String) -> AnyView {
    let store = desk.store;
    let back = move |_| store.change(&MOVED, |car| *car = car.unswapped());
    let next = move |_| make(desk);
    let remeasure = live_option(move || {
        let is_measured = |car: &Car| car.swap.as_ref().is_some_and(|card| card.belt.is_some());
        let is_measured = store.with_car(is_measured) == Some(true);
        is_measured.then(|| {
            view! {
                <p class="note">{words::remeasure()}</p>
                <a class="way" href=Route::Belt.href()>
                    {words::belt_label()}
                </a>
            }
            .into_any()
        })
    });
    view! {
        <div class="undo" role="status">
            <p>{since}</p>
            <button type="button" class="button" on:click=back>
                {words::take_back()}
            </button>
            <button type="button" class="plain" on:click=next>
                {words::next()}
            </button>
        </div>
        {remeasure}
    }
    .into_any()
}
