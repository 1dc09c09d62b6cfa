//! What was found and what is needed, beside a field.

use super::fields;
use crate::parts::field::Fault;
use laneside_core::alternator::CurveError;
use laneside_core::car::check::Fault as CarFault;
use laneside_core::car::entry::{EntryError, Field, Quantity};
use laneside_core::car::file::{FileError, LONGEST};
use laneside_core::quantity::parse::ParseError;
use laneside_core::quantity::{System, celsius, plain, show};

fn fault(found: String, needed: impl Into<String>) -> Fault {
    Fault {
        found,
        needed: needed.into(),
    }
}

/// The two lines of an entry that was not taken.
pub fn entry(error: &EntryError, text: &str, units: System) -> Fault {
    match error {
        EntryError::Parse(error) => parse(error, text),
        EntryError::Range {
            found,
            low,
            high,
            quantity,
        } => {
            let say = |value: f64| in_quantity(value, *quantity, units);
            fault(
                say!("Found {}.", say(*found)),
                say!("Needed: {} to {}.", say(*low), say(*high)),
            )
        }
        EntryError::Length {
            found,
            low,
            high,
            other,
        } => {
            let say = |value| show::length(value, units).to_string();
            let meant = other.map(|other| {
                let unit = match other.system {
                    System::Inch => "in",
                    System::Metric => "mm",
                };
                say!(
                    " Did you mean {} {unit}? Then type the unit.",
                    show::fixed(other.number, 2)
                )
            });
            let typed: String = text.trim().chars().take(24).collect();
            let understood = if typed.chars().any(char::is_alphabetic) {
                say!("Found \"{typed}\", which is {}.", say(*found))
            } else {
                say!("Found {}.", say(*found))
            };
            fault(
                understood,
                say!(
                    "Needed: {} to {}.{}",
                    say(*low),
                    say(*high),
                    meant.unwrap_or_default()
                ),
            )
        }
        EntryError::CurveLine { line, found } => fault(
            say!("Found \"{found}\" in line {line}."),
            say!("Needed: a speed and a current in each line, such as 2000 85."),
        ),
        EntryError::Curve(error) => curve(*error),
        EntryError::ContinuousFirst => fault(
            tell!("Found a limit for moments without one for good."),
            say!("Needed: the continuous limit first."),
        ),
        EntryError::CurrentFirst => fault(
            tell!("Found the volts of a reading without its amps."),
            say!("Needed: the clamp-meter total first."),
        ),
        EntryError::SizeFirst => fault(
            tell!("Found a speed limit of a pulley without a size."),
            say!("Needed: its size first."),
        ),
        EntryError::VoltageFirst => fault(
            tell!("Found the round or the hours of a reading without its volts."),
            say!("Needed: what the meter read first."),
        ),
        EntryError::Designation(error) => fault(
            say!("Found \"{}\".", text.trim()),
            say!("Needed: {}.", super::belt::designation(*error)),
        ),
        EntryError::Fault(error) => car(error),
    }
}

/// Why a file is no car.
pub fn file(error: &FileError) -> Fault {
    match error {
        FileError::TooLong { found, most } => {
            let kb = |bytes: usize| show::grouped(bytes as f64 / 1024.0, 0);
            let (length, most_kb) = (kb(*found), kb(*most));
            let needed = if *most == LONGEST {
                say!("Needed: a car file, {most_kb} kB at the most without its kept passes.")
            } else {
                say!("Needed: a car file, {most_kb} kB at the most.")
            };
            fault(say!("Found {length} kB."), needed)
        }
        FileError::Unreadable(_) => fault(
            tell!("Found no whole car file."),
            say!("Needed: a file as this page saves it, unchanged."),
        ),
        FileError::Foreign { found } => {
            let found: String = found.chars().take(24).collect();
            fault(
                say!("Found a file of another kind: \"{found}\"."),
                say!("Needed: a car file as this page saves it."),
            )
        }
        FileError::Newer { found } => fault(
            say!("Found a file of version {found}, from a newer Laneside."),
            say!("Needed: this app in its newest version. Open it once with signal."),
        ),
        FileError::Invalid(error) => car(error),
        FileError::Count { found, most } => super::received::count(*found, *most),
        FileError::OneOf { place, fault } => super::received::one_of(*place, file(fault)),
    }
}

