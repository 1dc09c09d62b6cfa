//! The units that people type, one table per kind of quantity.
//!
//! A unit turns a number into the plain SI value of the `uom` quantity that a number of it is. Plain, so that all kinds
//! share one parser in the app that phones download; the typed quantity is made again at the end of it.

use super::{Kind, ParseError};
use crate::quantity::{
    ThermodynamicTemperature, amps, celsius, fahrenheit, fahrenheit_degrees, feet, horsepower,
    hours, inch, kelvins, meters, milliohms, minutes, mm, ohms, percent, rpm, seconds, turns,
    volts, watts,
};
use uom::si::thermodynamic_temperature::kelvin;

/// From a number of some unit to the SI value.
pub(super) type ToSi = fn(f64) -> f64;

/// The names of one unit, in lower case without blanks or points, and what a number of it is.
type Unit = (&'static [&'static str], ToSi);

const LENGTH: &[Unit] = &[
    (
        &[
            "in", "\"", "''", "inch", "inches", "pulg", "pulgada", "pulgadas",
        ],
        |number| inch(number).value,
    ),
    (
        &[
            "mm",
            "millimeter",
            "millimeters",
            "millimetre",
            "millimetres",
        ],
        |number| mm(number).value,
    ),
    (
        &[
            "cm",
            "centimeter",
            "centimeters",
            "centimetre",
            "centimetres",
        ],
        |number| mm(number * 10.0).value,
    ),
    (&["ft", "'", "foot", "feet", "pie", "pies"], |number| {
        feet(number).value
    }),
    (&["m", "meter", "meters", "metre", "metres"], |number| {
        meters(number).value
    }),
];

const SPEED: &[Unit] = &[
    (
        &[
            "rpm", "r/min", "rev/min", "revs/min", "1/min", "/min", "min-1", "min^-1", "min⁻¹",
            "revs",
        ],
        |number| rpm(number).value,
    ),
    (&["k", "krpm"], |number| rpm(number * 1000.0).value),
];

const CURRENT: &[Unit] = &[(&["a", "amp", "amps", "ampere", "amperes"], |number| {
    amps(number).value
})];

const VOLTAGE: &[Unit] = &[
    (&["v", "volt", "volts", "vdc"], |number| volts(number).value),
    (&["mv", "millivolt", "millivolts"], |number| {
        volts(number / 1000.0).value
    }),
];

// A capital M is read as milli too: phones put capitals where they like, and no part of a charging system is a megohm.
const RESISTANCE: &[Unit] = &[
    (
        &["mohm", "mΩ", "mohms", "milliohm", "milliohms"],
        |number| milliohms(number).value,
    ),
    (&["ohm", "Ω", "ohms", "r"], |number| ohms(number).value),
];

const POWER: &[Unit] = &[
    (&["w", "watt", "watts"], |number| watts(number).value),
    (&["kw", "kilowatt", "kilowatts"], |number| {
        watts(number * 1000.0).value
    }),
    (&["hp", "horsepower"], |number| horsepower(number).value),
];

const TIME: &[Unit] = &[
    (
        &["s", "sec", "secs", "second", "seconds", "seg", "segundos"],
        |number| seconds(number).value,
    ),
    (
        &["min", "mins", "minute", "minutes", "minuto", "minutos"],
        |number| minutes(number).value,
    ),
    (
        &["h", "hr", "hrs", "hour", "hours", "hora", "horas"],
        |number| hours(number).value,
    ),
    (&["ms", "millisecond", "milliseconds"], |number| {
        seconds(number / 1000.0).value
    }),
];

const TEMPERATURE: &[Unit] = &[
    (&["°c", "c", "degc", "celsius"], |number| {
        celsius(number).value
    }),
    (&["°f", "f", "degf", "fahrenheit"], |number| {
        fahrenheit(number).value
    }),
    (&["k", "kelvin"], |number| {
        ThermodynamicTemperature::new::<kelvin>(number).value
    }),
];

const TEMPERATURE_INTERVAL: &[Unit] = &[
    (
        &["k", "kelvin", "kelvins", "°c", "c", "degc", "celsius"],
        |number| kelvins(number).value,
    ),
    (&["°f", "f", "degf", "fahrenheit"], |number| {
        fahrenheit_degrees(number).value
    }),
];

const TURNS: &[Unit] = &[(
    &[
        "turn",
        "turns",
        "rev",
        "revs",
        "revolution",
        "revolutions",
        "vuelta",
        "vueltas",
    ],
    |number| turns(number).value,
)];

const PERCENT: &[Unit] = &[(&["%", "pct", "percent"], |number| percent(number).value)];

