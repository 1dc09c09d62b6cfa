//! What can be wrong with a typed quantity, and what kinds of quantity there are to be wrong about.

use thiserror::Error;

/// What a field asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Kind {
    /// A diameter, a distance, a length of cable.
    Length,
    /// A speed of rotation.
    Speed,
    /// An electric current.
    Current,
    /// A voltage.
    Voltage,
    /// An electrical resistance.
    Resistance,
    /// A power.
    Power,
    /// A duration.
    Time,
    /// A temperature.
    Temperature,
    /// A difference between two temperatures.
    TemperatureInterval,
    /// A speed ratio.
    Ratio,
    /// A number of turns.
    Turns,
    /// A share in hundredths.
    Percent,
    /// A whole number of things.
    Count,
    /// A length of cable: a bare number is in feet or meters.
    Distance,
    /// A voltage lost on the way, often in millivolts.
    Drop,
    /// An electrical resistance: a bare number is in ohms.
    Ohms,
    /// A duration: a bare number is in milliseconds.
    Milliseconds,
    /// A duration: a bare number is in minutes.
    Minutes,
    /// A duration: a bare number is in hours.
    Hours,
    /// The speed of the car.
    RoadSpeed,
    /// The charge that a battery holds.
    Capacity,
    /// What a fuel pump moves.
    Flow,
    /// An inductance.
    Inductance,
    /// A length to the hundredth of a millimeter: a bore, an offset.
    Fine,
    /// An angle in degrees.
    Angle,
    /// A force.
    Force,
    /// How often something swings.
    Frequency,
}

impl Kind {
    /// All of them, in the order in which a unit of several kinds is explained.
    pub const ALL: [Self; Self::Frequency as usize + 1] = [
        Self::Length,
        Self::Speed,
        Self::Current,
        Self::Voltage,
        Self::Resistance,
        Self::Power,
        Self::Time,
        Self::Temperature,
        Self::TemperatureInterval,
        Self::Ratio,
        Self::Turns,
        Self::Percent,
        Self::Count,
        Self::Distance,
        Self::Drop,
        Self::Ohms,
        Self::Milliseconds,
        Self::Minutes,
        Self::Hours,
        Self::RoadSpeed,
        Self::Capacity,
        Self::Flow,
        Self::Inductance,
        Self::Fine,
        Self::Angle,
        Self::Force,
        Self::Frequency,
    ];

    /// The units that a field of this kind takes, as one writes them; empty for a plain number.
    #[must_use]
    pub const fn units(self) -> &'static [&'static str] {
        match self {
            Self::Length | Self::Distance | Self::Fine => &["in", "mm", "cm", "ft", "m"],
            Self::Speed => &["rpm", "k"],
            Self::Current => &["A"],
            Self::Voltage | Self::Drop => &["V", "mV"],
            Self::Resistance | Self::Ohms => &["mΩ", "Ω"],
            Self::Power => &["W", "kW", "hp"],
            Self::Time | Self::Milliseconds | Self::Minutes | Self::Hours => {
                &["ms", "s", "min", "h"]
            }
            Self::Temperature => &["°F", "°C", "K"],
            Self::TemperatureInterval => &["°F", "°C", "K"],
            Self::Ratio => &[": 1"],
            Self::Turns => &["turns"],
            Self::Percent => &["%"],
            Self::Count => &[],
            Self::RoadSpeed => &["mph", "km/h", "m/s"],
            Self::Capacity => &["Ah"],
            Self::Flow => &["L/h", "gal/h", "lb/h"],
            Self::Inductance => &["mH"],
            Self::Angle => &["°"],
            Self::Force => &["N", "lbf"],
            Self::Frequency => &["Hz"],
        }
    }
}

/// Why a typed text is no quantity of the kind asked for. Each variant is one cause and carries what was found and
/// what is needed; `found` is quoted from the text with its odd characters already made plain.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum ParseError {
    /// Nothing, or only blanks.
    #[error("nothing entered, need a number")]
    Empty,
    /// More text than any quantity needs.
    #[error("found {found} characters, need at most {most}")]
    TooLong {
        /// Characters in the text.
        found: usize,
        /// The most that are read.
        most: usize,
    },
    /// The text does not start with a number, or its points and commas make no sense.
    #[error("found \"{found}\", need a number")]
    NotANumber {
        /// The part that should have been a number.
        found: String,
    },
    /// More digits before the point than the value can hold exactly.
    #[error("found \"{found}\", need at most {most} digits")]
    TooManyDigits {
        /// The number.
        found: String,
        /// The most digits that are read.
        most: usize,
    },
    /// A fraction over zero.
    #[error("found \"{found}\", need something other than zero under the line")]
    ZeroDenominator {
        /// The fraction.
        found: String,
    },
    /// A whole number followed by a fraction that is one or more, such as `2 9/4`.
    #[error("found \"{found}\" after a whole number, need a fraction less than one")]
    ImproperFraction {
        /// The fraction.
        found: String,
    },
    /// A fraction or decimal where things are counted.
    #[error("found \"{found}\", need a whole number of zero or more")]
    NotWhole {
        /// The number.
        found: String,
    },
    /// A unit that is not known at all.
    #[error("found \"{found}\", need {}", Expected(*.needed))]
    UnknownUnit {
        /// The unit.
        found: String,
        /// What the field asks for; [`Kind::units`] lists the units it takes.
        needed: Kind,
    },
    /// A unit of another kind of quantity.
    #[error("found \"{found}\", need {}", Expected(*.needed))]
    WrongUnit {
        /// The unit.
        found: String,
        /// What the unit found would measure.
        measures: Kind,
        /// What the field asks for.
        needed: Kind,
    },
    /// More text after the quantity.
    #[error("found \"{found}\" after the value")]
    Trailing {
        /// The text left over.
        found: String,
    },
    /// A ratio without a one, so that nobody can tell which side is which.
    #[error("found \"{found}\", need 1 on one side, as in 2.4 : 1")]
    RatioWithoutOne {
        /// The ratio.
        found: String,
    },
}

/// The units of a kind, in words.
struct Expected(Kind);

impl std::fmt::Display for Expected {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let units = self.0.units();
        if units.is_empty() {
            return f.write_str("no unit");
        }
        for (at, unit) in units.iter().enumerate() {
            if at > 0 {
                f.write_str(" or ")?;
            }
            f.write_str(unit)?;
        }
        Ok(())
    }
}
