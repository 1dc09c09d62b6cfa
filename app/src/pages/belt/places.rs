//! Where the pulleys are: right and up, or by tape.

use super::{Found, beside, laid, tables};
use crate::pages::Desk;
use crate::pages::car::group::{button, closed_up, fields, full, note, remove};
use crate::parts::choice::Choice;
use crate::parts::live::{all, live, live_option};
use crate::words::belt as words;
use laneside_core::belt::Tape;
use laneside_core::car::PlacesBy;
use laneside_core::car::check::{MOST_TAPES, TAPE_MM};
use laneside_core::car::entry::Field;
use laneside_core::data::belt_memory::TAPE_CENTERS_MM;
use leptos::prelude::*;

fn places_by(desk: Desk) -> Memo<PlacesBy> {
    let store = desk.store;
    Memo::new(move |_| {
        store
            .with_car(|car| car.belt_drive.places_by)
            .unwrap_or_default()
    })
}

/// Right and up of one pulley, where places are known so. Those of the crank are what all others
/// count from.
pub fn coordinates(desk: Desk, place: usize) -> AnyView {
    let store = desk.store;
    let is_typed = Memo::new(move |_| {
        let is_typed = store.with_car(|car| {
            let drive = &car.belt_drive;
            let pulley = drive.pulleys.get(place);
            drive.places_by == PlacesBy::Coordinates
                && pulley.is_some_and(|pulley| !pulley.is_origin())
        });
        is_typed.unwrap_or_default()
    });
    live_option(move || {
        is_typed
            .get()
            .then(|| fields(desk, &[Field::BeltX(place), Field::BeltY(place)]))
    })
}

/// The group.
pub fn places(desk: Desk, found: Found) -> AnyView {
    let store = desk.store;
    let by = places_by(desk);
    let picked = Signal::derive(move || Some(usize::from(by.get() == PlacesBy::Tape)));
    let on_pick = Callback::new(move |at: usize| {
        let solved: Vec<(f64, f64)> = untrack(|| {
            laid(found, |_, belt| {
                let wheels = belt.comparison.on_car.nominal.wheels.iter();
                wheels.map(|wheel| (wheel.at.x_mm, wheel.at.y_mm)).collect()
            })
        })
        .unwrap_or_default();
        store.change(&[], |car| {
            let drive = &mut car.belt_drive;
            if at == 1 {
                drive.places_by = PlacesBy::Tape;
                if drive.tapes.is_empty() {
                    drive.begin_tapes();
                    // So that the drawing stays as it was.
                    if let [first, second, ..] = drive.pulleys[..] {
                        let (x, y) = (second.x_mm - first.x_mm, second.y_mm - first.y_mm);
                        drive.turned_deg = Some((10.0 * y.atan2(x).to_degrees()).round() / 10.0);
                    }
                }
            } else {
                // What the tape told goes on as right and up.
                for (pulley, (x, y)) in drive.pulleys.iter_mut().zip(&solved) {
                    (pulley.x_mm, pulley.y_mm) =
                        ((10.0 * x).round() / 10.0, (10.0 * y).round() / 10.0);
                }
                drive.places_by = PlacesBy::Coordinates;
            }
        });
    });
    all([
        Choice::new(
            "places-by",
            words::places().0,
            words::places().1,
            picked,
            on_pick,
        )
        .view(),
        live(move || match by.get() {
            PlacesBy::Coordinates => fields(desk, &[Field::PlacesWithin]),
            PlacesBy::Tape => by_tape(desk, found),
        }),
    ])
}

fn by_tape(desk: Desk, found: Found) -> AnyView {
    let store = desk.store;
    let count = Memo::new(move |_| {
        store
            .with_car(|car| car.belt_drive.tapes.len())
            .unwrap_or_default()
    });
    let has_sides = Memo::new(move |_| {
        store
            .with_car(|car| !car.belt_drive.sides.is_empty())
            .unwrap_or_default()
    });
    let add = Callback::new(move |()| {
        store.change(&[], |car| {
            let drive = &mut car.belt_drive;
            let count = drive.pulleys.len();
            let is_known = |from: usize, to: usize| {
                drive.tapes.iter().any(|tape| {
                    (tape.from, tape.to) == (from, to) || (tape.to, tape.from) == (from, to)
                })
            };
            let pairs = (0..count).flat_map(|to| (0..to).map(move |from| (from, to)));
            let mut pairs = pairs.filter(|(from, to)| !is_known(*from, *to));
            let (from, to) = pairs.next().unwrap_or((0, 1));
            let apart = match (drive.pulleys.get(from), drive.pulleys.get(to)) {
                (Some(from), Some(to)) => from.at().distance_mm(to.at()),
                _ => 0.0,
            };
            drive.tapes.push(Tape {
                from,
                to,
                distance_mm: apart.round().clamp(TAPE_MM.0, TAPE_MM.1),
                half_width_mm: TAPE_CENTERS_MM.max(drive.places_within_mm()),
            });
        });
    });
    let forget = Callback::new(move |()| {
        store.change(&[], |car| car.belt_drive.sides.clear());
    });
    all([
        note(words::tape_note()),
        live(move || {
            all((0..count.get())
                .map(|place| tape(desk, found, place))
                .collect::<Vec<_>>())
        }),
        live(move || {
            if count.get() < MOST_TAPES {
                button(words::add_tape(), add)
            } else {
                full(words::full())
            }
        }),
        tables::residuals(found),
        live_option(move || {
            has_sides
                .get()
                .then(|| remove(words::forget_sides(), forget))
        }),
        fields(desk, &[Field::TapeTurned]),
    ])
}

/// One distance: its two pulleys, and how far apart they are.
fn tape(desk: Desk, found: Found, place: usize) -> AnyView {
    let store = desk.store;
    let names = store.with_car(|car| {
        let each = (0..car.belt_drive.pulleys.len()).map(|at| words::pulley(car, at));
        each.collect::<Vec<_>>()
    });
    let names = names.unwrap_or_default();
    let end = move |legend: &'static str, is_from: bool, names: Vec<String>| {
        let picked = Signal::derive(move || {
            store
                .with_car(|car| {
                    let tape = car.belt_drive.tapes.get(place)?;
                    Some(if is_from { tape.from } else { tape.to })
                })
                .flatten()
        });
        let on_pick = Callback::new(move |at: usize| {
            store.change(&[], |car| {
                if let Some(tape) = car.belt_drive.tapes.get_mut(place) {
                    if is_from {
                        tape.from = at;
                    } else {
                        tape.to = at;
                    }
                }
            });
        });
        let id = format!("tape-{}-{place}", if is_from { "from" } else { "to" });
        Choice::new(id, legend, names, picked, on_pick).row()
    };
    let take_out = Callback::new(move |()| {
        store.remove_listed(
            move |field| {
                Some(match field {
                    Field::TapeDistance(at) => Field::TapeDistance(closed_up(at, place)?),
                    other => other,
                })
            },
            |car| {
                if place < car.belt_drive.tapes.len() {
                    car.belt_drive.tapes.remove(place);
                }
            },
        );
    });
    view! {
        <div class="belt-tape">
            {end(words::from(), true, names.clone())}
            {end(words::to(), false, names)}
            {fields(desk, &[Field::TapeDistance(place)])}
            {beside(found, format!("tape-fault-{place}"), move |trouble| trouble.tape == Some(place))}
            {remove(words::remove_tape(), take_out)}
        </div>
    }
    .into_any()
}
