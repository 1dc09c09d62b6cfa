//! The Laneside single-page app.

mod browser;
mod parts;
mod shell;

use leptos::prelude::*;
use parts::pad::Pad;
use shell::frame::{Slots, frame};
use shell::later::later;
use shell::route::{Nav, Route};
use shell::settings::Units;
use shell::theme::Theme;

fn main() {
    mount_to_body(|| {
        let slots = Slots {
            car_name: Signal::default(),
            verdict: ViewFn::default(),
            over: ViewFn::default(),
            theme: Theme::start(),
            units: Units {
                metric: Signal::stored(None),
                on_metric: Callback::new(|_| ()),
            },
            page: later,
        };
        frame(Nav::start(Route::Car), Pad::new(), slots)
    });
}
