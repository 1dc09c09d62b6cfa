//! The units that people type, one table per kind of quantity.

use super::{Kind, ParseError};
use crate::quantity::{
    Angle, ElectricCurrent, ElectricPotential, ElectricalResistance, Length, Power, Ratio,
    RotationalSpeed, TemperatureInterval, ThermodynamicTemperature, Time, amps, celsius,
    fahrenheit, fahrenheit_degrees, feet, horsepower, hours, inch, kelvins, meters, milliohms,
    minutes, mm, ohms, percent, rpm, seconds, turns, volts, watts,
};

/// The names of one unit, in lower case without blanks or points, and the quantity that a number of it is.
pub(super) type Unit<Q> = (&'static [&'static str], fn(f64) -> Q);

/// The units of a kind.
pub(super) type Table<Q> = &'static [Unit<Q>];

pub(super) const LENGTH: Table<Length> = &[
    (&["in", "\"", "''", "inch", "inches"], inch),
    (
        &[
            "mm",
            "millimeter",
            "millimeters",
            "millimetre",
            "millimetres",
        ],
        mm,
    ),
    (
        &[
            "cm",
            "centimeter",
            "centimeters",
            "centimetre",
            "centimetres",
        ],
        |number| mm(number * 10.0),
    ),
    (&["ft", "'", "foot", "feet"], feet),
    (&["m", "meter", "meters", "metre", "metres"], meters),
];

pub(super) const SPEED: Table<RotationalSpeed> = &[
    (
        &[
            "rpm", "r/min", "rev/min", "revs/min", "1/min", "/min", "min-1", "min^-1", "min⁻¹",
            "revs",
        ],
        rpm,
    ),
    (&["k", "krpm"], |number| rpm(number * 1000.0)),
];

pub(super) const CURRENT: Table<ElectricCurrent> =
    &[(&["a", "amp", "amps", "ampere", "amperes"], amps)];

pub(super) const VOLTAGE: Table<ElectricPotential> = &[
    (&["v", "volt", "volts", "vdc"], volts),
    (&["mv", "millivolt", "millivolts"], |number| {
        volts(number / 1000.0)
    }),
];

// A capital M is read as milli too: phones put capitals where they like, and no part of a charging system is a megohm.
pub(super) const RESISTANCE: Table<ElectricalResistance> = &[
    (&["mohm", "mohms", "milliohm", "milliohms"], milliohms),
    (&["ohm", "ohms", "r"], ohms),
];

pub(super) const POWER: Table<Power> = &[
    (&["w", "watt", "watts"], watts),
    (&["kw", "kilowatt", "kilowatts"], |number| {
        watts(number * 1000.0)
    }),
    (&["hp", "horsepower"], horsepower),
];

pub(super) const TIME: Table<Time> = &[
    (&["s", "sec", "secs", "second", "seconds"], seconds),
    (&["min", "mins", "minute", "minutes"], minutes),
    (&["h", "hr", "hrs", "hour", "hours"], hours),
    (&["ms", "millisecond", "milliseconds"], |number| {
        seconds(number / 1000.0)
    }),
];

pub(super) const TEMPERATURE: Table<ThermodynamicTemperature> = &[
    (&["°c", "c", "degc", "celsius"], celsius),
    (&["°f", "f", "degf", "fahrenheit"], fahrenheit),
    (
        &["k", "kelvin"],
        ThermodynamicTemperature::new::<uom::si::thermodynamic_temperature::kelvin>,
    ),
];

pub(super) const TEMPERATURE_INTERVAL: Table<TemperatureInterval> = &[
    (
        &["k", "kelvin", "kelvins", "°c", "c", "degc", "celsius"],
        kelvins,
    ),
    (&["°f", "f", "degf", "fahrenheit"], fahrenheit_degrees),
];

/// Names for a degree of whichever scale the person reads.
pub(super) const BARE_DEGREE: &[&str] = &["°", "deg", "degree", "degrees"];

pub(super) const TURNS: Table<Angle> = &[(
    &["turn", "turns", "rev", "revs", "revolution", "revolutions"],
    turns,
)];

pub(super) const PERCENT: Table<Ratio> = &[(&["%", "pct", "percent"], percent)];

pub(super) const RATIO: Table<Ratio> = &[];

/// Finds the unit that `typed` names, or says what is wrong with it.
pub(super) fn find<Q>(
    typed: &str,
    table: Table<Q>,
    needed: Kind,
) -> Result<fn(f64) -> Q, ParseError> {
    if let Some(make) = in_table(typed, table) {
        return Ok(make);
    }
    // The longest start of the text that names a unit, so that "120 A each" points at "each".
    let mut breaks = typed
        .match_indices(|c: char| c == ' ' || c.is_ascii_digit())
        .map(|(at, _)| at)
        .rev();
    if let Some(at) = breaks.find(|&at| in_table(&typed[..at], table).is_some()) {
        return Err(ParseError::Trailing {
            found: typed[at..].trim_start().to_owned(),
        });
    }
    if !typed.starts_with(|c: char| c.is_alphabetic() || matches!(c, '"' | '\'' | '°' | '%')) {
        return Err(ParseError::Trailing {
            found: typed.to_owned(),
        });
    }
    let found = typed.to_owned();
    Err(match kind_of(typed) {
        Some(measures) => ParseError::WrongUnit {
            found,
            measures,
            needed,
        },
        None => ParseError::UnknownUnit { found, needed },
    })
}

/// Whether `typed` names a degree without saying of which scale.
pub(super) fn is_bare_degree(typed: &str) -> bool {
    names(BARE_DEGREE, typed)
}

fn in_table<Q>(typed: &str, table: Table<Q>) -> Option<fn(f64) -> Q> {
    table
        .iter()
        .find(|(known, _)| names(known, typed))
        .map(|&(_, make)| make)
}

/// The kind that a unit measures, for any unit of any table.
fn kind_of(typed: &str) -> Option<Kind> {
    fn has<Q>(table: Table<Q>, typed: &str) -> bool {
        in_table(typed, table).is_some()
    }
    let kinds = [
        (Kind::Length, has(LENGTH, typed)),
        (Kind::Speed, has(SPEED, typed)),
        (Kind::Current, has(CURRENT, typed)),
        (Kind::Voltage, has(VOLTAGE, typed)),
        (Kind::Resistance, has(RESISTANCE, typed)),
        (Kind::Power, has(POWER, typed)),
        (Kind::Time, has(TIME, typed)),
        (
            Kind::Temperature,
            has(TEMPERATURE, typed) || is_bare_degree(typed),
        ),
        (Kind::Turns, has(TURNS, typed)),
        (Kind::Percent, has(PERCENT, typed)),
    ];
    kinds.iter().find(|(_, has)| *has).map(|&(kind, _)| kind)
}

/// Whether `typed` is one of the `known` names, whatever its case, blanks and points ("R.P.M.", "k rpm").
fn names(known: &[&str], typed: &str) -> bool {
    let spelled = || {
        typed
            .chars()
            .filter(|c| !matches!(c, ' ' | '.'))
            .map(|c| c.to_ascii_lowercase())
    };
    known.iter().any(|name| spelled().eq(name.chars()))
}
