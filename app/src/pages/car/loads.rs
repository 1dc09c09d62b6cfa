//! What draws current: typical loads until the person takes the list over, then one disclosure a load.

use super::super::Desk;
use super::super::entry::{entry_field, entry_text};
use super::group::{button, fields, full, heading, item, note, rare, remove};
use crate::parts::checks::checks;
use crate::parts::choice::Choice;
use crate::parts::live::{all, live, live_text};
use crate::parts::table::table;
use crate::words::{car as words, names};
use laneside_core::car::Car;
use laneside_core::car::check::MOST_LOADS;
use laneside_core::car::entry::Field;
use laneside_core::data::common_practice;
use laneside_core::loads::Load;
use laneside_core::quantity::{ElectricCurrent, InElectricCurrent, amps};
use laneside_core::resolve::typical_loads;
use leptos::prelude::*;

/// The group.
pub fn loads(desk: Desk) -> AnyView {
    let store = desk.store;
    // How many, and one more; none while the typical ones stand in.
    let count = Memo::new(move |_| {
        let count = store.with_car(|car| Some(car.loads.as_ref()?.len() + 1));
        count.flatten().unwrap_or_default()
    });
    let added = StoredValue::new(false);
    all([
        heading("loads", words::loads()),
        live(move || match count.get().checked_sub(1) {
            None => typical(desk),
            Some(count) => list(desk, count, added),
        }),
        fields(desk, &[Field::Shed]),
    ])
}

/// The loads that stand in, and the tap that makes them the person's own.
fn typical(desk: Desk) -> AnyView {
    let rows = typical_loads()
        .into_iter()
        .map(|(load, low, high)| {
            vec![
                names::load(&load.name).to_owned(),
                words::figure(load.current.amps()),
                words::usual(low, high),
            ]
        })
        .collect::<Vec<_>>();
    let head = words::typical_head().map(str::to_owned).to_vec();
    let take_over = Callback::new(move |()| {
        desk.store.change(&[], |car| {
            car.loads = Some(
                typical_loads()
                    .into_iter()
                    .map(|(load, low, high)| Load {
                        // Its usual range stays its tolerance until the person says better.
                        tolerance: Some(amps((high - low) / 2.0)),
                        ..load
                    })
                    .collect(),
            );
        });
    });
    all([
        table(
            words::typical_note(),
            Signal::stored(head),
            Signal::stored(rows),
        ),
        button(words::take_over(), take_over),
    ])
}

/// The person's own list; after an addition the last one is open.
fn list(desk: Desk, count: usize, added: StoredValue<bool>) -> AnyView {
    let open_last = added.get_value();
    added.set_value(false);
    let rows = (0..count).map(|place| row(desk, place, open_last && place + 1 == count));
    all([
        note(words::loads_note()),
        all(rows.collect::<Vec<_>>()),
        picker(desk, count, added),
        note(words::total_note()),
    ])
}

/// The picker of what to add; says so when the list is full.
fn picker(desk: Desk, count: usize, added: StoredValue<bool>) -> AnyView {
    if count >= MOST_LOADS {
        return full(words::full_loads());
    }
    let picked = RwSignal::new(None::<usize>);
    let options = std::iter::once(words::pick_load().to_owned()).chain(
        common_practice::LOADS
            .iter()
            .map(|typical| words::pick(names::load(typical.code), typical)),
    );
    let on_pick = move |at: usize| {
        let Some(typical) = at
            .checked_sub(1)
            .and_then(|at| common_practice::LOADS.get(at))
        else {
            return;
        };
        added.set_value(true);
        picked.set(None);
        desk.store.change(&[], |car| {
            let load = new_load(typical);
            car.loads.get_or_insert_default().push(load);
        });
    };
    Choice::new(
        "add-load",
        words::add_load(),
        options,
        picked,
        Callback::new(on_pick),
    )
    .row()
}

/// A load of the picker: as the typical list has it, else on in every phase.
fn new_load(typical: &common_practice::TypicalLoad) -> Load {
    let listed = typical_loads()
        .into_iter()
        .find(|(load, ..)| load.name == typical.code)
        .map(|(load, ..)| load);
    let load = listed.unwrap_or_else(|| Load {
        name: typical.code.to_owned(),
        current: amps(typical.typical_a),
        tolerance: None,
        rated_at: None,
        kind: Default::default(),
        follows_engine: false,
        duty: Vec::new(),
    });
    Load {
        tolerance: Some(usual_half(typical)),
        ..load
    }
}

fn read<T>(desk: Desk, place: usize, read: impl FnOnce(&Car, &Load) -> T) -> Option<T> {
    desk.store
        .with_car(|car| Some(read(car, car.loads.as_ref()?.get(place)?)))
        .flatten()
}

fn change(desk: Desk, place: usize, replaced: &[Field], change: impl FnOnce(&mut Load)) {
    desk.store.change(replaced, |car| {
        let loads = car.loads.as_deref_mut().unwrap_or_default();
        if let Some(load) = loads.get_mut(place) {
            change(load);
        }
    });
}

fn row(desk: Desk, place: usize, is_open: bool) -> AnyView {
    let name =
        move || read(desk, place, |_, load| names::load(&load.name).to_owned()).unwrap_or_default();
    let line = move || {
        read(desk, place, |car, load| {
            let on = car
                .phases
                .iter()
                .filter(|phase| load.duty_in(&phase.id) > 0.0)
                .count();
            words::load_line(load.current.amps(), on, car.phases.len())
        })
        .unwrap_or_default()
    };
    item(
        is_open,
        live_text(name),
        live_text(line),
        current(desk, place),
        Callback::new(move |()| details(desk, place)),
    )
}

