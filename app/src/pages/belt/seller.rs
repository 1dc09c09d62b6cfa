//! Does it bolt on: questions for the seller, with this car's answers filled in.

use super::Found;
use crate::pages::Desk;
use crate::pages::car::group::{Pick, fields, heading, note, rare};
use crate::pages::entry::entry_text;
use crate::parts::live::all;
use crate::parts::table::table;
use crate::parts::verdict::verdict_view;
use crate::words::belt as words;
use laneside_core::belt::{BoltOn, FanTurns, seller_card};
use laneside_core::car::entry::Field;
use laneside_core::drive::Hub;
use leptos::prelude::*;

const FANS: [FanTurns; 3] = [
    FanTurns::Clockwise,
    FanTurns::CounterClockwise,
    FanTurns::Either,
];
const HUBS: [Hub; 2] = [Hub::Solid, Hub::OneWay];

const FAN: Pick = Pick {
    id: "offer-fan",
    words: (words::FANS.0, ""),
    options: &words::FANS.1,
    read: |car| {
        let fan = car.belt_drive.offered.fan;
        Some(
            FANS.iter()
                .position(|one| Some(*one) == fan)
                .map_or(0, |at| at + 1),
        )
    },
    write: |car, at| {
        car.belt_drive.offered.fan = at.checked_sub(1).and_then(|at| FANS.get(at).copied());
    },
    unsaid: None,
};

const HUB: Pick = Pick {
    id: "offer-hub",
    words: (words::HUBS.0, ""),
    options: &words::HUBS.1,
    read: |car| {
        let hub = car.belt_drive.offered.hub;
        Some(
            HUBS.iter()
                .position(|one| Some(*one) == hub)
                .map_or(0, |at| at + 1),
        )
    },
    write: |car, at| {
        car.belt_drive.offered.hub = at.checked_sub(1).and_then(|at| HUBS.get(at).copied());
    },
    unsaid: None,
};

/// The card.
pub fn seller(desk: Desk, found: Found) -> AnyView {
    let card = move || -> Option<(BoltOn, Vec<Vec<String>>)> {
        let drive = found.get()?.0;
        let belt = drive.belt.as_ref().ok();
        let card = seller_card(&drive.car, belt);
        let rows = words::seller_rows(&drive.car, belt, &card);
        Some((card, rows))
    };
    let verdict = Memo::new(move |_| card().map(|(card, _)| words::buy(&card)));
    let none = crate::words::pass::no_verdict;
    let rows = Signal::derive(move || card().map_or_else(Vec::new, |(_, rows)| rows));
    let head = words::seller_head().map(str::to_owned).to_vec();
    all([
        heading("seller", words::seller()),
        note(words::seller_note()),
        verdict_view(Signal::derive(move || verdict.get().unwrap_or_else(none))),
        table(words::seller(), Signal::stored(head), rows),
        rare(
            words::on_the_car().into_any(),
            [
                fields(desk, &[Field::ShaftBore]),
                entry_text(desk, Field::ShaftNut).view(),
                fields(
                    desk,
                    &[Field::ShaftOffset, Field::ShaftNose, Field::ShaftRoom],
                ),
            ],
        ),
        rare(
            words::the_offer().into_any(),
            [
                fields(desk, &[Field::OfferRibs, Field::OfferBore]),
                entry_text(desk, Field::OfferNut).view(),
                fields(
                    desk,
                    &[Field::OfferOffset, Field::OfferNose, Field::OfferOutside],
                ),
                FAN.select(desk).row(),
                HUB.select(desk).row(),
            ],
        ),
    ])
}
