//! What have I got? Everything that is kept of a car, editable in place.

mod alternator;
mod assumed;
mod drive;
mod engine;
mod group;
mod loads;
mod phases;

use super::{Desk, board, stale, trying};
use crate::parts::empty::empty;
use crate::parts::live::{all, live, live_option};
use crate::parts::strip::stale_strip;
use crate::shell::route::Route;
use crate::words::{car as words, fields};
use laneside_core::car::entry::Field;
use laneside_core::car::{Car, RatingBy, RatioBy};
use laneside_core::resolve::{Blank, blanks};
use leptos::prelude::*;

/// The page's body.
pub fn page(desk: Desk) -> AnyView {
    let store = desk.store;
    // Made anew for every car that is opened, so that nothing of the one before stays about.
    let open = Memo::new(move |_| store.open_id());
    live(move || {
        if open.get().is_some() {
            whole(desk)
        } else {
            empty(
                words::ANSWERS,
                words::NEEDS,
                words::ENTER,
                Route::Board.href(),
            )
        }
    })
}

fn whole(desk: Desk) -> AnyView {
    let store = desk.store;
    let is_invented = untrack(|| store.with_car(|car| car.invented)).unwrap_or_default();
    let mut pieces = vec![stale_strip(stale(store)), trying(desk)];
    pieces.extend(is_invented.then(|| group::note(words::INVENTED)));
    pieces.extend([
        missing(desk),
        assumed::assumed(desk),
        drive::drive(desk),
        engine::engine(desk),
        alternator::alternator(desk),
        loads::loads(desk),
        phases::phases(desk),
    ]);
    all(pieces)
}

/// What is still blank, with the way to it: the board, or the field if the board does not ask for it.
fn missing(desk: Desk) -> AnyView {
    let missing = Memo::new(move |_| {
        desk.store
            .with_car(|car| {
                let blanks = blanks(car).into_iter();
                blanks.map(|blank| field_of(car, blank)).collect::<Vec<_>>()
            })
            .unwrap_or_default()
    });
    live_option(move || {
        let missing = missing.get();
        let first = *missing.first()?;
        let to = missing.iter().find(|field| board::ENTRIES.contains(field));
        let href = match to {
            Some(_) => Route::Board.href(),
            None => Route::Car.href_to(&first.key()),
        };
        let labels: Vec<&str> = missing.into_iter().map(fields::label).collect();
        let view = view! {
            <div class="empty">
                <p class="answers">{words::blanks(&labels)}</p>
                <a class="button" href=href>
                    {words::TO_BLANKS}
                </a>
            </div>
        };
        Some(view.into_any())
    })
}

/// The field that fills a blank.
fn field_of(car: &Car, blank: Blank) -> Field {
    match blank {
        Blank::Crank => Field::Crank,
        Blank::Fitted => Field::Fitted,
        Blank::Stage => match car.drive.second_stage.and_then(|stage| stage.driven) {
            Some(_) => Field::StageDriving,
            None => Field::StageDriven,
        },
        Blank::Ratio | Blank::RatioAgain => match car.drive.ratio_by {
            RatioBy::Speeds => Field::ReadAlternator,
            _ => Field::AlternatorTurns,
        },
        Blank::Limiter => Field::Limiter,
        Blank::Idle => Field::Idle,
        Blank::Rating => match car.alternator.rating_by {
            RatingBy::Points => Field::Points,
            RatingBy::Pair if car.alternator.rated.is_some() => Field::Low,
            _ => Field::Rated,
        },
    }
}
