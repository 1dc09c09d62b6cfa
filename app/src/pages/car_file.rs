//! The open car with its kept passes as a file: the one way to write it, whether it is saved or handed on.

use super::Desk;
use crate::carry::hand;
use crate::parts::field::Fault;
use crate::words::{cars as words, faults};
use laneside_core::car::several;
use leptos::prelude::*;
use web_sys::File;

/// What kind of file a car is.
pub const JSON: &str = "application/json";

/// The file, none where the browser makes none, and what is to be said of passes that it does not hold; `None` while no
/// car is open. Untracked.
pub fn open_car(desk: Desk) -> Option<Result<(Option<File>, String), Fault>> {
    let car = untrack(|| desk.store.own_car())?;
    let all = desk.logs.kept.all.get_untracked();
    let passes: Vec<_> = all.iter().rev().map(|one| &*one.pass).collect();
    Some(match several::write(&[(&car, passes)]) {
        Ok((text, left_out)) => {
            let name = super::cars::file_name(&car.name, words::FILE_END);
            let file = hand::file(&name, JSON, text.as_bytes());
            Ok((file, words::left_out(left_out)))
        }
        Err(error) => Err(faults::file(&error)),
    })
}
