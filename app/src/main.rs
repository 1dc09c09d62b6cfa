//! The Laneside single-page app.

// Everything that is said goes through these macros.
#[macro_use]
extern crate laneside_say;

mod beside;
mod browser;
mod carry;
mod log;
mod pages;
mod parts;
mod shell;
mod sound;
mod store;
mod words;

use laneside_core::quantity::System;
use leptos::prelude::*;
use log::Logs;
use pages::Desk;
use parts::pad::Pad;
use parts::undo::undo_bar;
use shell::frame::{Slots, frame};
use shell::route::{Nav, Route};
use shell::settings::Units;
use shell::theme::Theme;
use store::Store;

fn main() {
    shell::language::start();
    // The same module runs beside the page to read a log, to hear a belt, or to find codes.
    if let Some(scope) = beside::scope() {
        if scope.name() == carry::scanner::NAME {
            carry::scanner::work(&scope);
        } else if scope.name() == sound::worker::NAME {
            sound::worker::start(&scope);
        } else {
            log::worker::start(&scope);
        }
        return;
    }
    mount_to_body(|| {
        let store = Store::start();
        parts::locked::lock_by(Signal::derive(move || store.is_locked()));
        let desk = Desk {
            store,
            pad: Pad::new(),
            theme: Theme::start(),
            logs: Logs::new(store),
        };
        // Back again: the verdict at once, or the blanks that are in its way.
        let first = match untrack(|| store.answer()) {
            Some(answer) if answer.study.is_ok() => Route::Pulleys,
            Some(_) => Route::Board,
            None => Route::Welcome,
        };
        let on_metric =
            move |metric| store.set_units(if metric { System::Metric } else { System::Inch });
        let deleted =
            Signal::derive(move || store.deleted_name().map(|name| words::cars::deleted(&name)));
        let slots = Slots {
            car_name: Signal::derive(move || {
                store.with_car(|car| car.name.clone()).unwrap_or_default()
            }),
            verdict: ViewFn::from(move || pages::verdict_of(desk)),
            over: ViewFn::from(move || {
                undo_bar(
                    deleted,
                    (
                        words::cars::undo(),
                        Callback::new(move |()| store.undelete()),
                    ),
                    (
                        words::cars::close(),
                        Callback::new(move |()| store.close_undo()),
                    ),
                )
            }),
            theme: desk.theme,
            units: Units {
                metric: Signal::derive(move || store.with_car(|car| car.units == System::Metric)),
                on_metric: Callback::new(on_metric),
            },
            page: Callback::new(move |route| pages::page(desk, route)),
        };
        frame(Nav::start(first), desk.pad, slots)
    });
}
