//! Shows quantities in fixed formats: a point for decimals, a comma for thousands, or as [`Mark`](super::Mark) says.
//!
//! Every format is read back by [`parse`](super::parse), to within the rounding shown. Digits are made from whole
//! numbers by one routine, [`fixed`], since the general formatting of floating-point numbers is many bytes to download.

use super::{
    Angle, ElectricCurrent, ElectricPotential, ElectricalResistance, InAngle, InElectricCurrent,
    InElectricPotential, InElectricalResistance, InLength, InPower, InRatio, InRotationalSpeed,
    InTemperatureInterval, InThermodynamicTemperature, InTime, Length, Power, Ratio,
    RotationalSpeed, System, TemperatureInterval, ThermodynamicTemperature, Time,
};
use std::fmt;

/// How near a length must be to a sixteenth of an inch to be shown as one, in inches.
const SIXTEENTH_REACH: f64 = 0.004;

/// What a length may miss by between being typed and shown, in inches: conversions only.
const LENGTH_HAIR: f64 = 1e-9;

/// What stands for a value that has no digits to show.
const NO_NUMBER: &str = "?";

const POWERS: [f64; 10] = [1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9];

/// A value ready to be shown, number and unit apart so that they can be set in different sizes. As text it is both,
/// with a blank between.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Shown {
    /// The number.
    pub number: String,
    /// Its unit; empty if it has none.
    pub unit: &'static str,
}

impl Shown {
    fn new(number: String, unit: &'static str) -> Self {
        Self { number, unit }
    }
}

impl fmt::Display for Shown {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.number)?;
        if !self.unit.is_empty() {
            f.write_str(" ")?;
            f.write_str(self.unit)?;
        }
        Ok(())
    }
}

/// A number with this many decimals (at most 9), a half rounded away from zero: `57.2`. A value that is not finite or
/// has more than 15 digits in all is shown as `?`.
#[must_use]
pub fn fixed(value: f64, decimals: u8) -> String {
    digits(value, decimals, false)
}

/// As [`fixed`], with commas between thousands: `17,560`.
#[must_use]
pub fn grouped(value: f64, decimals: u8) -> String {
    digits(value, decimals, true)
}

/// A length: in inches the nearest sixteenth if it is within 0.004 in (`2 1/4 in`), otherwise two decimals
/// (`2.36 in`), or three where two would be read again as that sixteenth (`2.307 in`); in millimeters one decimal
/// (`57.2 mm`).
#[must_use]
pub fn length(value: Length, system: System) -> Shown {
    match system {
        System::Inch => Shown::new(inches(value.inches()), "in"),
        System::Metric => Shown::new(fixed(value.mm(), 1), "mm"),
    }
}

/// A length with one decimal more and no fraction: `2.250 in`, `57.15 mm`.
#[must_use]
pub fn length_precise(value: Length, system: System) -> Shown {
    match system {
        System::Inch => Shown::new(fixed(value.inches(), 3), "in"),
        System::Metric => Shown::new(fixed(value.mm(), 2), "mm"),
    }
}

/// A speed to the nearest 10 rpm: `17,560 rpm`.
#[must_use]
pub fn speed(value: RotationalSpeed) -> Shown {
    Shown::new(grouped(rounded(value.rpm() / 10.0) * 10.0, 0), "rpm")
}

/// A speed to the nearest 1 rpm: `17,562 rpm`.
#[must_use]
pub fn speed_precise(value: RotationalSpeed) -> Shown {
    Shown::new(grouped(value.rpm(), 0), "rpm")
}

/// A current: `86 A`; with one decimal where that is below ten: `8.6 A`.
#[must_use]
pub fn current(value: ElectricCurrent) -> Shown {
    Shown::new(two_digits(value.amps()), "A")
}

/// A voltage with one decimal: `13.5 V`.
#[must_use]
pub fn voltage(value: ElectricPotential) -> Shown {
    Shown::new(fixed(value.volts(), 1), "V")
}

/// A voltage with two decimals: `12.65 V`.
#[must_use]
pub fn voltage_precise(value: ElectricPotential) -> Shown {
    Shown::new(fixed(value.volts(), 2), "V")
}

