//! One entry of the car as a field: text, error, unit, assumed value and words, wired to the store.

use super::{Desk, belt, missing};
use crate::parts::choice::Choice;
use crate::parts::drawings::drawing;
use crate::parts::field::Field as Part;
use crate::parts::live::live;
use crate::parts::live::live_option;
use crate::parts::pad::Keys;
use crate::parts::text::Text;
use crate::words::fields::{self, How};
use crate::words::tongue::look;
use crate::words::{assumed, faults, measures, names};
use laneside_core::car::entry::Field;
use laneside_core::drive::Measure;
use laneside_core::quantity::parse::Kind;
use laneside_core::quantity::{System, plain};
use leptos::prelude::*;

/// The number field of an entry. Its id is the field's key, so that a link to it lands there.
pub fn entry_field(desk: Desk, field: Field) -> Part {
    let store = desk.store;
    let part = Part::new(
        field.key(),
        fields::label(field),
        Signal::derive(move || store.text(field)),
        Callback::new(move |text| store.type_into(field, text)),
    )
    .keys(keys(field))
    .unit(Signal::derive(move || {
        unit(field, store.units()).to_owned()
    }))
    .assumed(Signal::derive(move || {
        store
            .answer()
            .map(|answer| assumed::value(&answer, field))
            .unwrap_or_default()
    }))
    .missing(Signal::derive(move || {
        missing::missing(store).contains(&field)
    }))
    .fault(fault(desk, field))
    .note(Signal::derive(move || {
        fields::note(field, store.measure(field)).to_owned()
    }))
    .typical(Signal::derive(move || {
        fields::typical(field, store.units())
    }));
    match fields::how(field) {
        Some(_) => part.how(move || how(desk, field)),
        None => part,
    }
}

/// The entry of a text: a name, the points of a curve.
pub fn entry_text(desk: Desk, field: Field) -> Text {
    let store = desk.store;
    Text::new(
        field.key(),
        fields::label(field),
        Signal::derive(move || match (field, store.text(field)) {
            (Field::LoadName(_), text) => names::load(&text).to_owned(),
            (_, text) => text,
        }),
        Callback::new(move |text| store.type_into(field, text)),
    )
    .fault(fault(desk, field))
    .note(fields::note(field, Measure::default()))
}

/// How a pulley was measured, as a row of its own under its size.
pub fn measured(desk: Desk, field: Field) -> AnyView {
    let store = desk.store;
    let belt = Memo::new(move |_| store.with_car(|car| car.drive.belt).unwrap_or_default());
    live(move || {
        let ways = Measure::for_belt(belt.get());
        Choice::new(
            measured_id(field),
            fields::measured(),
            ways.iter().map(|way| measures::label(*way)),
            Signal::derive(move || {
                let measure = store.measure(field);
                ways.iter().position(|one| *one == measure)
            }),
            Callback::new(move |at: usize| {
                if let Some(measure) = ways.get(at) {
                    store.set_measure(field, *measure);
                }
            }),
        )
        .row()
    })
}

/// The id of the pick of how a pulley was measured.
pub fn measured_id(field: Field) -> String {
    format!("{}-measured", field.key())
}

/// What is wrong with the text of an entry.
pub fn fault(desk: Desk, field: Field) -> Signal<Option<crate::parts::field::Fault>> {
    let store = desk.store;
    Signal::derive(move || {
        let error = store.error(field)?;
        Some(faults::entry(&error, &store.text(field), store.units()))
    })
}

/// Drawings and steps; for a pulley, those of the way it is measured.
fn how(desk: Desk, field: Field) -> AnyView {
    live_option(move || fields::how_measured(field, desk.store.measure(field)).map(how_body))
}

fn how_body(how: How) -> AnyView {
    let drawings = how.drawings.iter().copied().map(drawing).collect_view();
    let steps = how
        .steps
        .iter()
        .map(|step| view! { <li>{look(step)}</li> })
        .collect_view();
    view! { {drawings} <ol>{steps}</ol> }.into_any()
}

/// The keys that a field needs on the pad.
fn keys(field: Field) -> Keys {
    match field.kind() {
        // A place may be to the left or below.
        Some(Kind::Length) if belt::is_place(field) => Keys::Signed,
        Some(Kind::Length | Kind::Fine) => Keys::Length,
        Some(Kind::Speed) => Keys::Rpm,
        Some(Kind::Temperature | Kind::Angle) => Keys::Signed,
        _ => Keys::Decimal,
    }
}

/// The unit of a bare number.
fn unit(field: Field, units: System) -> &'static str {
    field
        .kind()
        .map_or("", |kind| names::unit(plain::unit(kind, units)))
}
