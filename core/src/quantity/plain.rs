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
        Kind::Fine => ("mm", "in", "mm", 1, 3),
        Kind::Angle => ("°", "°", "°", 0, 1),
        Kind::Force => ("N", "lbf", "N", 0, 0),
        Kind::Frequency => ("Hz", "Hz", "Hz", 0, 1),
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
        // A clock runs forward only.
        Kind::Minutes if value > 0.0 && value.round() % 60.0 != 0.0 => return clock(value.round()),
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

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn what_is_shown_reads_back() {
        for kind in Kind::ALL {
            for system in System::ALL {
                for value in [0.12, 0.9, 1.0, 7.25, 40.0, 100.0] {
                    // A tenth of a millimeter is no length of a car in inches.
                    let value = if kind == Kind::Length {
                        100.0 * value
                    } else {
                        value
                    };
                    let shown = show(value, kind, system).to_string();
                    let again = read(&shown, kind, system).unwrap();
                    assert_eq!(
                        show(again, kind, system).to_string(),
                        shown,
                        "{kind:?} {value}"
                    );
                }
            }
        }
    }

    #[test]
    fn every_unit_of_the_table_is_one_that_is_read() {
        for kind in Kind::ALL {
            let Units { kept, shown, .. } = units(kind);
            for unit in [kept, shown[0], shown[1]]
                .into_iter()
                .chain(kind.units().iter().copied())
            {
                assert!(
                    read(&format!("5 {unit}"), kind, System::Inch).is_ok(),
                    "{kind:?} {unit}"
                );
            }
            // A bare number is in hundredths, and the car keeps the share itself.
            let wanted = if kind == Kind::Percent { 0.01 } else { 1.0 };
            let kept_one = read(&format!("1 {kept}"), kind, System::Inch).unwrap();
            assert!(
                (kept_one - wanted).abs() < 1e-9,
                "{kind:?} keeps {kept_one} for 1 {kept}"
            );
        }
    }

    #[test]
    fn zeros_at_the_end_are_left_out() {
        for (value, kind, shown) in [
            (48.0, Kind::Capacity, "48 Ah"),
            (7.5, Kind::Capacity, "7.5 Ah"),
            (12.7, Kind::Voltage, "12.7 V"),
            (0.08, Kind::Drop, "0.08 V"),
            (6.6, Kind::Time, "6.60 s"),
            (6.604, Kind::Time, "6.604 s"),
            (100.0, Kind::Distance, "100 m"),
            (0.05, Kind::Percent, "5 %"),
            (4.1, Kind::Ratio, "4.10 : 1"),
            (2_700.0, Kind::Minutes, "45 min"),
            (65.0, Kind::Minutes, "1:05"),
            (f64::NAN, Kind::Voltage, "? V"),
        ] {
            assert_eq!(show(value, kind, System::Metric).to_string(), shown);
        }
    }

    /// Validation. Sources: NIST SP 811 (2008), appendix B.8 for mile, gallon and pound; gasoline at 0.74 kg/L from memory.
    #[test]
    fn speeds_and_flows_agree_with_their_definitions() {
        let near = |text: &str, kind: Kind, wanted: f64| {
            let found = read(text, kind, System::Metric).unwrap();
            assert!((found / wanted - 1.0).abs() < 1e-6, "{text} is {found}");
        };
        near("60 mph", Kind::RoadSpeed, 26.8224);
        near("36 km/h", Kind::RoadSpeed, 10.0);
        near("100 gal/h", Kind::Flow, 378.541_178);
        near("700 lb/h", Kind::Flow, 700.0 * 0.453_592_37 / 0.74);
    }
}
