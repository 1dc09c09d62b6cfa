//! What has to be entered before there is an answer.

use super::drive::{ratio_fits_sizes, ratio_read};
use crate::car::{Car, RatingBy, RatioBy};

/// An entry without which an answer cannot be given, in the order they are asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Blank {
    /// Size of the crank pulley.
    Crank,
    /// Size of the alternator pulley on the car.
    Fitted,
    /// A pulley of the jackshaft.
    Stage,
    /// The counted turns or the two speeds read.
    Ratio,
    /// The same once more: what was read does not fit the sizes entered.
    RatioAgain,
    /// Engine speed at the limiter.
    Limiter,
    /// Engine speed at idle.
    Idle,
    /// Rated output.
    Rating,
}

/// Which of the five entries are still blank, in the order they are asked for.
pub fn blanks(car: &Car) -> Vec<Blank> {
    let mut found = drive_blanks(car);
    if car.engine.limiter.is_none() {
        found.push(Blank::Limiter);
    }
    if car.engine.idle.is_none() {
        found.push(Blank::Idle);
    }
    if !rating_is_known(car) {
        found.push(Blank::Rating);
    }
    found
}

fn drive_blanks(car: &Car) -> Vec<Blank> {
    let drive = &car.drive;
    let mut found = Vec::new();
    if let Some(stage) = &drive.second_stage
        && (stage.driven.is_none() || stage.driving.is_none())
    {
        found.push(Blank::Stage);
    }
    match drive.ratio_by {
        RatioBy::Sizes => {
            if drive.crank.is_none() {
                found.push(Blank::Crank);
            }
            if drive.fitted.is_none() {
                found.push(Blank::Fitted);
            }
        }
        RatioBy::Turns | RatioBy::Speeds => {
            if ratio_read(car).is_none() {
                found.push(Blank::Ratio);
            } else if !ratio_fits_sizes(car) {
                found.push(Blank::RatioAgain);
            }
            // One size tells what the others have to be.
            if drive.crank.is_none() && drive.fitted.is_none() {
                found.push(Blank::Fitted);
            }
        }
    }
    found
}

fn rating_is_known(car: &Car) -> bool {
    let alternator = &car.alternator;
    match alternator.rating_by {
        RatingBy::OneNumber => alternator.rated.is_some(),
        RatingBy::Pair => alternator.rated.is_some() && alternator.low.is_some(),
        RatingBy::Points => alternator.points.len() >= 2,
    }
}
