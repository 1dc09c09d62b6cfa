//! The words of what goes out of this phone: cars as files, links and codes, the card, pictures.

use crate::carry::hand::Handed;
use crate::parts::field::Fault;

pub fn title() -> &'static str {
    say!("Hand it on")
}
pub fn note() -> &'static str {
    say!(
        "A car goes to another phone as a file, as a link, or by codes from screen to camera, without signal. There it is only looked at until it is kept."
    )
}
pub fn all() -> &'static str {
    say!("Save all cars as one file")
}
pub fn send_file() -> &'static str {
    say!("Send the file")
}
pub fn send_link() -> &'static str {
    say!("Send a link")
}
pub fn show() -> &'static str {
    say!("Show codes")
}
pub fn scan() -> &'static str {
    say!("Scan a car")
}
pub fn card() -> &'static str {
    say!("Card of the verdict")
}
pub fn report() -> &'static str {
    say!("Report to print")
}
pub fn share() -> &'static str {
    say!("Share")
}
pub fn chart() -> &'static str {
    say!("Chart as a picture")
}
pub fn without_passes() -> &'static str {
    say!("Its kept passes are too long for it: they stay out. The file holds them.")
}
pub fn found() -> &'static str {
    say!("What was found")
}
pub fn car() -> &'static str {
    say!("The car")
}
pub fn all_cars() -> &'static str {
    say!("All cars")
}
pub fn no_car() -> &'static str {
    say!("No car is open.")
}
pub fn link_label() -> &'static str {
    say!("The link, to copy by hand")
}
/// The name of the file of all cars.
pub const ALL_NAME: &str = "all-cars.car.json";

pub fn codes_note() -> &'static str {
    say!("On the other phone: Cars, Scan a car. Any order will do.")
}
pub fn back() -> &'static str {
    say!("Back")
}
pub fn forward() -> &'static str {
    say!("Next")
}
pub fn cycle() -> &'static str {
    say!("Change by itself")
}
pub fn hold() -> &'static str {
    say!("Hold still")
}
pub fn code() -> &'static str {
    say!("Code")
}

/// A car that no link holds.
pub fn link_too_long() -> Fault {
    Fault {
        found: say!("Found a car that is too long for a link.").to_owned(),
        needed: say!("Needed: the file instead.").to_owned(),
    }
}

/// A car that no codes hold.
pub fn too_long_for_codes() -> Fault {
    Fault {
        found: say!("Found a car that is too long for codes.").to_owned(),
        needed: say!("Needed: the file or a link instead.").to_owned(),
    }
}

/// Which code is shown.
pub fn code_of(place: usize, count: usize) -> String {
    say!("{place} of {count}")
}

/// What was done with it.
pub fn handed(handed: Handed) -> &'static str {
    match handed {
        Handed::Shared => say!("Handed to the phone."),
        Handed::Closed => say!("Not sent: the phone's sheet was closed."),
        Handed::Busy => say!("The phone's sheet is open already."),
        Handed::Saved => say!("Saved on this phone, among its downloads."),
        Handed::Copied => say!("Copied. Paste it into a message."),
        Handed::Failed => say!("Not copied: this browser does not let the app. Copy it by hand."),
    }
}

/// Whether a file was saved.
pub fn saved(handed: Handed) -> &'static str {
    if handed == Handed::Failed {
        say!("Not saved: this browser does not let the app.")
    } else {
        self::handed(handed)
    }
}

/// That some passes could not be read from this phone.
pub fn passes_unread() -> &'static str {
    say!("Some kept passes could not be read from this phone: they are not in the file.")
}
