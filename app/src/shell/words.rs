//! The words of the frame, in one place.

use super::route::{Place, Route};

pub const APP: &str = "Laneside";
pub const SKIP: &str = "Skip to the page";
pub const CARS: &str = "Your cars";
pub const SETTINGS: &str = "Settings";
pub const PLACES: &str = "Places";
pub const PAGES: &str = "Pages here";
pub const LIGHT: &str = "Light";
pub const LIGHTS: [&str; 3] = ["As the phone", "Sun", "Night"];
pub const UNITS: &str = "Units of this car";
pub const UNIT_NAMES: [&str; 2] = ["Inch", "Metric"];
pub const TYPING: &str = "Numbers are typed on";
pub const KEYBOARDS: [&str; 2] = ["Number pad", "The phone's keyboard"];
pub const UPDATE: &str = "A new version is ready. Your cars stay.";
pub const UPDATE_NOW: &str = "Use it now";
pub const UPDATE_LATER: &str = "Later";

/// The short name of a page.
pub const fn title(route: Route) -> &'static str {
    match route {
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
    }
}

/// The question a page answers: its heading.
pub const fn question(route: Route) -> &'static str {
    match route {
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
    }
}

/// The name of a place.
pub const fn place(place: Place) -> &'static str {
    match place {
        Place::Car => "Car",
        Place::Choose => "Choose",
        Place::RaceDay => "Race day",
        Place::Prove => "Do and prove",
    }
}
