//! What is still missing for an answer, and the way to it.

use super::board;
use crate::shell::route::Route;
use crate::store::Store;
use crate::words::names;
use laneside_core::car::entry::{Field, shown};
use laneside_core::car::{Car, RatingBy, RatioBy};
use laneside_core::resolve::{Blank, blanks};

/// The fields of the open car that are still to be filled, in the order of the pages; tracked.
pub fn missing(store: Store) -> Vec<Field> {
    let fields = |car: &Car| {
        let blanks = blanks(car).into_iter();
        blanks.map(|blank| field_of(car, blank)).collect()
    };
    store.with_car(fields).unwrap_or_default()
}

/// What is missing, as it stands in a sentence; tracked.
pub fn named(store: Store) -> Vec<&'static str> {
    let named = |car: &Car| {
        let name = |blank| match field_of(car, blank) {
            field @ (Field::Low | Field::Points) => names::rating_part(field),
            _ => names::blank(blank),
        };
        blanks(car).into_iter().map(name).collect()
    };
    store.with_car(named).unwrap_or_default()
}

/// The link to the first of them: the board, which goes through its own one by one, or the field itself
/// where the board does not ask for it.
pub fn way(missing: &[Field]) -> String {
    match missing.first() {
        Some(field) if !board::ENTRIES.contains(field) => Route::Car.href_to(&field.key()),
        _ => Route::Board.href(),
    }
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
        Blank::Ratio | Blank::RatioAgain => {
            let (engine, alternator) = match car.drive.ratio_by {
                RatioBy::Speeds => (Field::ReadEngine, Field::ReadAlternator),
                _ => (Field::CrankTurns, Field::AlternatorTurns),
            };
            if shown(car, engine).is_empty() {
                engine
            } else {
                alternator
            }
        }
        Blank::Limiter => Field::Limiter,
        Blank::Idle => Field::Idle,
        Blank::Rating => match car.alternator.rating_by {
            RatingBy::Points => Field::Points,
            RatingBy::Pair if car.alternator.rated.is_some() => Field::Low,
            _ => Field::Rated,
        },
    }
}
