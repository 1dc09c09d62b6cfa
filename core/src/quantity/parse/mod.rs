//! Reads quantities as people type them.
//!
//! # Grammar
//! Keyboards, autocorrection and copying put in typographic quotes and primes, dashes, full-width characters, unbreakable
//! and invisible blanks, and ready-made fractions; all of these are made plain first ("2¼”" becomes `2 1/4 "`). Then:
//!
//! ```text
//! quantity   = number [ unit ]                     blanks may stand between any two parts
//! number     = [ "-" | "+" ] ( decimal | fraction | mixed )
//! decimal    = groups [ sign [ digits ] ] | sign digits
//! fraction   = groups "/" digits                   9/4
//! mixed      = groups ( blank | "-" ) fraction     2 1/4, 2-1/4; the fraction less than one
//! groups     = digits | 1 to 3 digits { separator 3 digits }
//! separator  = "," | "." | blank | "'"             one kind within a number; "'" only where a comma may be one
//! sign       = "." | ","                           the decimal sign, never the same as the separator
//! ratio      = number | number ":" "1" | "1" ":" number
//! time       = number [ unit ] | [ digits ":" ] digits ":" number      h:mm:ss, m:ss
//! unit       = a name from the tables, in any case, points and blanks ignored
//! ```
//!
//! One comma before exactly three digits could be either sign. For speeds and powers, which run to thousands, it
//! separates thousands: `7,000` is seven thousand. For everything else it is the decimal sign: `57,150 mm` is a little
//! over 57. One point is the decimal sign too, but in a speed or a power where decimals stand behind a comma
//! ([`Mark`](super::Mark)): there `7.000` is seven thousand. Two signs of different kinds tell by themselves: `1,234.5`, `1.234,5`.
//!
//! A bare number has the unit that the field asks for: that of the person's [`System`] for lengths and temperatures,
//! rpm, A, V, milliohms, W, turns and % for the others, and for times the one given.
//!
//! A ratio is alternator turns for one turn of the crank. The side written as 1 is taken for the crank, so that
//! `2.4 : 1`, `1 : 2.4` and `2.4` are the same; without a 1 on either side nobody can tell, and it is refused.
//!
//! No unit is taken for another: amperes in a field for volts are an error that names both. Whether a value is
//! believable is the business of [`range`](super::range).

mod clean;
mod error;
mod number;
#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
mod unit;

pub use error::{Kind, ParseError};

use self::number::Comma;
use self::unit::ToSi;
use super::{
    Angle, ElectricCurrent, ElectricPotential, ElectricalResistance, InRatio, Length, Power, Ratio,
    RotationalSpeed, System, TemperatureInterval, ThermodynamicTemperature, Time, amps, celsius,
    fahrenheit, fahrenheit_degrees, hours, inch, kelvins, meters, milliohms, minutes, mm, ohms,
    percent as percent_of, rad_per_s, radians, ratio as ratio_of, rpm, seconds, turns as turns_of,
    volts, watts,
};
use uom::si::thermodynamic_temperature::kelvin;

/// The unit of a bare number of time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TimeUnit {
    /// Seconds.
    Second,
    /// Minutes.
    Minute,
    /// Hours.
    Hour,
}

/// Reads a length: `2.25`, `2 1/4"`, `57,2 mm`. A bare number is in inches or millimeters, by `system`.
///
/// # Errors
/// [`ParseError`], one variant per cause.
pub fn length(text: &str, system: System) -> Result<Length, ParseError> {
    length_and_unit(text, system).map(|(length, ..)| length)
}

/// Reads a speed of rotation: `7000`, `7,000`, `7.2k`, `7 000 rpm`. A bare number is in rpm.
///
/// # Errors
/// [`ParseError`], one variant per cause.
pub fn speed(text: &str) -> Result<RotationalSpeed, ParseError> {
    read(text, Kind::Speed, |number| rpm(number).value).map(rad_per_s)
}

/// Reads a current: `120A`. A bare number is in amperes.
///
/// # Errors
/// [`ParseError`], one variant per cause.
pub fn current(text: &str) -> Result<ElectricCurrent, ParseError> {
    read(text, Kind::Current, |number| amps(number).value).map(amps)
}