/// A file that the phone does not hand out.
pub fn unread_file() -> Fault {
    fault(
        tell!("Found a file that cannot be read."),
        say!("Needed: a file that is on this phone."),
    )
}

/// What the answers are from before of: a field and what was typed into it.
pub fn stale(label: &str, text: &str) -> String {
    let typed: String = text.trim().chars().take(16).collect();
    if typed.is_empty() {
        say!("From before {label} was cleared.")
    } else {
        say!("From before {label} became \"{typed}\".")
    }
}

/// The way to a field that is in the way.
pub fn mend(label: &str) -> String {
    say!("Mend {label}")
}

fn parse(error: &ParseError, text: &str) -> Fault {
    let typed: String = text.trim().chars().take(24).collect();
    let found = if typed.is_empty() {
        tell!("Found nothing.")
    } else {
        say!("Found \"{typed}\".")
    };
    let needed = match error {
        ParseError::TooLong { most, .. } => say!("at most {most} characters"),
        ParseError::TooManyDigits { most, .. } => say!("at most {most} digits"),
        ParseError::ZeroDenominator { .. } => {
            tell!("something other than zero under the line")
        }
        ParseError::ImproperFraction { .. } => tell!("a fraction less than one"),
        ParseError::NotWhole { .. } => tell!("a whole number of zero or more"),
        ParseError::UnknownUnit { needed, .. } | ParseError::WrongUnit { needed, .. } => {
            match needed.units() {
                [] => tell!("no unit"),
                units => units.join(say!(" or ")),
            }
        }
        ParseError::RatioWithoutOne { .. } => tell!("1 on one side, as in 2.4 : 1"),
        ParseError::Empty | ParseError::NotANumber { .. } | ParseError::Trailing { .. } => {
            tell!("a number")
        }
    };
    fault(found, say!("Needed: {needed}."))
}

fn in_quantity(value: f64, quantity: Quantity, units: System) -> String {
    match quantity {
        Quantity::Speed => format!("{} rpm", show::grouped(value, 0)),
        Quantity::Current => format!("{} A", show::grouped(value, decimals(value))),
        Quantity::Voltage => format!("{} V", show::grouped(value, 1)),
        Quantity::Temperature => show::temperature(celsius(value), units).to_string(),
        Quantity::Turns => say!("{} turns", show::grouped(value, 2)),
        Quantity::Percent => format!("{} %", show::grouped(value, 0)),
        Quantity::Of(kind) => plain::show(value, kind, units).to_string(),
    }
}

fn curve(error: CurveError) -> Fault {
    match error {
        CurveError::TooFew { found } => fault(
            say!("Found {found} point."),
            say!("Needed: two points at the least."),
        ),
        CurveError::TooMany { found } => fault(
            say!("Found {found} points."),
            say!("Needed: 40 points at the most."),
        ),
        CurveError::NotRising { point } => fault(
            say!("Point {point} is not at a higher speed than the one before it."),
            say!("Needed: points in order, lowest speed first."),
        ),
        CurveError::Falls { point } => fault(
            say!("Point {point} lies more than a tenth below the highest before it."),
            say!(
                "Needed: a curve that hardly falls. A larger fall is a slip of the finger or a machine past its limit: leave it out."
            ),
        ),
        CurveError::FlatStart => fault(
            tell!("The second point gives no more than the first."),
            say!("Needed: one point at a lower speed, where output still rises."),
        ),
        CurveError::OutOfRange { point } => fault(
            say!("Point {point} is out of range."),
            say!("Needed: 1 to 30,000 rpm and 0 to 1,000 A."),
        ),
    }
}