/// Its current. A typical one comes with its usual range as tolerance, which ends with the first reading.
fn current(desk: Desk, place: usize) -> AnyView {
    let field = Field::LoadCurrent(place);
    let read_anew = Callback::new(move |text| {
        desk.store.type_into(field, text);
        let is_usual = untrack(|| {
            read(desk, place, |_, load| {
                let typical = common_practice::LOADS
                    .iter()
                    .find(|typical| typical.code == load.name);
                typical.is_some_and(|typical| {
                    load.tolerance == Some(usual_half(typical))
                        && load.current.amps() != typical.typical_a
                })
            })
        });
        if is_usual == Some(true) {
            desk.store.change_along(|car| {
                let loads = car.loads.as_deref_mut().unwrap_or_default();
                if let Some(load) = loads.get_mut(place) {
                    load.tolerance = None;
                }
            });
        }
    });
    entry_field(desk, field).on_text(read_anew).view(desk.pad)
}

/// Half the usual range of a typical load.
fn usual_half(typical: &common_practice::TypicalLoad) -> ElectricCurrent {
    amps((typical.highest_a - typical.lowest_a) / 2.0)
}

/// What is only asked for once a load is opened.
fn details(desk: Desk, place: usize) -> AnyView {
    let kind = Choice::new(
        format!("load-kind-{place}"),
        words::kind().0,
        words::kind().1,
        Signal::derive(move || {
            let kind = read(desk, place, |_, load| load.kind)?;
            words::KINDS.iter().position(|one| *one == kind)
        }),
        Callback::new(move |at: usize| {
            if let Some(kind) = words::KINDS.get(at) {
                change(desk, place, &[], |load| load.kind = *kind);
            }
        }),
    );
    let follows = checks(
        words::follows_note(),
        vec![words::follows().to_owned()],
        Signal::derive(move || {
            vec![read(desk, place, |_, load| load.follows_engine).unwrap_or_default()]
        }),
        Callback::new(move |_| {
            change(desk, place, &[], |load| {
                load.follows_engine = !load.follows_engine;
            });
        }),
    );
    let take_out = Callback::new(move |()| {
        desk.store.remove_listed(
            move |field| without_load(field, place),
            |car| {
                if let Some(loads) = &mut car.loads {
                    loads.remove(place);
                }
            },
        );
    });
    all([
        phases(desk, place),
        kind.row(),
        follows,
        entry_text(desk, Field::LoadName(place)).view(),
        fields(
            desk,
            &[Field::LoadTolerance(place), Field::LoadVoltage(place)],
        ),
        remove(words::remove_load(), take_out),
    ])
}

/// In which phases it is on, and behind a disclosure for how much of each.
fn phases(desk: Desk, place: usize) -> AnyView {
    let store = desk.store;
    let named = Memo::new(move |_| {
        store
            .with_car(|car| {
                (0..car.phases.len())
                    .map(|at| names::phase(car, at))
                    .collect::<Vec<_>>()
            })
            .unwrap_or_default()
    });
    let on = Signal::derive(move || {
        read(desk, place, |car, load| {
            car.phases
                .iter()
                .map(|phase| load.duty_in(&phase.id) > 0.0)
                .collect::<Vec<_>>()
        })
        .unwrap_or_default()
    });
    let toggle = Callback::new(move |at: usize| {
        let id = store
            .with_car(|car| car.phases.get(at).map(|phase| phase.id.clone()))
            .flatten();
        let Some(id) = id else { return };
        change(desk, place, &[Field::LoadDuty(place, at)], |load| {
            let is_on = load.duty_in(&id) > 0.0;
            load.set_duty(&id, if is_on { 0.0 } else { 1.0 });
        });
    });
    let part = move |(at, name): (usize, &String)| {
        entry_field(desk, Field::LoadDuty(place, at))
            .labeled(name.clone())
            .view(desk.pad)
    };
    let parts = live(move || {
        named.with(|named| all(named.iter().enumerate().map(part).collect::<Vec<_>>()))
    });
    all([
        live(move || checks(words::on_in(), named.get(), on, toggle)),
        rare(
            words::part_time().into_any(),
            [note(words::part_time_note()), parts],
        ),
    ])
}

/// Where a field is found once the load at a place is gone.
fn without_load(field: Field, gone: usize) -> Option<Field> {
    let (place, make): (usize, fn(usize, usize) -> Field) = match field {
        Field::LoadName(place) => (place, |place, _| Field::LoadName(place)),
        Field::LoadCurrent(place) => (place, |place, _| Field::LoadCurrent(place)),
        Field::LoadTolerance(place) => (place, |place, _| Field::LoadTolerance(place)),
        Field::LoadVoltage(place) => (place, |place, _| Field::LoadVoltage(place)),
        Field::LoadDuty(place, _) => (place, Field::LoadDuty),
        other => return Some(other),
    };
    let phase = match field {
        Field::LoadDuty(_, phase) => phase,
        _ => 0,
    };
    match place.cmp(&gone) {
        std::cmp::Ordering::Less => Some(field),
        std::cmp::Ordering::Equal => None,
        std::cmp::Ordering::Greater => Some(make(place - 1, phase)),
    }
}