/// Reads a voltage: `14.2 V`, `300 mV`. A bare number is in volts.
///
/// # Errors
/// [`ParseError`], one variant per cause.
pub fn voltage(text: &str) -> Result<ElectricPotential, ParseError> {
    read(text, Kind::Voltage, |number| volts(number).value).map(volts)
}

/// Reads a resistance: `5 mΩ`, `0.9 ohm`. A bare number is in milliohms, the size of cables and batteries.
///
/// # Errors
/// [`ParseError`], one variant per cause.
pub fn resistance(text: &str) -> Result<ElectricalResistance, ParseError> {
    read(text, Kind::Resistance, |number| milliohms(number).value).map(ohms)
}

/// Reads a power: `600 W`, `1.2 kW`, `2 hp`. A bare number is in watts.
///
/// # Errors
/// [`ParseError`], one variant per cause.
pub fn power(text: &str) -> Result<Power, ParseError> {
    read(text, Kind::Power, |number| watts(number).value).map(watts)
}

/// Reads a duration: `9.85 s`, `150 ms`, `20 min`, `4:30` (minutes and seconds), `1:05:00`. A bare number is in `bare`.
///
/// # Errors
/// [`ParseError`], one variant per cause.
pub fn time(text: &str, bare: TimeUnit) -> Result<Time, ParseError> {
    let plain = clean::clean(text)?;
    if plain.contains(':') {
        return clock(&plain).ok_or(ParseError::NotANumber { found: plain });
    }
    let bare: ToSi = match bare {
        TimeUnit::Second => |number| seconds(number).value,
        TimeUnit::Minute => |number| minutes(number).value,
        TimeUnit::Hour => |number| hours(number).value,
    };
    read_plain(&plain, Kind::Time, bare).map(seconds)
}

/// Reads a temperature: `-10 C`, `140 °F`, `23`. A bare number is in degrees Fahrenheit or Celsius, by `system`.
///
/// # Errors
/// [`ParseError`], one variant per cause.
pub fn temperature(text: &str, system: System) -> Result<ThermodynamicTemperature, ParseError> {
    let bare: ToSi = match system {
        System::Inch => |number| fahrenheit(number).value,
        System::Metric => |number| celsius(number).value,
    };
    read(text, Kind::Temperature, bare).map(ThermodynamicTemperature::new::<kelvin>)
}

/// Reads a difference between two temperatures: `75 K`, `135 °F`. A bare number is in the degrees of `system`.
///
/// # Errors
/// [`ParseError`], one variant per cause.
pub fn temperature_interval(text: &str, system: System) -> Result<TemperatureInterval, ParseError> {
    let bare: ToSi = match system {
        System::Inch => |number| fahrenheit_degrees(number).value,
        System::Metric => |number| kelvins(number).value,
    };
    read(text, Kind::TemperatureInterval, bare).map(kelvins)
}

/// Reads a speed ratio, alternator over crank: `2.4`, `2.4 : 1`, `1 : 2.4`.
///
/// # Errors
/// [`ParseError`], one variant per cause.
pub fn ratio(text: &str) -> Result<Ratio, ParseError> {
    let plain = clean::clean(text)?;
    let Some((left, right)) = plain.split_once(':') else {
        return read_plain(&plain, Kind::Ratio, plain_number).map(ratio_of);
    };
    let side = |text: &str| match text.trim() {
        "" => Err(ParseError::NotANumber {
            found: plain.clone(),
        }),
        side => read_plain(side, Kind::Ratio, plain_number),
    };
    let (left, right) = (side(left)?, side(right)?);
    if right == 1.0 {
        Ok(ratio_of(left))
    } else if left == 1.0 {
        Ok(ratio_of(right))
    } else {
        Err(ParseError::RatioWithoutOne { found: plain })
    }
}

/// Reads a number of turns: `12.5`, `12 1/2 turns`. A bare number is in turns.
///
/// # Errors
/// [`ParseError`], one variant per cause.
pub fn turns(text: &str) -> Result<Angle, ParseError> {
    read(text, Kind::Turns, |number| turns_of(number).value).map(radians)
}

/// Reads a share: `64.3 %`, `90`. A bare number is in hundredths.
///
/// # Errors
/// [`ParseError`], one variant per cause.
pub fn percent(text: &str) -> Result<Ratio, ParseError> {
    read(text, Kind::Percent, |number| percent_of(number).value).map(ratio_of)
}

