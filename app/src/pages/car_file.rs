//! The open car with its kept passes as a file: the one way to write it, whether it is saved or handed on.

use super::Desk;
use crate::carry::hand;
use crate::parts::field::Fault;
use crate::words::{cars as words, faults, share};
use laneside_core::car::several;
use leptos::prelude::*;
use web_sys::File;

/// What kind of file a car is.
pub const JSON: &str = "application/json";

/// The file, none where the browser makes none, and what is to be said of passes that it does not hold.
type Written = Result<(Option<File>, String), Fault>;

/// The car that is open now as a file; `None` while none is. Untracked.
pub fn open_car(desk: Desk) -> Option<impl Future<Output = Written>> {
    let car = untrack(|| desk.store.own_car())?;
    let passes = desk.logs.kept.of_shown();
    Some(async move {
        let (passes, is_whole) = passes.await;
        match several::write(&[(&car, passes.iter().rev())]) {
            Ok((text, left_out)) => {
                let name = super::cars::file_name(&car.name, words::FILE_END);
                let file = hand::file(&name, JSON, text.as_bytes());
                Ok((file, not_in_it(left_out, is_whole)))
            }
            Err(error) => Err(faults::file(&error)),
        }
    })
}

/// What is said of passes that a file does not hold: so many would make it too long, and not all could be read. Empty where
/// it holds all.
pub fn not_in_it(left_out: usize, is_whole: bool) -> String {
    let unread = if is_whole { "" } else { share::passes_unread() };
    format!("{} {unread}", words::left_out(left_out))
        .trim()
        .to_owned()
}
