//! The words of the frame, in one place.

use super::route::{Place, Route};

pub const APP: &str = "Laneside";
pub fn skip() -> &'static str {
    say!("Skip to the page")
}
pub fn cars() -> &'static str {
    say!("Your cars")
}
pub fn settings() -> &'static str {
    say!("Settings")
}
pub fn notices() -> &'static str {
    say!("Licenses of what is built in")
}
pub fn no_notices() -> &'static str {
    say!("The file with the licenses is not on this phone. Load the page again with signal.")
}
pub fn places() -> &'static str {
    say!("Places")
}
pub fn pages() -> &'static str {
    say!("Pages here")
}
pub fn light() -> &'static str {
    say!("Light")
}
pub fn lights() -> [&'static str; 3] {
    say!(["As the phone", "Sun", "Night"])
}
pub fn units() -> &'static str {
    say!("Units of this car")
}
pub fn unit_names() -> [&'static str; 2] {
    say!(["Inch", "Metric"])
}
pub fn typing() -> &'static str {
    say!("Numbers are typed on")
}
pub fn keyboards() -> [&'static str; 2] {
    say!(["Number pad", "The phone's keyboard"])
}
pub fn language() -> &'static str {
    say!("Language")
}
/// That the words of a language could not be had.
pub fn lost_language(name: &str) -> String {
    say!("No signal, and {name} was never loaded: English until it can be.")
}
pub fn update() -> &'static str {
    say!("A new version is ready. Your cars stay.")
}
pub fn update_now() -> &'static str {
    say!("Use it now")
}
pub fn update_later() -> &'static str {
    say!(in "not now", "Later")
}

/// The short name of a page.
pub fn title(route: Route) -> &'static str {
    say!(match route {
        Route::Welcome => "Welcome",
        Route::Board => "Board",
        Route::Cars => "Cars",
        Route::Car => "Car",
        Route::Pulleys => "Pulleys",
        Route::Belt => "Belt",
        Route::Pass => "Pass",
        Route::Day => "Day",
        Route::Swap => "Swap",
        Route::Log => "Log",
        Route::HandOn => "Share",
        Route::Codes => "Codes",
        Route::Scan => "Scan",
        Route::Take => "Received",
        Route::Card => "Card",
        Route::Report => "Report",
    })
}

/// The question a page answers: its heading.
pub fn question(route: Route) -> &'static str {
    say!(match route {
        Route::Welcome => "What brings you?",
        Route::Board => "What is on the car?",
        Route::Cars => "Which car?",
        Route::Car => "What have I got?",
        Route::Pulleys => "Which pulley?",
        Route::Belt => "Will it fit?",
        Route::Pass => "What will the voltage do down the track?",
        Route::Day => "Will it last all rounds?",
        Route::Swap => "How do I do it?",
        Route::Log => "What did it really do?",
        Route::HandOn => "Who else should have it?",
        Route::Codes => "Show it to the other phone",
        Route::Scan => "What does the other phone show?",
        Route::Take => "What came with the link?",
        Route::Card => "What is the verdict?",
        Route::Report => "What was found?",
    })
}

/// The name of a place.
pub fn place(place: Place) -> &'static str {
    say!(match place {
        Place::Car => "Car",
        Place::Choose => "Choose",
        Place::RaceDay => "Race day",
        Place::Prove => "Do and prove",
    })
}
