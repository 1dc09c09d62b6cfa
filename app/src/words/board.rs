//! The words of the first visit and of the board.

use super::tongue::look;
use laneside_core::car::Car;
use laneside_core::quantity::System;

/// What a new car is called until the person says otherwise.
pub fn new_car() -> &'static str {
    say!("My car")
}

/// What a new car is called where others are about.
pub fn numbered(number: usize) -> String {
    say!("Car {number}")
}

/// The doors: what brings the person, and what lies behind.
pub fn doors() -> [(&'static str, &'static str); 2] {
    say!([
        (
            "The voltage drops",
            "Read a log, or type four readings, and see what is wrong before what to buy. No pulley is needed for it.",
        ),
        (
            "I am choosing a pulley",
            "Put the one on the car beside another, and see which sizes work.",
        ),
    ])
}
/// What the person needs for it.
pub fn needs() -> &'static str {
    say!("Five entries: both pulleys, limiter, idle, and the amps on the alternator's case.")
}
pub fn demo_head() -> &'static str {
    say!("Only looking? Two invented cars")
}
pub fn demo_lines() -> [&'static str; 2] {
    say!([
        "An eighth-mile bracket coupe with a small pulley. Invented.",
        "A six-speed time-attack hatchback, everything electric. Invented.",
    ])
}

/// What the invented cars bring by name.
const DEMO_NAMES: [&str; 9] = note!([
    "Main straight",
    "Hairpin",
    "Climb",
    "Chicane",
    "Back straight",
    "Long right",
    "Last corner",
    "bracket bolt",
    "water pump",
]);

/// Puts what an invented car brings by name into the language in use.
pub fn name_demo(car: &mut Car) {
    let segments = car.course.segments.iter_mut().map(|one| &mut one.name);
    let obstacles = car.belt_drive.obstacles.iter_mut().map(|one| &mut one.name);
    for name in segments.chain(obstacles).chain(&mut car.drive.accessories) {
        if DEMO_NAMES.contains(&name.as_str()) {
            *name = look(name).to_owned();
        }
    }
}

pub fn next() -> &'static str {
    say!("Next")
}
pub fn see() -> &'static str {
    say!("See the verdict")
}
pub fn list() -> &'static str {
    say!("So far")
}
pub fn measured() -> &'static str {
    say!("How was it measured?")
}
pub fn speed() -> &'static str {
    say!("Alternator at the limiter")
}
pub fn rest_on_car() -> &'static str {
    say!("Everything else is assumed for now. Change it on the page Car.")
}

/// The switch of the units: those in force, and the way to the others.
pub fn units(units: System) -> (&'static str, &'static str) {
    match units {
        System::Inch => (say!("Sizes in inches."), say!("Use millimeters")),
        System::Metric => (say!("Sizes in millimeters."), say!("Use inches")),
    }
}

pub const RPM: &str = "rpm";

/// What stands beside the speed: its spread, and the limit as a figure or a range.
pub fn limit(spread: &str, limit: &str, assumed: bool) -> String {
    let assumed = say!(if assumed { " (assumed)" } else { "" });
    say!("{spread} {RPM}, limit {limit} {RPM}{assumed}")
}
