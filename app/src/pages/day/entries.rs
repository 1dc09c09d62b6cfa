//! The day as it is planned.

use crate::pages::Desk;
use crate::pages::car::group::{
    Pick, button, closed_up, fields, heading, item, note, rare, remove,
};
use crate::parts::checks::checks;
use crate::parts::choice::Choice;
use crate::parts::live::{all, live, live_text};
use crate::words::{day as words, names};
use laneside_core::car::entry::Field;
use laneside_core::car::{Car, DayKind, DayStep};
use laneside_core::race::template;
use leptos::prelude::*;

/// Steps that a round can have.
const MOST_STEPS: usize = 24;

const KIND: Pick = Pick {
    id: "day-kind",
    words: (words::KIND.0, words::KIND_NOTE),
    options: &words::KIND.1,
    read: |car| DayKind::ALL.iter().position(|kind| *kind == car.day.kind),
    write: |car, at| {
        car.day.kind = DayKind::ALL.get(at).copied().unwrap_or_default();
        car.day.steps.clear();
    },
    unsaid: None,
};

/// The steps of a car's round: its own, or those of its kind of day.
fn steps(car: &Car) -> Vec<DayStep> {
    if car.day.steps.is_empty() {
        template(&car.day, &car.phases)
    } else {
        car.day.steps.clone()
    }
}

/// The group.
pub fn entries(desk: Desk) -> AnyView {
    all([
        heading("day", words::day()),
        KIND.select(desk).row(),
        fields(desk, &[Field::Rounds]),
        step_list(desk),
        rare(
            words::reading().into_any(),
            [note(words::reading_note()), reading(desk)],
        ),
        rare(
            words::charger().into_any(),
            [fields(desk, &[Field::ChargerCurrent, Field::ChargerVolts])],
        ),
        rare(
            words::late().into_any(),
            [fields(desk, &[Field::LateFrom, Field::LatePits])],
        ),
        rare(
            words::more().into_any(),
            [fields(
                desk,
                &[
                    Field::Ambient,
                    Field::LeastVolts,
                    Field::StarterCurrent,
                    Field::StarterTime,
                ],
            )],
        ),
    ])
}

fn step_list(desk: Desk) -> AnyView {
    let store = desk.store;
    let count = Memo::new(move |_| store.with_car(|car| steps(car).len()).unwrap_or_default());
    let add = Callback::new(move |()| {
        change(desk, |list| {
            let phase = list
                .last()
                .map_or_else(String::new, |last| last.phase.clone());
            list.push(DayStep {
                phase,
                seconds: 300.0,
                starts: 0,
                charger: false,
                off: false,
            });
        });
    });
    all([
        view! { <h3>{words::steps()}</h3> }.into_any(),
        note(words::steps_note()),
        live(move || {
            all((0..count.get())
                .map(|place| step(desk, place))
                .collect::<Vec<_>>())
        }),
        live(move || {
            if count.get() < MOST_STEPS {
                button(words::add_step(), add)
            } else {
                note(words::full())
            }
        }),
    ])
}

/// Where a field is found once the step at a place is gone.
fn without_step(field: Field, gone: usize) -> Option<Field> {
    Some(match field {
        Field::StepTime(place) => Field::StepTime(closed_up(place, gone)?),
        Field::StepStarts(place) => Field::StepStarts(closed_up(place, gone)?),
        other => other,
    })
}

/// Changes the steps; those of the kind of day become the car's own with the first change.
fn change(desk: Desk, change: impl FnOnce(&mut Vec<DayStep>)) {
    desk.store.change(&[], |car| {
        let mut list = steps(car);
        change(&mut list);
        car.day.steps = list;
    });
}

fn step(desk: Desk, place: usize) -> AnyView {
    let store = desk.store;
    let name = move || {
        store
            .with_car(|car| {
                let list = steps(car);
                let step = list.get(place)?;
                let at = car.phases.iter().position(|phase| phase.id == step.phase)?;
                Some(names::phase(car, at))
            })
            .flatten()
            .unwrap_or_default()
    };
    let line = move || {
        store
            .with_car(|car| {
                let list = steps(car);
                let step = list.get(place)?;
                let is_pass = car.phases.iter().any(|phase| {
                    phase.id == step.phase && phase.engine == laneside_core::car::EngineState::Pass
                });
                Some(words::step(step, is_pass))
            })
            .flatten()
            .unwrap_or_default()
    };
    item(
        false,
        live_text(name),
        live_text(line),
        ().into_any(),
        Callback::new(move |()| details(desk, place)),
    )
}

fn details(desk: Desk, place: usize) -> AnyView {
    let store = desk.store;
    // Its own fields need a list of the car's own.
    if untrack(|| store.with_car(|car| car.day.steps.is_empty())).unwrap_or_default() {
        store.change_along(|car| car.day.steps = steps(car));
    }
    let of = move |read: fn(&DayStep) -> bool| {
        Signal::derive(move || {
            store
                .with_car(|car| steps(car).get(place).map(read))
                .flatten()
                .unwrap_or_default()
        })
    };
    let on = Signal::derive(move || vec![of(|step| step.charger).get(), of(|step| step.off).get()]);
    let toggle = Callback::new(move |at: usize| {
        change(desk, |list| {
            if let Some(step) = list.get_mut(place) {
                if at == 0 {
                    step.charger = !step.charger;
                } else {
                    step.off = !step.off;
                }
            }
        });
    });
    let phases = Signal::derive(move || {
        store
            .with_car(|car| {
                (0..car.phases.len())
                    .map(|at| names::phase(car, at))
                    .collect::<Vec<_>>()
            })
            .unwrap_or_default()
    });
    let picked = Signal::derive(move || {
        store
            .with_car(|car| {
                let list = steps(car);
                let step = list.get(place)?;
                car.phases.iter().position(|phase| phase.id == step.phase)
            })
            .flatten()
    });
    let on_phase = Callback::new(move |at: usize| {
        let id = store
            .with_car(|car| car.phases.get(at).map(|phase| phase.id.clone()))
            .flatten();
        change(desk, |list| {
            if let (Some(step), Some(id)) = (list.get_mut(place), id) {
                step.phase = id;
            }
        });
    });
    let take_out = Callback::new(move |()| {
        store.remove_listed(
            move |field| without_step(field, place),
            |car| {
                let mut list = steps(car);
                if place < list.len() && list.len() > 1 {
                    list.remove(place);
                    car.day.steps = list;
                }
            },
        );
    });
    let phase = Choice::new(
        format!("step-phase-{place}"),
        words::phase(),
        untrack(|| phases.get()),
        picked,
        on_phase,
    );
    all([
        phase.row(),
        fields(desk, &[Field::StepTime(place), Field::StepStarts(place)]),
        checks(
            words::with(),
            words::switches().map(str::to_owned).to_vec(),
            on,
            toggle,
        ),
        live(move || {
            // A round without a step is no round.
            if store.with_car(|car| steps(car).len()) > Some(1) {
                remove(words::remove_step(), take_out)
            } else {
                ().into_any()
            }
        }),
    ])
}

/// One reading; when it was comes with its volts.
fn reading(desk: Desk) -> AnyView {
    let store = desk.store;
    let is_there = Memo::new(move |_| {
        store
            .with_car(|car| car.day.reading.is_some())
            .unwrap_or_default()
    });
    all([
        fields(desk, &[Field::ReadingVolts]),
        live(move || {
            if is_there.get() {
                fields(desk, &[Field::ReadingRound, Field::ReadingHours])
            } else {
                ().into_any()
            }
        }),
    ])
}
