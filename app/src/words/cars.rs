//! The words of the page Cars.

use crate::words::names;
use laneside_core::car::Car;
use laneside_core::drive::Pulley;

pub const OPEN: &str = "open";
pub const ADD: &str = "Add a car";
pub const OPEN_FILE: &str = "Open a car file";
pub const NONE: &str = "No car is saved on this phone yet.";
pub const THIS: &str = "The open car";
pub const COPY: &str = "Copy it";
pub const SAVE: &str = "Save as a file";
pub const SAVE_NOTE: &str = "The file holds all that you entered. Cars live on this phone only: a file keeps one elsewhere, and opens here again.";
pub const DELETE: &str = "Delete this car";
pub const ASIDE: &str = "Set aside";
pub const ASIDE_SAVE: &str = "Save it as a file";
pub const ASIDE_DELETE: &str = "Delete it";
pub const ASIDE_SURE: &str = "Delete for good";
pub const UNDO: &str = "Undo";
pub const CLOSE: &str = "Close";
/// The end of every car file's name.
pub const FILE_END: &str = ".car.json";

/// How many kept passes the file does not hold.
pub fn left_out(count: usize) -> String {
    let what = if count == 1 {
        "The oldest kept pass is".to_owned()
    } else {
        format!("The {count} oldest kept passes are")
    };
    format!("{what} not in the file: it would be too long.")
}

/// How many passes of a file were not read.
pub fn unknown_passes(count: usize) -> String {
    let what = if count == 1 {
        "1 kept pass"
    } else {
        "Some kept passes"
    };
    format!("The car was added. {what} in its file cannot be read by this version.")
}

/// What was set aside.
pub fn aside(count: usize) -> String {
    let what = if count == 1 {
        "One saved car could not be read. It is"
    } else {
        "Some saved cars could not be read. They are"
    };
    format!("{what} kept as found, and the other cars are untouched.")
}

/// What was done to a car that can be had back.
pub fn deleted(name: &str) -> String {
    format!("Deleted {name}.")
}

/// The sizes of a car's pulleys, as far as they are entered; may be empty.
pub fn sizes(car: &Car) -> String {
    let size = |what: &str, pulley: Option<Pulley>| {
        pulley.map(|pulley| format!("{what} {}", names::size(car, &pulley)))
    };
    let both = [
        size("crank", car.drive.crank),
        size("alternator", car.drive.fitted),
    ];
    both.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

/// The name of a copy.
pub fn copy_of(name: &str) -> String {
    format!("{name}, copy")
}
