//! The first visit: what brings you?

use super::{Desk, cars};
use crate::browser;
use crate::parts::door::door;
use crate::parts::live::live_option;
use crate::shell::language;
use crate::shell::route::{Route, go};
use crate::words::board as words;
use laneside_core::car::demo;
use leptos::prelude::*;

/// The page's body.
pub fn page(desk: Desk) -> AnyView {
    let doors = words::doors()
        .into_iter()
        .zip([Route::Log, Route::Board])
        .map(|((title, line), route)| door(title, line, route.href()))
        .collect_view();
    view! {
        // The board opens the pad at once: nobody comes through a door for anything else.
        <div on:click=move |_| desk.pad.pressed()>{doors}</div>
        <p class="quiet">{words::needs()}</p>
        {demo_cars(desk)}
        {live_option(move || cars::aside(desk, desk.store.aside()))}
    }
    .into_any()
}

/// The invented cars, each added by a tap.
pub fn demo_cars(desk: Desk) -> AnyView {
    let cars = demo::cars()
        .into_iter()
        .zip(words::demo_lines())
        .map(|(mut car, line)| {
            words::name_demo(&mut car);
            let name = car.name.clone();
            let add = move |_| {
                desk.store.open_or_add(&car);
                go(Route::Pulleys);
            };
            view! {
                <button type="button" class="door door-button" on:click=add>
                    <span class="door-title">{name}</span>
                    <span class="door-line">{line}</span>
                </button>
            }
        })
        .collect_view();
    view! {
        <h2>{words::demo_head()}</h2>
        {cars}
    }
    .into_any()
}

/// Opens a car with nothing entered, in the units that the phone's language suggests.
pub fn add_blank(desk: Desk) {
    let units = language::units_of(&browser::language());
    desk.store.add_blank(units);
}
