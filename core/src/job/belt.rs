//! What the card says of the belt.

use crate::belt::{BeltSize, BeltStudy, Ending, Section, Serves};
use crate::car::Car;
use crate::car::swap::{Band, CardBelt, Serving, short};
use crate::finding::Status;
use crate::stored::tidy;
use crate::study::Study;

/// The belt for the pulleys to try; `None` while the drive is not measured, or no belt goes over them.
pub(super) fn card_belt(car: &Car, study: &Study) -> Option<CardBelt> {
    let belt = BeltStudy::new(car, Some(study)).ok()?;
    if belt.not_tried.is_some() {
        return None;
    }
    let of = |size: &BeltSize| (Some(short(&size.designation())), Some(part(size.length_mm)));
    let own = car.belt_drive.belt_mm.map(|length_mm| {
        let ribs = match belt.comparison.on_car.nominal.layout.section {
            Section::VRibbed { ribs } => Some(ribs),
            Section::V => None,
        };
        let named = ribs.map(|ribs| short(&BeltSize::ribbed(ribs, length_mm).designation()));
        (named, Some(part(length_mm)))
    });
    let travel = |ending: &Ending| ending.of_travel.map(|of| part(of.clamp(0.0, 1.0)));
    let (serving, certain, (bring, length_mm), of_travel) = match &belt.serves {
        Serves::OwnBelt => (
            Serving::OwnBelt,
            belt.own_status == Status::Holds,
            own.unwrap_or_default(),
            travel(&belt.own_ending),
        ),
        Serves::Another(offer) => (
            Serving::Another,
            offer.status == Status::Holds,
            of(&offer.belt),
            travel(&belt.ending),
        ),
        Serves::None => (Serving::None, false, (None, None), None),
        Serves::NothingMoves => {
            let wanted = belt.comparison.length_wanted_mm();
            let wanted = wanted.map(|wanted| part(wanted.value));
            (Serving::NothingMoves, false, (None, wanted), None)
        }
    };
    let tension_n = belt.tried.wanted_n().map(|(value, half)| Band {
        value: part(value),
        low: part((value - half).max(0.0)),
        high: part(value + half),
    });
    Some(CardBelt {
        serving,
        certain,
        bring,
        length_mm,
        of_travel,
        tension_n,
    })
}

/// Rounded to a thousandth.
fn part(number: f64) -> f64 {
    tidy((number * 1e3).round() / 1e3)
}
