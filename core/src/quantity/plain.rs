//! Quantities that the car keeps as plain numbers, in one unit for each kind: `9.85` s, `711.2` mm.
//!
//! One way in and one way out for all kinds, since each of its own would be bytes to download. A bare number has the
//! unit that is shown. Numbers are shown to so many decimals, zeros at the end left out down to so few.
//!
//! ```
//! use laneside_core::quantity::{System, parse::Kind, plain};
//!
//! let trap = plain::read("103", Kind::RoadSpeed, System::Inch)?;
//! assert_eq!(trap, 46.04512);
//! assert_eq!(plain::show(trap, Kind::RoadSpeed, System::Inch).to_string(), "103 mph");
//! assert_eq!(plain::show(trap, Kind::RoadSpeed, System::Metric).to_string(), "165.76 km/h");
//! # Ok::<(), laneside_core::quantity::parse::ParseError>(())
//! ```

use super::parse::{self, Kind, ParseError};
use super::show::{self, Shown};
use super::{System, mm};

/// Units of a kind.
struct Units {
    /// Of the number that the car keeps; none where that has no unit.
    kept: &'static str,
    /// Of the number shown, in inches and in metric units.
    shown: [&'static str; 2],
    /// Least and most decimals shown.
    decimals: (u8, u8),
}

const fn units(kind: Kind) -> Units {
    let (kept, inch, metric, least, most) = match kind {
        Kind::Length => ("mm", "in", "mm", 1, 1),
        Kind::Distance => ("m", "ft", "m", 0, 2),
        Kind::Speed => ("rpm", "rpm", "rpm", 0, 0),
        Kind::Current => ("A", "A", "A", 0, 1),
        Kind::Voltage => ("V", "V", "V", 1, 2),
        Kind::Drop => ("V", "V", "V", 2, 3),
        Kind::Resistance => ("mΩ", "mΩ", "mΩ", 1, 2),
        Kind::Ohms => ("Ω", "Ω", "Ω", 1, 3),
        Kind::Power => ("W", "W", "W", 0, 0),
        Kind::Time => ("s", "s", "s", 2, 3),
        Kind::Milliseconds => ("ms", "ms", "ms", 1, 3),
        Kind::Minutes => ("s", "min", "min", 0, 0),
        Kind::Hours => ("h", "h", "h", 0, 2),
        Kind::Temperature => ("°C", "°F", "°C", 0, 1),
        Kind::TemperatureInterval => ("K", "°F", "K", 0, 1),
        Kind::Ratio => ("", ": 1", ": 1", 2, 3),
        Kind::Turns => ("turns", "turns", "turns", 0, 2),
        Kind::Percent => ("", "%", "%", 0, 1),
        Kind::Count => ("", "", "", 0, 0),
        Kind::RoadSpeed => ("m/s", "mph", "km/h", 0, 2),
        Kind::Capacity => ("Ah", "Ah", "Ah", 0, 1),
        Kind::Flow => ("L/h", "L/h", "L/h", 0, 1),
        Kind::Inductance => ("mH", "mH", "mH", 1, 2),
    };
    Units {
        kept,
        shown: [inch, metric],
        decimals: (least, most),
    }
}

/// The unit of a bare number of this kind, as one writes it; empty for a count.
#[must_use]
pub const fn unit(kind: Kind, system: System) -> &'static str {
    units(kind).shown[system as usize]
}

/// A number in one unit of a kind as one in another of its units.
fn convert(value: f64, kind: Kind, from: &str, to: &str) -> f64 {
    from_si(parse::unit_to_si(kind, from)(value), kind, to)
}

fn from_si(si: f64, kind: Kind, to: &str) -> f64 {
    let to_si = parse::unit_to_si(kind, to);
    // Every unit is a straight line over SI, and of temperatures it misses the origin.
    let zero = to_si(0.0);
    (si - zero) / (to_si(1.0) - zero)
}

/// Reads typed text as the number that the car keeps, the ninth decimal its last.
///
/// # Errors
/// [`ParseError`], one variant per cause.
pub fn read(text: &str, kind: Kind, system: System) -> Result<f64, ParseError> {
    let si = parse::si(text, kind, unit(kind, system))?;
    Ok(crate::stored::tidy(from_si(si, kind, units(kind).kept)))
}

/// The number that the car keeps as one reads it: `6.60 s`, `12 min` or `1:40`, `28 in`, `2.48 : 1`.
#[must_use]
pub fn show(value: f64, kind: Kind, system: System) -> Shown {
    let Units {
        kept,
        decimals: (least, most),
        ..
    } = units(kind);
    let unit = unit(kind, system);
    let number = match kind {
        Kind::Length => return show::length(mm(value), system),
        Kind::Minutes if value.round() % 60.0 != 0.0 => return clock(value.round()),
        Kind::Speed => show::grouped(value, most),
        _ => show::fixed(convert(value, kind, kept, unit), most),
    };
    let spare = usize::from(most - least);
    let zeros = number.len() - number.trim_end_matches('0').len();
    let point = usize::from(least == 0 && most > 0 && zeros >= spare);
    let cut = if most == 0 {
        0
    } else {
        zeros.min(spare) + point
    };
    Shown {
        number: number[..number.len() - cut].to_owned(),
        unit,
    }
}

/// Minutes and seconds: `1:40`.
fn clock(seconds: f64) -> Shown {
    let rest = seconds % 60.0;
    let zero = if rest < 10.0 { "0" } else { "" };
    let whole = show::fixed((seconds - rest) / 60.0, 0);
    Shown {
        number: format!("{whole}:{zero}{}", show::fixed(rest, 0)),
        unit: "",
    }
}