/// A resistance: `5.2 mΩ`, from one ohm up `1.25 Ω`.
#[must_use]
pub fn resistance(value: ElectricalResistance) -> Shown {
    if value.milliohms().abs() < 999.95 {
        Shown::new(fixed(value.milliohms(), 1), "mΩ")
    } else {
        Shown::new(fixed(value.ohms(), 2), "Ω")
    }
}

/// A power: `1,250 W`.
#[must_use]
pub fn power(value: Power) -> Shown {
    Shown::new(grouped(value.watts(), 0), "W")
}

/// A duration: `9.8 s` up to two minutes, `4.5 min` up to two hours, then `2.5 h`.
#[must_use]
pub fn time(value: Time) -> Shown {
    let seconds = value.seconds().abs();
    if seconds < 119.95 {
        Shown::new(fixed(value.seconds(), 1), "s")
    } else if seconds < 7197.0 {
        Shown::new(fixed(value.minutes(), 1), "min")
    } else {
        Shown::new(fixed(value.hours(), 1), "h")
    }
}

/// A temperature to the nearest degree: `140 °F`, `60 °C`.
#[must_use]
pub fn temperature(value: ThermodynamicTemperature, system: System) -> Shown {
    match system {
        System::Inch => Shown::new(fixed(value.fahrenheit(), 0), "°F"),
        System::Metric => Shown::new(fixed(value.celsius(), 0), "°C"),
    }
}

/// A difference between two temperatures to the nearest degree: `135 °F`, `75 K`.
#[must_use]
pub fn temperature_interval(value: TemperatureInterval, system: System) -> Shown {
    match system {
        System::Inch => Shown::new(fixed(value.fahrenheit_degrees(), 0), "°F"),
        System::Metric => Shown::new(fixed(value.kelvins(), 0), "K"),
    }
}

/// A speed ratio with two decimals: `2.41 : 1`.
#[must_use]
pub fn ratio(value: Ratio) -> Shown {
    Shown::new(fixed(value.number(), 2), ": 1")
}

/// A number of turns with two decimals, as fine as an eighth of a turn is read: `12.38 turns`.
#[must_use]
pub fn turns(value: Angle) -> Shown {
    Shown::new(fixed(value.turns(), 2), "turns")
}

/// A share to the nearest hundredth: `64 %`.
#[must_use]
pub fn percent(value: Ratio) -> Shown {
    Shown::new(fixed(value.percent(), 0), "%")
}

/// A share with one decimal: `64.3 %`.
#[must_use]
pub fn percent_precise(value: Ratio) -> Shown {
    Shown::new(fixed(value.percent(), 1), "%")
}

/// A value and its spread, both rounded to what the spread leaves sure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rounded {
    /// The value, rounded to the decade of the spread's first digit.
    pub value: f64,
    /// The half-width, rounded to its first digit.
    pub spread: f64,
    /// Decimals that both need.
    pub decimals: u8,
}

impl Rounded {
    /// The value as text: `17,600`.
    #[must_use]
    pub fn value_text(&self) -> String {
        grouped(self.value, self.decimals)
    }

    /// The half-width as text, with its sign: `±300`.
    #[must_use]
    pub fn spread_text(&self) -> String {
        let mut text = String::from("±");
        text.push_str(&grouped(self.spread, self.decimals));
        text
    }
}