/// Reads a whole number of zero or more: ribs, rounds, pole pairs.
///
/// # Errors
/// [`ParseError`], one variant per cause.
pub fn count(text: &str) -> Result<u32, ParseError> {
    let number = read(text, Kind::Count, plain_number)?;
    if number.fract() != 0.0 || number < 0.0 || number > f64::from(u32::MAX) {
        return Err(ParseError::NotWhole {
            found: clean::clean(text)?,
        });
    }
    Ok(number as u32)
}

/// Reads a quantity of any kind, a bare number in the unit of this name; gives its plain SI value, or a plain number
/// of the kinds that have none.
pub(super) fn si(text: &str, kind: Kind, bare: &str) -> Result<f64, ParseError> {
    match kind {
        Kind::Ratio => return ratio(text).map(InRatio::number),
        Kind::Count => return count(text).map(f64::from),
        _ => {}
    }
    let plain = clean::clean(text)?;
    let is_time = matches!(
        kind,
        Kind::Time | Kind::Milliseconds | Kind::Minutes | Kind::Hours
    );
    if is_time && plain.contains(':') {
        let hours_first = kind == Kind::Hours && plain.matches(':').count() == 1;
        let scale = if hours_first { 60.0 } else { 1.0 };
        return match clock(&plain) {
            Some(time) => Ok(time.value * scale),
            None => Err(ParseError::NotANumber { found: plain }),
        };
    }
    read_plain(&plain, kind, unit_to_si(kind, bare))
}

/// What a number of a unit is in SI; itself where the kind has no such unit.
pub(super) fn unit_to_si(kind: Kind, unit: &str) -> ToSi {
    unit::in_table(unit, kind).unwrap_or(plain_number)
}

/// Reads a length; gives it, its number as typed and, if that number was in inches or millimeters, whose unit it had.
pub(super) fn length_and_unit(
    text: &str,
    system: System,
) -> Result<(Length, f64, Option<System>), ParseError> {
    let (number, to_si) = number_and_unit(&clean::clean(text)?, Kind::Length, bare_length(system))?;
    let read_as = System::ALL
        .into_iter()
        .find(|&system| bare_length(system)(1.0) == to_si(1.0));
    Ok((meters(to_si(number)), number, read_as))
}

/// The length that a bare number is.
pub(super) fn length_of(number: f64, system: System) -> Length {
    meters(bare_length(system)(number))
}

fn bare_length(system: System) -> ToSi {
    match system {
        System::Inch => |number| inch(number).value,
        System::Metric => |number| mm(number).value,
    }
}

fn plain_number(number: f64) -> f64 {
    number
}

impl Kind {
    /// What one comma before three digits means in a number of this kind.
    const fn comma(self) -> Comma {
        match self {
            Self::Speed | Self::Power => Comma::Thousands,
            _ => Comma::Decimal,
        }
    }
}

/// Reads a quantity of any kind as its SI value.
fn read(text: &str, kind: Kind, bare: ToSi) -> Result<f64, ParseError> {
    read_plain(&clean::clean(text)?, kind, bare)
}

fn read_plain(plain: &str, kind: Kind, bare: ToSi) -> Result<f64, ParseError> {
    let (number, to_si) = number_and_unit(plain, kind, bare)?;
    Ok(to_si(number))
}

// Never inlined: every kind goes through here, and one copy is enough to download.
#[inline(never)]
fn number_and_unit(plain: &str, kind: Kind, bare: ToSi) -> Result<(f64, ToSi), ParseError> {
    let (number, unit) = number::number(plain, kind.comma())?;
    Ok((number, unit::find(unit, kind, bare)?))
}

/// Reads `m:ss` or `h:mm:ss`, the last part with decimals if need be.
fn clock(plain: &str) -> Option<Time> {
    let mut total = 0.0;
    let mut parts = 0;
    for part in plain.split(':') {
        let (number, rest) = number::number(part.trim(), Comma::Decimal).ok()?;
        let is_last = parts == plain.matches(':').count();
        let fits = parts == 0 || number < 60.0;
        if !rest.is_empty() || number < 0.0 || !fits || !is_last && number.fract() != 0.0 {
            return None;
        }
        total = total * 60.0 + number;
        parts += 1;
    }
    (parts <= 3).then(|| seconds(total))
}
