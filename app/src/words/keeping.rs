//! What is said of saved cars: where they are, and what happened to them.

use crate::store::{Safety, Told};

pub fn kept() -> &'static str {
    say!("Are they safe here?")
}
pub fn stays() -> &'static str {
    say!("Yes: this browser has agreed to keep your cars until you delete them.")
}
pub fn may_go() -> &'static str {
    say!(
        "This browser has not agreed to keep them: when the phone runs out of room it may clear your cars. Save them as a file."
    )
}
pub fn ask() -> &'static str {
    say!("Ask the browser again")
}
pub fn week() -> &'static str {
    say!(
        "This browser clears what a page keeps after seven days without a visit. Put the app on the home screen, or save your cars as a file."
    )
}
pub fn to_files() -> &'static str {
    say!("Save as a file")
}
pub fn close() -> &'static str {
    say!("Close")
}
pub fn went_back() -> &'static str {
    say!(
        "The newest version did not start on this phone, so the one before it runs. Your cars stay. It looks for a newer one by itself."
    )
}

/// What the pages of a refused or full browser say; `None` while all is well.
pub fn safety(safety: Safety) -> Option<&'static str> {
    match safety {
        Safety::Saved => None,
        Safety::SpareOnly => Some(say!(
            "Not saved in the usual place: it is full or switched off. A spare copy is kept, and is taken at the next start. Save the car as a file before you leave."
        )),
        Safety::Unsaved => Some(say!(
            "Not saved: this browser keeps nothing. Save the car as a file before you leave."
        )),
    }
}

/// The name of a car that two windows changed, for the one of this window.
pub fn of_this_window(name: &str) -> String {
    say!("{name}, this window")
}

/// What happened, and what to do.
pub fn told(what: &Told) -> String {
    match what {
        Told::Good(name) => say!(
            "What {name} was saved as last could not be read. An earlier save is open: look over the last entries. What could not be read is kept under Set aside, page Cars."
        ),
        Told::Spare(name) => say!(
            "The last save of {name} was lost on its way, for instance when the browser was stopped. It is back from its spare copy; nothing is missing."
        ),
        Told::Beside(name) => say!(
            "A spare copy of {name} was found that differs from the car. It stands beside it on page Cars: keep the one you want."
        ),
        Told::Readable(name) => {
            say!(
                "{name} was set aside by an earlier version and can be read again: it is on page Cars."
            )
        }
        Told::Both(name) => say!(
            "Another window changed this car at the same time. Both are kept: yours is {name} from here on, the other is beside it on page Cars."
        ),
        Told::NoRoom(name) => say!(
            "{name} found no room in the usual place on this phone. A spare copy may be kept: save the car as a file on the page Cars."
        ),
        Told::Passes(name) => say!(
            "Kept passes of {name} are not written to this phone: the browser has no room or refuses. They are here until the app is closed: save the car as a file on the page Cars, which holds them."
        ),
        Told::Unread(name) => say!(
            "Some kept passes could not be read from this phone: {name} has none of them. They stay with the car that it was copied from."
        ),
        Told::Deleted(name) => say!(
            "{name} was deleted in another window. It is still open here: any change saves it again."
        ),
    }
}
