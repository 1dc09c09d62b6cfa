//! The words of the first visit and of the board.

use laneside_core::quantity::System;

/// What a new car is called until the person says otherwise.
pub const NEW_CAR: &str = "My car";

/// What a new car is called where others are about.
pub fn numbered(number: usize) -> String {
    format!("Car {number}")
}

/// The doors: what brings the person, and what lies behind.
pub const DOORS: [(&str, &str); 2] = [
    (
        "The voltage drops",
        "Read a log, or type four readings, and see what is wrong before what to buy. No pulley is needed for it.",
    ),
    (
        "I am choosing a pulley",
        "Put the one on the car beside another, and see which sizes work.",
    ),
];
/// What the person needs for it.
pub const NEEDS: &str =
    "Five entries: both pulleys, limiter, idle, and the amps on the alternator's case.";
pub const DEMO_HEAD: &str = "Only looking? Two invented cars";
pub const DEMO_LINES: [&str; 2] = [
    "An eighth-mile bracket coupe with a small pulley. Invented.",
    "A six-speed time-attack hatchback, everything electric. Invented.",
];

pub const NEXT: &str = "Next";
pub const SEE: &str = "See the verdict";
pub const LIST: &str = "So far";
pub const MEASURED: &str = "How was it measured?";
pub const SPEED: &str = "Alternator at the limiter";
pub const REST_ON_CAR: &str = "Everything else is assumed for now. Change it on the page Car.";

/// The switch of the units: those in force, and the way to the others.
pub const fn units(units: System) -> (&'static str, &'static str) {
    match units {
        System::Inch => ("Sizes in inches.", "Use millimeters"),
        System::Metric => ("Sizes in millimeters.", "Use inches"),
    }
}

pub const RPM: &str = "rpm";

/// What stands beside the speed: its spread, and the limit as a figure or a range.
pub fn limit(spread: &str, limit: &str, assumed: bool) -> String {
    let assumed = if assumed { " (assumed)" } else { "" };
    format!("{spread} {RPM}, limit {limit} {RPM}{assumed}")
}

/// Which languages are spoken where lengths are in inches, as a browser names them.
pub fn units_of(language: &str) -> System {
    let is_inch = language == "my"
        || ["my-", "en-US", "en-LR", "es-US"]
            .iter()
            .any(|start| language.starts_with(start));
    if is_inch {
        System::Inch
    } else {
        System::Metric
    }
}

#[cfg(test)]
mod tests {
    use super::units_of;
    use laneside_core::quantity::System::{Inch, Metric};

    #[test]
    fn inches_are_guessed_where_they_are_used() {
        for (language, units) in [
            ("en-US", Inch),
            ("my", Inch),
            ("my-MM", Inch),
            ("en-LR", Inch),
            ("en-GB", Metric),
            ("en", Metric),
            ("de-DE", Metric),
            ("", Metric),
        ] {
            assert_eq!(units_of(language), units, "{language}");
        }
    }
}
