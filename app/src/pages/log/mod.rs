//! What did it really do?

mod channels;
mod compare;
mod evidence;
mod figures;
mod found;
mod graph;
mod kept;
mod model;
mod readings;
mod rules;
mod shot;
mod start;

use super::Desk;
use crate::log::Stage;
use crate::parts::live::{all, live};
use leptos::prelude::*;

/// The page.
pub fn page(desk: Desk) -> AnyView {
    let logs = desk.logs;
    live(move || match logs.stage() {
        Stage::None if logs.by_hand.get() => readings::readings(desk),
        Stage::None => all([
            start::empty(desk),
            compare::compare(desk, None),
            kept::kept(desk),
        ]),
        Stage::Reading => start::reading(desk),
        Stage::Question(asked) => start::question(desk, asked),
        Stage::Columns(columns) => channels::channels(desk, columns),
        Stage::Failed(fault) => start::failed(desk, fault),
        Stage::Read(log) => found::found(desk, log),
    })
}