/// Rounds a value to its spread: 17,562 with a half-width of 310 becomes 17,600 and 300.
///
/// The spread keeps one significant digit and the value is rounded to the same place, down to millionths. A spread that
/// is zero, negative or not finite leaves the value as it is, for a display of up to 3 decimals.
#[must_use]
pub fn rounded_to_spread(value: f64, spread: f64) -> Rounded {
    const FINEST: usize = 6;
    if !(spread > 0.0 && spread.is_finite()) {
        return Rounded {
            value,
            spread: 0.0,
            decimals: 3,
        };
    }
    // The finest place at which the spread has a single digit: first behind the point, then before it.
    if let Some(decimals) = (0..=FINEST)
        .rev()
        .find(|&at| (spread * POWERS[at]).round() < 10.0)
    {
        let to_place = |number: f64| rounded(number * POWERS[decimals]) / POWERS[decimals];
        return Rounded {
            value: to_place(value),
            spread: to_place(spread),
            decimals: decimals as u8,
        };
    }
    let coarsest = POWERS[POWERS.len() - 1];
    let step = POWERS
        .into_iter()
        .find(|step| (spread / step).round() < 10.0)
        .unwrap_or(coarsest);
    let to_place = |number: f64| rounded(number / step) * step;
    Rounded {
        value: to_place(value),
        spread: to_place(spread),
        decimals: 0,
    }
}

/// The nearest whole number. A hair below a half counts as a half, since unit conversion may leave 19.05 mm at
/// 19.049999999999997.
fn rounded(value: f64) -> f64 {
    const HAIR: f64 = 1e-9;
    (value.abs() + HAIR).round().copysign(value)
}

/// One decimal below ten, none from ten up, by what would be shown.
fn two_digits(value: f64) -> String {
    fixed(value, u8::from(value.abs() < 9.95))
}

fn inches(value: f64) -> String {
    let size = value.abs();
    let sixteenths = (size * 16.0).round();
    let sixteenth = sixteenths / 16.0;
    let to_hundredth = |size: f64| rounded(size * 100.0) / 100.0;
    let within = |one: f64, other: f64, reach: f64| (one - other).abs() <= reach + LENGTH_HAIR;
    let is_sixteenth = within(size, sixteenth, SIXTEENTH_REACH) || to_hundredth(size) == sixteenth;
    if !is_sixteenth || sixteenths >= 1e6 {
        // A hundredth that stands for the sixteenth must not stand for a length beyond reach of it.
        let hundredth = to_hundredth(sixteenth);
        let stands_for_it = hundredth != sixteenth && within(hundredth, sixteenth, SIXTEENTH_REACH);
        let is_too_short = stands_for_it && within(size, hundredth, 0.005);
        return fixed(value, if is_too_short { 3 } else { 2 });
    }
    let sixteenths = sixteenths as u64;
    let (whole, part) = (sixteenths / 16, sixteenths % 16);
    let mut text = String::new();
    if value < 0.0 && sixteenths > 0 {
        text.push('\u{2212}');
    }
    if whole > 0 || part == 0 {
        push_whole(&mut text, whole, 1, false);
    }
    if part > 0 {
        if whole > 0 {
            text.push(' ');
        }
        let common = 1 << part.trailing_zeros();
        push_whole(&mut text, part / common, 1, false);
        text.push('/');
        push_whole(&mut text, 16 / common, 1, false);
    }
    text
}

fn digits(value: f64, decimals: u8, group: bool) -> String {
    let decimals = usize::from(decimals).min(POWERS.len() - 1);
    let scaled = rounded(value.abs() * POWERS[decimals]);
    if scaled.is_nan() || scaled >= 1e15 {
        return NO_NUMBER.to_owned();
    }
    let scaled = scaled as u64;
    let mut text = String::new();
    if value < 0.0 && scaled > 0 {
        // A true minus sign; a hyphen is too short to be seen in the sun.
        text.push('\u{2212}');
    }
    let one = POWERS[decimals] as u64;
    push_whole(&mut text, scaled / one, 1, group);
    if decimals > 0 {
        text.push(super::mark().decimal());
        push_whole(&mut text, scaled % one, decimals, false);
    }
    text
}

/// Appends a whole number, with leading zeros up to `least` digits.
fn push_whole(text: &mut String, mut number: u64, least: usize, group: bool) {
    let mut reversed = [0u8; 20];
    let mut count = 0;
    while number > 0 || count < least {
        reversed[count] = b'0' + (number % 10) as u8;
        number /= 10;
        count += 1;
    }
    for at in (0..count).rev() {
        text.push(char::from(reversed[at]));
        if group && at > 0 && at % 3 == 0 {
            text.push(super::mark().thousands());
        }
    }
}
