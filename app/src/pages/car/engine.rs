//! Engine speeds.

use super::super::Desk;
use super::group::{Pick, fields, heading};
use crate::parts::live::all;
use crate::words::car as words;
use laneside_core::car::Gearbox;
use laneside_core::car::entry::Field;
use leptos::prelude::*;

const GEARBOXES: [Option<Gearbox>; 3] = [Some(Gearbox::Automatic), Some(Gearbox::Manual), None];

const GEARBOX: Pick = Pick {
    id: "gearbox",
    words: (words::GEARBOX.0, words::GEARBOX_NOTE),
    options: &words::GEARBOX.1,
    read: |car| {
        GEARBOXES
            .iter()
            .position(|gearbox| *gearbox == car.engine.gearbox)
    },
    write: |car, at| car.engine.gearbox = GEARBOXES.get(at).copied().flatten(),
    unsaid: Some(2),
};

/// The group.
pub fn engine(desk: Desk) -> AnyView {
    let after = [
        Field::IdleInGear,
        Field::Launch,
        Field::Shift,
        Field::Overshoot,
    ];
    all([
        heading("engine", words::engine()),
        fields(desk, &[Field::Limiter, Field::Idle]),
        GEARBOX.select(desk).row(),
        fields(desk, &after),
    ])
}
