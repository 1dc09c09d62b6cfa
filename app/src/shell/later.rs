//! The pages that come later: what each will answer, and what can be done now.

use super::route::Route;
use crate::parts::empty::empty;
use leptos::prelude::*;

/// The body of a page that comes later.
pub fn later(route: Route) -> AnyView {
    let (answers, now, button, to) = match route {
        Route::Swap => (
            "Swap will give a job card for the pulley: cautions, readings before and after, and the car's history.",
            "It comes later. Now: settle which pulley to put on.",
            "Choose the pulley",
            Route::Pulleys,
        ),
        Route::Car
        | Route::Belt
        | Route::Pulleys
        | Route::Pass
        | Route::Day
        | Route::Log
        | Route::Cars
        | Route::Board
        | Route::Welcome => ("", "", "", Route::Car),
    };
    empty(answers, now, button, to.href())
}
