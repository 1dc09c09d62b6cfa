//! The boxes of a part of the card.

use crate::pages::Desk;
use crate::parts::held::Held;
use crate::parts::live::{all, live, live_option, live_text};
use crate::shell::route::Route;
use crate::words::swap as words;
use laneside_core::car::Car;
use laneside_core::car::swap::{JobCard, Task};
use laneside_core::job::Part;
use leptos::prelude::*;

/// A part with its heading, its caution and its boxes.
pub fn part(desk: Desk, part: Part) -> AnyView {
    let store = desk.store;
    let tasks = Held::new(move || {
        let tasks = |car: &Car| car.swap.as_ref().map(|card| card.tasks(part));
        store.with_car(tasks).flatten().unwrap_or_default()
    });
    let caution = move || {
        let said = |car: &Car| Some(words::part_caution(car.swap.as_ref()?, part));
        let said = store.with_car(said).flatten()?;
        (!said.is_empty()).then(|| view! { <p class="caution">{said}</p> }.into_any())
    };
    let boxes = move || {
        let each = tasks.get().into_iter().map(|task| one(desk, task));
        all(each.collect::<Vec<_>>())
    };
    view! {
        <h2>{words::part(part)}</h2>
        {live_option(caution)}
        <ol class="job" class:ordered=part != Part::Bring>
            {live(boxes)}
        </ol>
    }
    .into_any()
}

fn one(desk: Desk, task: Task) -> AnyView {
    let store = desk.store;
    let with_card = move |read: fn(&Car, &JobCard, Task) -> String| {
        let read = |car: &Car| Some(read(car, car.swap.as_ref()?, task));
        store.with_car(read).flatten().unwrap_or_default()
    };
    let is_ticked = move || {
        let is_ticked = |car: &Car| Some(car.swap.as_ref()?.ticked.contains(&task));
        store.with_car(is_ticked).flatten().unwrap_or_default()
    };
    let on_change = move |_| {
        store.change(&[], |car| {
            if let Some(card) = &mut car.swap {
                card.toggle(task);
            }
        });
    };
    let what = live_text(move || with_card(|car, card, task| words::task(car, card, task).0));
    let beware = live_option(move || {
        let said = with_card(|car, card, task| words::task(car, card, task).1);
        (!said.is_empty()).then(|| view! { <p class="caution">{said}</p> }.into_any())
    });
    let way = (task == Task::BringBelt).then(|| {
        view! { <a class="way" href=Route::Belt.href()>{words::belt_label()}</a> }.into_any()
    });
    view! {
        <li>
            <label class="option">
                <input type="checkbox" prop:checked=is_ticked on:change=on_change />
                <span>{what}</span>
            </label>
            {beware}
            {way}
        </li>
    }
    .into_any()
}
