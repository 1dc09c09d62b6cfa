//! Pulleys and belt: sizes, ratio, jackshaft, pulleys on hand, what else the crank turns.

use super::super::Desk;
use super::super::entry::{entry_field, measured};
use super::group::{Pick, button, fields, full, heading, note, rare, remove};
use crate::parts::checks::checks;
use crate::parts::live::{all, live, live_option, live_text, places};
use crate::parts::text::Text;
use crate::words::{car as words, names};
use laneside_core::car::check::{LONGEST_NAME, MOST_ON_HAND};
use laneside_core::car::entry::Field;
use laneside_core::car::{Car, RatioBy};
use laneside_core::drive::{Belt, Hub};
use leptos::prelude::*;

const RATIOS: [RatioBy; 3] = [RatioBy::Sizes, RatioBy::Turns, RatioBy::Speeds];

const BELT: Pick = Pick {
    id: "belt",
    words: (words::BELT.0, words::BELT_NOTE),
    options: &words::BELT.1,
    read: |car| Some(usize::from(car.drive.belt == Belt::Other)),
    write: |car, at| {
        car.drive.belt = if at == 1 { Belt::Other } else { Belt::VRibbed };
    },
    unsaid: None,
};

const RATIO_BY: Pick = Pick {
    id: "ratio-by",
    words: (words::RATIO_BY.0, words::RATIO_NOTE),
    options: &words::RATIO_BY.1,
    read: |car| RATIOS.iter().position(|by| *by == car.drive.ratio_by),
    write: |car, at| car.drive.ratio_by = RATIOS.get(at).copied().unwrap_or_default(),
    unsaid: None,
};

const HUB: Pick = Pick {
    id: "hub",
    words: (words::HUB.0, words::HUB_NOTE),
    options: &words::HUB.1,
    read: |car| Some(usize::from(car.drive.hub == Hub::OneWay)),
    write: |car, at| car.drive.hub = if at == 1 { Hub::OneWay } else { Hub::Solid },
    unsaid: None,
};

/// The group.
pub fn drive(desk: Desk) -> AnyView {
    let store = desk.store;
    let by = Memo::new(move |_| store.with_car(RATIO_BY.read).flatten().unwrap_or_default());
    all([
        heading("drive", words::drive()),
        size(desk, Field::Crank),
        size(desk, Field::Fitted),
        rare(live_text(move || on_hand_line(desk)), on_hand(desk)),
        rare(
            words::drive_rare().into_any(),
            [
                RATIO_BY.select(desk).row(),
                live(move || read(desk, RATIOS.get(by.get()).copied().unwrap_or_default())),
                BELT.select(desk).row(),
                HUB.select(desk).row(),
                fields(desk, &[Field::FittedRating]),
                jackshaft(desk),
                accessories(desk),
            ],
        ),
    ])
}

/// A pulley's size and how it was measured.
fn size(desk: Desk, field: Field) -> AnyView {
    all([
        entry_field(desk, field).view(desk.pad),
        measured(desk, field),
    ])
}

/// What was read at the car to get the ratio.
fn read(desk: Desk, by: RatioBy) -> AnyView {
    match by {
        RatioBy::Sizes => ().into_any(),
        RatioBy::Turns => fields(desk, &[Field::CrankTurns, Field::AlternatorTurns]),
        RatioBy::Speeds => fields(desk, &[Field::ReadEngine, Field::ReadAlternator]),
    }
}

fn jackshaft(desk: Desk) -> AnyView {
    let store = desk.store;
    let is_there = Memo::new(move |_| {
        store
            .with_car(|car| car.drive.second_stage.is_some())
            .unwrap_or_default()
    });
    let take_out = Callback::new(move |()| {
        store.change(&[Field::StageDriven, Field::StageDriving], |car| {
            car.drive.second_stage = None;
        });
    });
    let other = move || {
        all([
            size(desk, Field::StageDriving),
            remove(words::no_jackshaft(), take_out),
        ])
    };
    all([
        view! { <h3>{words::jackshaft()}</h3> }.into_any(),
        note(words::jackshaft_note()),
        size(desk, Field::StageDriven),
        live_option(move || is_there.get().then(other)),
    ])
}