const ROAD_SPEED: &[Unit] = &[
    (&["mph", "mi/h"], |number| number * 0.44704),
    (&["km/h", "kmh", "kph"], |number| number / 3.6),
    (&["m/s", "mps"], |number| number),
];

// What has no quantity of `uom` here is held in the unit of the car file: Ah, L/h, mH.
const CAPACITY: &[Unit] = &[(&["ah", "amphours", "amphour"], |number| number)];

/// Gasoline, kg/L (from memory): what a pump rated by weight moves.
const GASOLINE_KG_PER_L: f64 = 0.74;

const FLOW: &[Unit] = &[
    (&["l/h", "lph", "l/hr"], |number| number),
    (&["gal/h", "gph", "gal/hr"], |number| number * 3.785_411_784),
    (&["lb/h", "lbs/h", "lb/hr", "lbs/hr", "pph"], |number| {
        number * 0.453_592_37 / GASOLINE_KG_PER_L
    }),
];

const INDUCTANCE: &[Unit] = &[(&["mh", "millihenry"], |number| number)];

const ANGLE: &[Unit] = &[(&["°", "deg", "degree", "degrees"], |number| number)];

const FORCE: &[Unit] = &[
    (&["n", "newton", "newtons"], |number| number),
    (&["lbf", "lb", "lbs", "pounds"], |number| {
        number * 4.448_221_615_260_5
    }),
];

const FREQUENCY: &[Unit] = &[(&["hz", "hertz", "1/s"], |number| number)];

const fn table(kind: Kind) -> &'static [Unit] {
    match kind {
        Kind::Length | Kind::Distance | Kind::Fine => LENGTH,
        Kind::Speed => SPEED,
        Kind::Current => CURRENT,
        Kind::Voltage | Kind::Drop => VOLTAGE,
        Kind::Resistance | Kind::Ohms => RESISTANCE,
        Kind::Power => POWER,
        Kind::Time | Kind::Milliseconds | Kind::Minutes | Kind::Hours => TIME,
        Kind::Temperature => TEMPERATURE,
        Kind::TemperatureInterval => TEMPERATURE_INTERVAL,
        Kind::Turns => TURNS,
        Kind::Percent => PERCENT,
        Kind::RoadSpeed => ROAD_SPEED,
        Kind::Capacity => CAPACITY,
        Kind::Flow => FLOW,
        Kind::Inductance => INDUCTANCE,
        Kind::Angle => ANGLE,
        Kind::Force => FORCE,
        Kind::Frequency => FREQUENCY,
        Kind::Ratio | Kind::Count => &[],
    }
}

/// Finds the unit of the kind `needed` that `typed` names, or says what is wrong with it. `bare` is the unit of a
/// number without one, which a degree of no named scale has too.
pub(super) fn find(typed: &str, needed: Kind, bare: ToSi) -> Result<ToSi, ParseError> {
    let takes_degrees = matches!(needed, Kind::Temperature | Kind::TemperatureInterval);
    if typed.is_empty() || takes_degrees && is_bare_degree(typed) {
        return Ok(bare);
    }
    if let Some(to_si) = in_table(typed, needed) {
        return Ok(to_si);
    }
    // The longest start of the text that names a unit, so that "120 A each" points at "each".
    let mut breaks = typed
        .match_indices(|c: char| c == ' ' || c.is_ascii_digit())
        .map(|(at, _)| at)
        .rev();
    if let Some(at) = breaks.find(|&at| in_table(&typed[..at], needed).is_some()) {
        return Err(ParseError::Trailing {
            found: typed[at..].trim_start().to_owned(),
        });
    }
    // What starts with a digit or a sign is no unit; letters of any alphabet are tried as one.
    if typed.starts_with(|c: char| {
        c.is_ascii() && !c.is_ascii_alphabetic() && !matches!(c, '"' | '\'' | '%')
    }) {
        return Err(ParseError::Trailing {
            found: typed.to_owned(),
        });
    }
    let found = typed.to_owned();
    let measures = Kind::ALL
        .into_iter()
        .find(|&kind| in_table(typed, kind).is_some());
    Err(
        match measures.or(is_bare_degree(typed).then_some(Kind::Temperature)) {
            Some(measures) => ParseError::WrongUnit {
                found,
                measures,
                needed,
            },
            None => ParseError::UnknownUnit { found, needed },
        },
    )
}

/// Whether `typed` names a degree without saying of which scale.
fn is_bare_degree(typed: &str) -> bool {
    names(&["°", "deg", "degree", "degrees"], typed)
}

pub(super) fn in_table(typed: &str, kind: Kind) -> Option<ToSi> {
    table(kind)
        .iter()
        .find(|(known, _)| names(known, typed))
        .map(|&(_, to_si)| to_si)
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