/// A part of the car that does not fit to the rest.
pub fn car(error: &CarFault) -> Fault {
    match error {
        CarFault::Order {
            what,
            found,
            over,
            than,
        } => fault(
            say!("Found {} for {}.", say_number(what, *found), part(what)),
            say!(
                "Needed: more than {}, which is {}.",
                part(over),
                // Of a list the number before or after is meant, which is what this one is.
                say_number(if over.contains('_') { over } else { what }, *than)
            ),
        ),
        CarFault::Range {
            what,
            found,
            low,
            high,
        } => fault(
            say!("Found {} for {}.", say_number(what, *found), part(what)),
            say!(
                "Needed: {} to {}.",
                say_number(what, *low),
                say_number(what, *high)
            ),
        ),
        CarFault::Curve(error) => curve(*error),
        CarFault::TooMany { what, found, most } => fault(
            say!("Found {found} {}.", many(what)),
            say!("Needed: {most} at the most."),
        ),
        CarFault::Name { .. } => fault(
            tell!("Found no name, or a very long one."),
            say!("Needed: 1 to 60 characters."),
        ),
        CarFault::Cells { found, allowed } => fault(
            say!("Found {found} cells."),
            say!(match allowed {
                [4] => "Needed: 4 of lithium iron phosphate.",
                _ => "Needed: 6 of lead-acid for 12 V, 8 for 16 V.",
            }),
        ),
        CarFault::Wire { .. } => fault(
            tell!("Found a wire size that is not made."),
            say!("Needed: 0.5 to 240 mm2, or 20 to 4/0 AWG."),
        ),
        CarFault::NoPhase { id } => fault(
            say!("Found a step of the day in \"{id}\"."),
            say!("Needed: one of the car's phases."),
        ),
        CarFault::NoPulley { .. } => fault(
            tell!("Found a pulley of the belt named that is not there."),
            say!("Needed: one of the pulleys in the belt's way, and another at the other end."),
        ),
        CarFault::PhaseId { .. } => fault(
            tell!("Found two phases of the same kind."),
            say!("Needed: each phase once."),
        ),
    }
}

/// What there is too much of.
fn many(what: &str) -> &str {
    say!(match what {
        "entries of the history" => "entries of the history",
        "ticked" => "boxes ticked",
        "characters" => "characters",
        "gears" => "gears",
        "points" => "points",
        "segments" => "segments",
        "steps" => "steps of a round",
        "pulleys of the belt" => "pulleys of the belt",
        "frequencies heard" => "frequencies heard",
        "distances by tape" => "distances by tape",
        "sides answered" => "sides answered",
        "obstacles" => "obstacles",
        "loads" => "loads",
        "duty" => "phases of a load",
        "phases" => "phases",
        "on_hand" => "pulleys on hand",
        "accessories" => "accessories",
        other => return other,
    })
}

fn part(what: &str) -> &str {
    say!(match what {
        "limiter_rpm" => "the limiter",
        "idle_rpm" => "idle",
        "idle_in_gear_rpm" => "idle in gear",
        "launch_rpm" => "launch",
        "shift_rpm" => "shift",
        "rated_a" => "rated output",
        "low_a" => "low-speed output",
        "rated_rpm" => "the rated speed",
        "low_rpm" => "the low speed",
        "short_rpm" => "the limit for moments",
        "continuous_rpm" => "the continuous limit",
        "alternator_turns / crank_turns" | "read_alternator_rpm / read_engine_rpm" => "the ratio",
        other => match Field::of_file(other) {
            Some(field) => return fields::label(field),
            None => return other,
        },
    })
}

fn say_number(what: &str, value: f64) -> String {
    if let Some(kind) = Field::of_file(what).and_then(Field::kind) {
        // Nobody knows the units of a car that could not be read.
        return plain::show(value, kind, System::Metric).to_string();
    }
    let unit = if what.contains('/') {
        return show::fixed(value, 2);
    } else if what.ends_with("_rpm") {
        "rpm"
    } else if what.ends_with("_a") {
        "A"
    } else if what.ends_with("_v") {
        "V"
    } else {
        "mm"
    };
    format!("{} {unit}", show::grouped(value, decimals(value)))
}

/// None for a whole number, be it a hair off by its way through SI units.
fn decimals(value: f64) -> u8 {
    u8::from((value - value.round()).abs() > 0.01)
}