fn on_hand_line(desk: Desk) -> String {
    let sizes = desk
        .store
        .with_car(|car| {
            car.drive
                .on_hand
                .iter()
                .map(|pulley| names::size(car, pulley))
                .collect::<Vec<_>>()
        })
        .unwrap_or_default();
    words::on_hand(&sizes)
}

/// The pulleys on hand, and an empty row to type the next one into.
fn on_hand(desk: Desk) -> [AnyView; 3] {
    let store = desk.store;
    let count = Memo::new(move |_| {
        store
            .with_car(|car| car.drive.on_hand.len())
            .unwrap_or_default()
    });
    let rows = Signal::derive(move || (0..(count.get() + 1).min(MOST_ON_HAND)).collect());
    let row = Callback::new(move |place| on_hand_row(desk, place, count));
    let about = view! {
        <p id="on-hand" tabindex="-1" class="note">
            {words::on_hand_note()}
        </p>
    };
    [
        about.into_any(),
        places(rows, row),
        live_option(move || (count.get() >= MOST_ON_HAND).then(|| full(words::full_on_hand()))),
    ]
}

fn on_hand_row(desk: Desk, place: usize, count: Memo<usize>) -> AnyView {
    let is_there = Memo::new(move |_| place < count.get());
    let take_out = Callback::new(move |()| {
        desk.store.remove_listed(
            move |field| without_pulley(field, place),
            |car| {
                car.drive.on_hand.remove(place);
            },
        );
    });
    let field = Field::OnHand(place);
    let row = all([
        size(desk, field),
        live_option(move || is_there.get().then(|| remove(words::remove(), take_out))),
    ]);
    view! { <div class="row">{row}</div> }.into_any()
}

/// Where a field is found once the pulley at a place is gone.
fn without_pulley(field: Field, gone: usize) -> Option<Field> {
    match field {
        Field::OnHand(place) if place == gone => None,
        Field::OnHand(place) if place > gone => Some(Field::OnHand(place - 1)),
        other => Some(other),
    }
}

/// What else the crank pulley drives: the common ones, the person's own ones, and a row to add one.
fn accessories(desk: Desk) -> AnyView {
    let store = desk.store;
    let listed = Memo::new(move |_| store.with_car(shown_accessories).unwrap_or_default());
    let checked = Signal::derive(move || {
        let on_car = store
            .with_car(|car| car.drive.accessories.clone())
            .unwrap_or_default();
        listed.with(|all| all.iter().map(|name| on_car.contains(name)).collect())
    });
    let toggle = Callback::new(move |at: usize| {
        let name = listed.with_untracked(|all| all.get(at).cloned());
        store.change(&[], |car| toggle_accessory(car, name));
    });
    let typed = RwSignal::new(String::new());
    let add = Callback::new(move |()| {
        let name = typed.get_untracked().trim().to_owned();
        let length = name.chars().count();
        if (1..=LONGEST_NAME).contains(&length) {
            store.change(&[], |car| {
                if !car.drive.accessories.contains(&name) {
                    car.drive.accessories.push(name);
                }
            });
            typed.set(String::new());
        }
    });
    let another = Text::new(
        "accessory",
        words::other_accessory(),
        typed,
        Callback::new(move |text| typed.set(text)),
    );
    all([
        live(move || checks(words::accessories(), listed.get(), checked, toggle)),
        note(words::accessories_note()),
        another.view(),
        button(words::add(), add),
    ])
}

fn shown_accessories(car: &Car) -> Vec<String> {
    let common = words::accessory_names().map(str::to_owned);
    let own = car
        .drive
        .accessories
        .iter()
        .filter(|name| !words::accessory_names().contains(&name.as_str()))
        .cloned();
    common.into_iter().chain(own).collect()
}

fn toggle_accessory(car: &mut Car, name: Option<String>) {
    let Some(name) = name else { return };
    let all = &mut car.drive.accessories;
    match all.iter().position(|one| *one == name) {
        Some(at) => {
            all.remove(at);
        }
        None => all.push(name),
    }
}
