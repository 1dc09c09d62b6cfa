//! The phases of the day: what the engine does in each, and what a clamp meter reads.

use super::super::Desk;
use super::super::entry::entry_text;
use super::group::{button, closed_up, fields, full, heading, item, note, remove};
use crate::parts::choice::Choice;
use crate::parts::live::{all, live, live_option, live_text};
use crate::words::{car as words, names};
use laneside_core::car::check::MOST_PHASES;
use laneside_core::car::entry::Field;
use laneside_core::car::{Car, EngineState, Phase};
use laneside_core::quantity::{InElectricCurrent, rpm};
use leptos::prelude::*;

/// What the engine may do, in the order of [`words::STATES`].
const STATES: [EngineState; 5] = [
    EngineState::Off,
    EngineState::Idle,
    EngineState::IdleInGear,
    EngineState::Launch,
    EngineState::Pass,
];

/// The speed that a phase of its own speed starts out with, rpm.
const OWN_RPM: f64 = 2_000.0;

/// The group.
pub fn phases(desk: Desk) -> AnyView {
    let store = desk.store;
    let count = Memo::new(move |_| store.with_car(|car| car.phases.len()).unwrap_or_default());
    let added = StoredValue::new(false);
    let add = Callback::new(move |()| {
        added.set_value(true);
        store.change(&[], |car| {
            let phase = new_phase(car);
            car.phases.push(phase);
        });
    });
    all([
        heading("phases", words::phases()),
        note(words::phases_note()),
        live(move || {
            let count = count.get();
            let open_last = added.get_value();
            added.set_value(false);
            let row = move |place| row(desk, place, open_last && place + 1 == count);
            all((0..count).map(row).collect::<Vec<_>>())
        }),
        live(move || {
            if count.get() >= MOST_PHASES {
                full(words::full_phases())
            } else {
                button(words::add_phase(), add)
            }
        }),
    ])
}

/// A phase with an id that no other has.
fn new_phase(car: &Car) -> Phase {
    let mut number = car.phases.len();
    let free = |id: &str| car.phases.iter().all(|phase| phase.id != id);
    let id = loop {
        let id = format!("own_{number}");
        if free(&id) {
            break id;
        }
        number += 1;
    };
    Phase {
        name: Some(words::new_phase().to_owned()),
        ..Phase::new(&id, EngineState::Idle)
    }
}

fn read<T>(desk: Desk, place: usize, read: impl FnOnce(&Phase) -> T) -> Option<T> {
    desk.store
        .with_car(|car| car.phases.get(place).map(read))
        .flatten()
}

fn row(desk: Desk, place: usize, is_open: bool) -> AnyView {
    let name = move || {
        desk.store
            .with_car(|car| names::phase(car, place))
            .unwrap_or_default()
    };
    let line = move || {
        read(desk, place, |phase| {
            words::phase_line(phase.engine, phase.clamp.map(|clamp| clamp.current.amps()))
        })
        .unwrap_or_default()
    };
    item(
        is_open,
        live_text(name),
        live_text(line),
        fields(desk, &[Field::PhaseClamp(place)]),
        Callback::new(move |()| details(desk, place)),
    )
}

/// What is only asked for once a phase is opened.
fn details(desk: Desk, place: usize) -> AnyView {
    let store = desk.store;
    let state = Choice::new(
        format!("phase-engine-{place}"),
        words::engine_state(),
        words::states(),
        Signal::derive(move || {
            let engine = read(desk, place, |phase| phase.engine)?;
            let fixed = STATES.iter().position(|state| *state == engine);
            Some(fixed.unwrap_or(STATES.len()))
        }),
        Callback::new(move |at: usize| {
            let own = EngineState::At {
                speed: rpm(OWN_RPM),
            };
            store.change(&[Field::PhaseSpeed(place)], |car| {
                if let Some(phase) = car.phases.get_mut(place) {
                    phase.engine = STATES.get(at).copied().unwrap_or(own);
                }
            });
        }),
    );
    let has_own = Memo::new(move |_| {
        read(desk, place, |phase| {
            matches!(phase.engine, EngineState::At { .. })
        })
        .unwrap_or_default()
    });
    let is_last = Memo::new(move |_| {
        store
            .with_car(|car| car.phases.len() < 2)
            .unwrap_or_default()
    });
    let take_out = Callback::new(move |()| {
        store.remove_listed(
            move |field| without_phase(field, place),
            |car| {
                let gone = car.phases.remove(place);
                for load in car.loads.iter_mut().flatten() {
                    load.duty.retain(|duty| duty.phase != gone.id);
                }
                car.day.steps.retain(|step| step.phase != gone.id);
            },
        );
    });
    let built_in = untrack(|| read(desk, place, |phase| names::phase_id(&phase.id).to_owned()));
    let name = entry_text(desk, Field::PhaseName(place)).placeholder(built_in.unwrap_or_default());
    all([
        fields(desk, &[Field::PhaseClampVoltage(place)]),
        state.row(),
        live_option(move || {
            has_own
                .get()
                .then(|| fields(desk, &[Field::PhaseSpeed(place)]))
        }),
        name.view(),
        live(move || {
            if is_last.get() {
                note(words::last_phase())
            } else {
                remove(words::remove_phase(), take_out)
            }
        }),
    ])
}

/// Where a field is found once the phase at a place is gone.
fn without_phase(field: Field, gone: usize) -> Option<Field> {
    let moved = |place: usize| closed_up(place, gone);
    Some(match field {
        Field::PhaseName(place) => Field::PhaseName(moved(place)?),
        Field::PhaseSpeed(place) => Field::PhaseSpeed(moved(place)?),
        Field::PhaseClamp(place) => Field::PhaseClamp(moved(place)?),
        Field::PhaseClampVoltage(place) => Field::PhaseClampVoltage(moved(place)?),
        Field::LoadDuty(load, place) => Field::LoadDuty(load, moved(place)?),
        other => other,
    })
}
