//! Charge wiring, and where voltage is read.

use super::super::Desk;
use super::group::{Pick, fields, heading, note, rare};
use crate::parts::choice::Choice;
use crate::parts::live::{all, live};
use crate::words::supply as words;
use laneside_core::bus::Sense;
use laneside_core::car::entry::Field;
use laneside_core::car::{Car, Lead};
use laneside_core::data::iec_60228::MM2_OHM_PER_KM;
use laneside_core::quantity::System;
use laneside_core::study::WiringStudy;
use laneside_core::wiring::{Place, WireSize};
use leptos::prelude::*;

const SENSE: Pick = Pick {
    id: "sense",
    words: (words::SENSE.0, ""),
    options: &words::SENSE.1,
    read: |car| Some(usize::from(car.wiring.sense == Some(Sense::Battery))),
    write: |car, at| {
        car.wiring.sense = Some(if at == 1 {
            Sense::Battery
        } else {
            Sense::Alternator
        });
    },
    unsaid: None,
};

const READ_AT: Pick = Pick {
    id: "read-at",
    words: (words::READ_AT.0, words::READ_NOTE),
    options: &words::READ_AT.1,
    read: |car| {
        let place = car.wiring.read_at.unwrap_or_default();
        Place::ALL.iter().position(|one| *one == place)
    },
    write: |car, at| car.wiring.read_at = Place::ALL.get(at).copied(),
    unsaid: None,
};

/// The group.
pub fn wiring(desk: Desk) -> AnyView {
    let lead: fn(&mut Car) -> &mut Lead = |car| &mut car.wiring.lead;
    let ground: fn(&mut Car) -> &mut Lead = |car| &mut car.wiring.ground;
    all([
        heading("wiring", words::wiring_label()),
        note(words::wiring_note()),
        size(
            desk,
            ("lead-size", words::lead_size()),
            |car| car.wiring.lead.size,
            lead,
        ),
        fields(desk, &[Field::LeadLength]),
        size(
            desk,
            ("ground-size", words::ground_size()),
            |car| car.wiring.ground.size,
            ground,
        ),
        fields(desk, &[Field::GroundLength]),
        costs(desk),
        READ_AT.select(desk).row(),
        rare(
            words::by_drop().into_any(),
            [
                note(words::drop_note()),
                fields(
                    desk,
                    &[
                        Field::LeadDrop,
                        Field::LeadDropAt,
                        Field::GroundDrop,
                        Field::GroundDropAt,
                    ],
                ),
            ],
        ),
        rare(
            words::calibrate().into_any(),
            [
                note(words::calibrate_note()),
                fields(desk, &[Field::MeterVolts, Field::ShownVolts]),
            ],
        ),
        rare(
            words::more().into_any(),
            [
                SENSE.select(desk).row(),
                fields(desk, &[Field::Fuse, Field::WireTemperature]),
            ],
        ),
    ])
}

/// The sizes of a list in these units.
fn sizes(units: System) -> Vec<WireSize> {
    match units {
        System::Inch => WireSize::GAUGES
            .iter()
            .map(|gauge| WireSize::Awg(*gauge))
            .collect(),
        System::Metric => MM2_OHM_PER_KM
            .iter()
            .map(|row| WireSize::Mm2(row.0))
            .collect(),
    }
}

fn size(
    desk: Desk,
    (id, label): (&'static str, &'static str),
    read: fn(&Car) -> Option<WireSize>,
    of: fn(&mut Car) -> &mut Lead,
) -> AnyView {
    let store = desk.store;
    live(move || {
        let mut list = sizes(store.units());
        // One of the other list is kept, and shown at its end.
        let own = untrack(|| store.with_car(read).flatten());
        list.extend(own.filter(|own| !list.contains(own)));
        let names = std::iter::once(words::size_unknown().to_owned())
            .chain(list.iter().map(|one| words::size(*one)));
        let picked = {
            let list = list.clone();
            Signal::derive(move || {
                let own = store.with_car(read).flatten();
                Some(
                    list.iter()
                        .position(|one| Some(*one) == own)
                        .map_or(0, |at| at + 1),
                )
            })
        };
        let names: Vec<String> = names.collect();
        let on_pick = Callback::new(move |at: usize| {
            let picked = at.checked_sub(1).and_then(|at| list.get(at).copied());
            store.change(&[], |car| of(car).size = picked);
        });
        Choice::new(id, label, names, picked, on_pick).row()
    })
}

/// What it costs, and whether cable and fuse are enough.
fn costs(desk: Desk) -> AnyView {
    let lines = Memo::new(move |_| {
        let answer = desk.store.answer()?;
        let study = answer.study.as_ref().ok()?;
        let judged = study
            .tried
            .as_ref()
            .map_or(&study.on_car, |tried| &tried.judged);
        Some(words::wiring(&WiringStudy::new(
            &answer.car,
            &study.tolerances,
            judged,
        )))
    });
    live(move || {
        let lines = lines.get().unwrap_or_default();
        all(lines
            .into_iter()
            .map(|line| view! { <p class="note">{line}</p> }.into_any())
            .collect::<Vec<_>>())
    })
}
