//! The words of the page Cars.

use crate::words::names;
use laneside_core::car::Car;
use laneside_core::drive::Pulley;

pub fn open() -> &'static str {
    say!("open")
}
pub fn add() -> &'static str {
    say!("Add a car")
}
pub fn open_file() -> &'static str {
    say!("Open a car file")
}
pub fn none() -> &'static str {
    say!("No car is saved on this phone yet.")
}
pub fn this() -> &'static str {
    say!("The open car")
}
pub fn copy() -> &'static str {
    say!("Copy it")
}
pub fn save() -> &'static str {
    say!("Save as a file")
}
pub fn save_note() -> &'static str {
    say!(
        "The file holds all that you entered. Cars live on this phone only: a file keeps one elsewhere, and opens here again."
    )
}
pub fn delete() -> &'static str {
    say!("Delete this car")
}
pub fn aside_label() -> &'static str {
    say!("Set aside")
}
pub fn aside_save() -> &'static str {
    say!("Save it as a file")
}
pub fn aside_delete() -> &'static str {
    say!("Delete it")
}
pub fn aside_sure() -> &'static str {
    say!("Delete for good")
}
pub fn undo() -> &'static str {
    say!("Undo")
}
pub fn close() -> &'static str {
    say!("Close")
}
/// The end of every car file's name.
pub const FILE_END: &str = ".car.json";

/// How many kept passes the file does not hold; empty where it holds all.
pub fn left_out(count: usize) -> String {
    match count {
        0 => String::new(),
        1 => tell!("1 kept pass is not in the file: it would be too long."),
        _ => say!("{count} kept passes are not in the file: it would be too long."),
    }
}

/// What was set aside.
pub fn aside(count: usize) -> String {
    let what = say!(if count == 1 {
        "One saved car could not be read. It is"
    } else {
        "Some saved cars could not be read. They are"
    });
    say!("{what} kept as found, and the other cars are untouched.")
}

/// What was done to a car that can be had back.
pub fn deleted(name: &str) -> String {
    say!("Deleted {name}.")
}

/// The sizes of a car's pulleys, as far as they are entered; may be empty.
pub fn sizes(car: &Car) -> String {
    let size = |what: &str, pulley: Option<Pulley>| {
        pulley.map(|pulley| format!("{what} {}", names::size(car, &pulley)))
    };
    let both = [
        size(say!("crank"), car.drive.crank),
        size(say!("alternator"), car.drive.fitted),
    ];
    both.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

/// The name of a copy.
pub fn copy_of(name: &str) -> String {
    say!("{name}, copy")
}
