//! The alternator: its rating, its speed limit, its regulator.

use super::super::Desk;
use super::super::entry::entry_text;
use super::group::{Pick, fields, heading, note, rare};
use crate::parts::choice::Choice;
use crate::parts::drawings::{FAN_INSIDE, FAN_OUTSIDE, drawing};
use crate::parts::live::{all, live, live_option};
use crate::words::car as words;
use crate::words::tongue::look;
use laneside_core::alternator::{Excitation, Fan, Warmth};
use laneside_core::car::entry::Field;
use laneside_core::car::{Nominal, RatingBy};
use laneside_core::data::iso_8854::{HANDBOOK_LOW_SPEED_RPM, LOW_SPEED_RPM};
use laneside_core::quantity::{InRotationalSpeed, rpm};
use leptos::prelude::*;

const RATINGS: [RatingBy; 3] = [RatingBy::OneNumber, RatingBy::Pair, RatingBy::Points];
const FANS: [Option<Fan>; 4] = [
    Some(Fan::Inside),
    Some(Fan::Outside),
    Some(Fan::HeavyDuty),
    None,
];
const EXCITATIONS: [Option<Excitation>; 3] = [
    Some(Excitation::ExciteWire),
    Some(Excitation::SelfExciting),
    None,
];

const RATING_BY: Pick = Pick {
    id: "rating-by",
    words: (words::RATING_BY.0, words::RATING_NOTE),
    options: &words::RATING_BY.1,
    read: |car| {
        RATINGS
            .iter()
            .position(|by| *by == car.alternator.rating_by)
    },
    write: |car, at| car.alternator.rating_by = RATINGS.get(at).copied().unwrap_or_default(),
    unsaid: None,
};

const FAN: Pick = Pick {
    id: "fan",
    words: (words::FAN.0, words::FAN_NOTE),
    options: &words::FAN.1,
    read: |car| FANS.iter().position(|fan| *fan == car.alternator.fan),
    write: |car, at| car.alternator.fan = FANS.get(at).copied().flatten(),
    unsaid: Some(3),
};

const EXCITATION: Pick = Pick {
    id: "excitation",
    words: (words::EXCITATION.0, words::EXCITATION_NOTE),
    options: &words::EXCITATION.1,
    read: |car| {
        EXCITATIONS
            .iter()
            .position(|way| *way == car.alternator.excitation)
    },
    write: |car, at| car.alternator.excitation = EXCITATIONS.get(at).copied().flatten(),
    unsaid: Some(2),
};

const WARMTH: Pick = Pick {
    id: "warmth",
    words: (words::WARMTH.0, words::WARMTH_NOTE),
    options: &words::WARMTH.1,
    read: |car| {
        Some(usize::from(
            car.alternator.warmth.unwrap_or_default() == Warmth::Cold,
        ))
    },
    write: |car, at| {
        car.alternator.warmth = Some(if at == 1 {
            Warmth::Cold
        } else {
            Warmth::Stabilized
        });
    },
    unsaid: None,
};

const NOMINAL: Pick = Pick {
    id: "nominal",
    words: (words::NOMINAL.0, words::NOMINAL_NOTE),
    options: &words::NOMINAL.1,
    read: |car| Some(usize::from(car.alternator.nominal == Nominal::SixteenVolt)),
    write: |car, at| {
        car.alternator.nominal = if at == 1 {
            Nominal::SixteenVolt
        } else {
            Nominal::TwelveVolt
        };
    },
    unsaid: None,
};

/// The group.
pub fn alternator(desk: Desk) -> AnyView {
    let store = desk.store;
    // Its place, not the thing itself: a memo of each type brings its own code.
    let by = Memo::new(move |_| store.with_car(RATING_BY.read).flatten().unwrap_or_default());
    let by = move || RATINGS.get(by.get()).copied().unwrap_or_default();
    let fan = FAN.choice(desk).how(|| steps(&words::FAN_STEPS, true));
    let excitation = EXCITATION
        .select(desk)
        .how(|| steps(&words::EXCITATION_STEPS, false));
    all([
        heading("alternator", words::alternator()),
        live(move || rating(desk, by())),
        RATING_BY.select(desk).row(),
        fan.view(),
        fields(desk, &[Field::Continuous]),
        excitation.row(),
        rare(
            words::regulator().into_any(),
            [
                fields(desk, &[Field::SetPoint, Field::UnderHood, Field::Short]),
                live_option(move || (by() != RatingBy::Points).then(|| rated_at(desk, by()))),
                WARMTH.select(desk).row(),
                fields(desk, &[Field::TestVoltage]),
                NOMINAL.select(desk).row(),
            ],
        ),
    ])
}

/// What is asked for, by the way the output is known.
fn rating(desk: Desk, by: RatingBy) -> AnyView {
    match by {
        RatingBy::OneNumber => all([
            fields(desk, &[Field::Rated]),
            note(words::one_number_note()),
        ]),
        RatingBy::Pair => all([
            fields(desk, &[Field::Low]),
            pair_form(desk),
            fields(desk, &[Field::Rated]),
        ]),
        RatingBy::Points => entry_text(desk, Field::Points).lines().view(),
    }
}

/// The speeds at which the rating was read.
fn rated_at(desk: Desk, by: RatingBy) -> AnyView {
    if by == RatingBy::Pair {
        fields(desk, &[Field::LowSpeed, Field::RatedSpeed])
    } else {
        fields(desk, &[Field::RatedSpeed])
    }
}

/// Which of the two usual forms a pair is in.
fn pair_form(desk: Desk) -> AnyView {
    let store = desk.store;
    let forms = [LOW_SPEED_RPM, HANDBOOK_LOW_SPEED_RPM];
    let picked = Signal::derive(move || {
        let low = store
            .with_car(|car| car.alternator.low_speed)
            .flatten()
            .map_or(LOW_SPEED_RPM, |speed| speed.rpm());
        forms.iter().position(|form| (form - low).abs() < 0.5)
    });
    let pick = Callback::new(move |at: usize| {
        store.change(&[Field::LowSpeed], |car| {
            car.alternator.low_speed = forms.get(at).map(|form| rpm(*form));
        });
    });
    Choice::new(
        "pair-form",
        words::pair_form().0,
        words::pair_form().1,
        picked,
        pick,
    )
    .note(words::pair_note())
    .row()
}

fn steps(steps: &'static [&'static str], fans: bool) -> AnyView {
    let drawings = fans
        .then_some([FAN_INSIDE, FAN_OUTSIDE])
        .into_iter()
        .flatten();
    let mut drawings = drawings.map(drawing);
    let pieces = steps
        .iter()
        .flat_map(|step| {
            [
                Some(view! { <p>{look(step)}</p> }.into_any()),
                drawings.next(),
            ]
        })
        .flatten();
    all(pieces.collect::<Vec<_>>())
}
