//! The battery: what it is, how it stands this morning.

use super::super::Desk;
use super::group::{Pick, fields, heading, rare};
use crate::parts::live::{all, live_option};
use crate::words::supply as words;
use laneside_core::battery::{Chemistry, CrankStandard};
use laneside_core::car::Age;
use laneside_core::car::entry::Field;
use laneside_core::study::WiringStudy;
use leptos::prelude::*;

const AGES: [Age; 3] = [Age::New, Age::Used, Age::Old];
const STANDARDS: [CrankStandard; 6] = [
    CrankStandard::Sae,
    CrankStandard::En,
    CrankStandard::Din,
    CrankStandard::Iec,
    CrankStandard::Freezing,
    CrankStandard::Pulse,
];
const CELLS: [u8; 3] = [6, 8, 4];

const CHEMISTRY: Pick = Pick {
    id: "chemistry",
    words: (words::CHEMISTRY.0, words::CHEMISTRY_NOTE),
    options: &words::CHEMISTRY.1,
    read: |car| {
        let chemistry = car.battery.chemistry;
        let at = Chemistry::ALL
            .iter()
            .position(|one| Some(*one) == chemistry);
        Some(at.map_or(0, |at| at + 1))
    },
    write: |car, at| {
        let said = at.checked_sub(1);
        car.battery.chemistry = said.and_then(|at| Chemistry::ALL.get(at).copied());
        // What another chemistry is not sold with would not be a battery.
        car.battery.cells = None;
    },
    unsaid: Some(0),
};

const CELL_COUNT: Pick = Pick {
    id: "cells",
    words: (words::CELLS.0, ""),
    options: &words::CELLS.1,
    read: |car| {
        let cells = car.battery.cells;
        Some(
            CELLS
                .iter()
                .position(|one| Some(*one) == cells)
                .map_or(0, |at| at + 1),
        )
    },
    write: |car, at| car.battery.cells = at.checked_sub(1).and_then(|at| CELLS.get(at).copied()),
    unsaid: Some(0),
};

const STANDARD: Pick = Pick {
    id: "crank-standard",
    words: (words::STANDARD.0, words::STANDARD_NOTE),
    options: &words::STANDARD.1,
    read: |car| {
        let standard = car.battery.crank_standard;
        let at = STANDARDS.iter().position(|one| Some(*one) == standard);
        Some(at.map_or(0, |at| at + 1))
    },
    write: |car, at| {
        car.battery.crank_standard = at.checked_sub(1).and_then(|at| STANDARDS.get(at).copied());
    },
    unsaid: Some(0),
};

const AGE: Pick = Pick {
    id: "battery-age",
    words: (words::AGE.0, ""),
    options: &words::AGE.1,
    read: |car| {
        let age = car.battery.age;
        Some(
            AGES.iter()
                .position(|one| Some(*one) == age)
                .map_or(0, |at| at + 1),
        )
    },
    write: |car, at| car.battery.age = at.checked_sub(1).and_then(|at| AGES.get(at).copied()),
    unsaid: Some(0),
};

/// The group.
pub fn battery(desk: Desk) -> AnyView {
    all([
        heading("battery", words::battery()),
        CHEMISTRY.select(desk).row(),
        fit(desk),
        fields(desk, &[Field::BatteryCapacity, Field::CrankRating]),
        STANDARD.select(desk).row(),
        AGE.select(desk).row(),
        fields(desk, &[Field::RestedVolts, Field::RestedHours]),
        rare(
            words::battery_line().into_any(),
            [
                fields(desk, &[Field::BatteryMilliohms, Field::BatteryMilliohmsAt]),
                CELL_COUNT.select(desk).row(),
                fields(desk, &[Field::ChargeLimit]),
            ],
        ),
    ])
}

/// A set-point that does not suit, said plainly.
pub fn fit(desk: Desk) -> AnyView {
    let said = Memo::new(move |_| {
        let answer = desk.store.answer()?;
        let study = answer.study.as_ref().ok()?;
        let fit = WiringStudy::new(&answer.car, &study.tolerances, &study.on_car).charge_fit?;
        Some(words::charge_fit(fit)).filter(|said| !said.is_empty())
    });
    live_option(move || {
        said.get()
            .map(|said| view! { <p class="caution">{said}</p> }.into_any())
    })
}
