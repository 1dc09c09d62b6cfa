//! Units as logs write them.

use serde::{Deserialize, Serialize};

/// A unit that a channel may be recorded in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Unit {
    /// Revolutions per minute.
    Rpm,
    /// Thousands of revolutions per minute.
    KiloRpm,
    /// Revolutions per second.
    RevPerSecond,
    /// Radians per second.
    RadianPerSecond,
    /// Volts.
    Volt,
    /// Tenths of a volt.
    Decivolt,
    /// Hundredths of a volt.
    Centivolt,
    /// Thousandths of a volt.
    Millivolt,
    /// Amperes.
    Ampere,
    /// Thousandths of an ampere.
    Milliampere,
    /// Hundredths.
    Percent,
    /// One is all.
    Fraction,
    /// Meters per second.
    MeterPerSecond,
    /// Kilometers per hour.
    KilometerPerHour,
    /// Miles per hour.
    MilePerHour,
    /// Nautical miles per hour.
    Knot,
    /// Feet per second.
    FootPerSecond,
    /// Degrees Celsius.
    Celsius,
    /// Degrees Fahrenheit.
    Fahrenheit,
    /// Kelvin.
    Kelvin,
}

impl Unit {
    /// As one writes it.
    #[must_use]
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Rpm => "rpm",
            Self::KiloRpm => "rpm x 1000",
            Self::RevPerSecond => "rev/s",
            Self::RadianPerSecond => "rad/s",
            Self::Volt => "V",
            Self::Decivolt => "V / 10",
            Self::Centivolt => "V / 100",
            Self::Millivolt => "mV",
            Self::Ampere => "A",
            Self::Milliampere => "mA",
            Self::Percent => "%",
            Self::Fraction => "of 1",
            Self::MeterPerSecond => "m/s",
            Self::KilometerPerHour => "km/h",
            Self::MilePerHour => "mph",
            Self::Knot => "kn",
            Self::FootPerSecond => "ft/s",
            Self::Celsius => "°C",
            Self::Fahrenheit => "°F",
            Self::Kelvin => "K",
        }
    }

    /// The value in what a [`Recording`](super::Recording) holds: rpm, V, A, a part of one, m/s or degrees C.
    #[must_use]
    pub fn to_held(self, value: f64) -> f64 {
        match self {
            Self::Rpm | Self::Volt | Self::Ampere | Self::Fraction => value,
            Self::MeterPerSecond | Self::Celsius => value,
            Self::KiloRpm => value * 1_000.0,
            Self::RevPerSecond => value * 60.0,
            Self::RadianPerSecond => value * 30.0 / std::f64::consts::PI,
            Self::Decivolt => value / 10.0,
            Self::Centivolt | Self::Percent => value / 100.0,
            Self::Millivolt | Self::Milliampere => value / 1_000.0,
            Self::KilometerPerHour => value / 3.6,
            Self::MilePerHour => value * 0.447_04,
            Self::Knot => value * 1_852.0 / 3_600.0,
            Self::FootPerSecond => value * 0.304_8,
            Self::Fahrenheit => (value - 32.0) / 1.8,
            Self::Kelvin => value - 273.15,
        }
    }

    /// The unit that this text names, if it is one of these. `1/min` is always revolutions per minute here.
    #[must_use]
    pub fn named(text: &str) -> Option<Self> {
        let plain = plain(text);
        let exact = match plain.as_str() {
            // Case tells a unit from another.
            "mV" => Some(Self::Millivolt),
            "mA" => Some(Self::Milliampere),
            "K" => Some(Self::Kelvin),
            _ => None,
        };
        exact.or_else(|| {
            Some(match plain.to_lowercase().as_str() {
                "rpm" | "1/min" | "/min" | "min-1" | "min^-1" | "min⁻¹" | "r/min" | "rev/min"
                | "u/min" | "upm" | "tr/min" | "giri/min" | "g/min" | "revs/min" | "rev./min"
                | "revs" | "revolutions/min" | "t/min" | "v/min" | "rpms" => Self::Rpm,
                "rpmx1000" | "x1000rpm" | "1000rpm" | "rpm*1000" | "krpm" | "1000/min"
                | "1000xrpm" | "rpm×1000" | "×1000rpm" | "rpm(x1000)" | "1000*rpm"
                | "1000r/min" | "rpmx1k" => Self::KiloRpm,
                "hz" | "rev/s" | "1/s" | "rps" | "r/s" | "u/s" => Self::RevPerSecond,
                "rad/s" | "rad/sec" => Self::RadianPerSecond,
                "v" | "volt" | "volts" | "vdc" | "vdc." | "voltios" | "voltio" | "v.dc" => {
                    Self::Volt
                }
                "v/10" | "v*10" | "vx10" | "dv" | "0.1v" => Self::Decivolt,
                "v/100" | "v*100" | "vx100" | "cv" | "0.01v" => Self::Centivolt,
                "mv" | "millivolt" | "millivolts" | "v/1000" | "vx1000" | "0.001v" => {
                    Self::Millivolt
                }
                "a" | "amp" | "amps" | "ampere" | "amperes" | "amperios" | "ampère" | "adc" => {
                    Self::Ampere
                }
                "ma" | "milliamp" | "milliamps" => Self::Milliampere,
                "%" | "pct" | "percent" | "prozent" | "perc" => Self::Percent,
                "m/s" | "mps" | "m/sec" | "ms-1" => Self::MeterPerSecond,
                "km/h" | "kph" | "kmh" | "kmph" | "km/hr" | "k/h" => Self::KilometerPerHour,
                "mph" | "mi/h" | "miles/h" | "mile/h" => Self::MilePerHour,
                "kn" | "kt" | "kts" | "knot" | "knots" => Self::Knot,
                "ft/s" | "fps" | "ft/sec" => Self::FootPerSecond,
                "c" | "°c" | "degc" | "deg.c" | "celsius" | "℃" | "gradc" | "ºc" => {
                    Self::Celsius
                }
                "f" | "°f" | "degf" | "deg.f" | "fahrenheit" | "℉" | "ºf" => Self::Fahrenheit,
                "kelvin" | "degk" => Self::Kelvin,
                _ => return None,
            })
        })
    }
}

/// Without blanks, and in no brackets.
fn plain(text: &str) -> String {
    let text = text.trim();
    let bare = |open: char, close: char| {
        text.strip_prefix(open)
            .and_then(|text| text.strip_suffix(close))
    };
    let text = bare('[', ']')
        .or_else(|| bare('(', ')'))
        .or_else(|| bare('{', '}'))
        .or_else(|| bare('<', '>'))
        .unwrap_or(text);
    text.chars()
        .filter(|c| !c.is_whitespace() && *c != '_')
        .collect()
}

/// Whether the text is written as units are, of whatever quantity.
#[must_use]
pub fn is_unit(text: &str) -> bool {
    let plain = plain(text);
    Unit::named(&plain).is_some()
        || matches!(
            plain.to_lowercase().as_str(),
            "s" | "sec"
                | "secs"
                | "second"
                | "seconds"
                | "ms"
                | "msec"
                | "us"
                | "µs"
                | "μs"
                | "ns"
                | "min"
                | "mins"
                | "h"
                | "hr"
                | "hrs"
                | "h:m:s"
                | "hh:mm:ss"
                | "hh:mm:ss.sss"
                | "segundos"
                | "sekunden"
                | "secondes"
                | "secondi"
                | "millis"
                | "milliseconds"
                | "bar"
                | "mbar"
                | "kpa"
                | "pa"
                | "hpa"
                | "mpa"
                | "psi"
                | "psig"
                | "psia"
                | "inhg"
                | "mmhg"
                | "g"
                | "gs"
                | "m/s2"
                | "m/s^2"
                | "m/s²"
                | "deg"
                | "degree"
                | "degrees"
                | "°"
                | "rad"
                | "°ca"
                | "btdc"
                | "degbtdc"
                | "deg/s"
                | "°/s"
                | "nm"
                | "n·m"
                | "lbft"
                | "lb-ft"
                | "ft-lb"
                | "lb.ft"
                | "m"
                | "km"
                | "mi"
                | "ft"
                | "in"
                | "mm"
                | "cm"
                | "mile"
                | "miles"
                | "feet"
                | "inch"
                | "kw"
                | "w"
                | "hp"
                | "ps"
                | "cv"
                | "bhp"
                | "kg"
                | "lb"
                | "lbs"
                | "g/s"
                | "kg/h"
                | "lb/min"
                | "cc/min"
                | "l/h"
                | "gal/h"
                | "l"
                | "gal"
                | "cc"
                | "ml"
                | "lambda"
                | "λ"
                | "afr"
                | "a/f"
                | "ohm"
                | "ohms"
                | "ω"
                | "kohm"
                | "ah"
                | "mah"
                | "wh"
                | "kwh"
                | "khz"
                | "n"
                | "kn"
                | "db"
                | "dba"
                | "ppm"
                | "-"
                | "--"
                | "n/a"
                | "none"
                | "bit"
                | "bits"
                | "bool"
                | "boolean"
                | "raw"
                | "count"
                | "counts"
                | "#"
                | "enum"
                | "flag"
                | "state"
                | "on/off"
                | "0/1"
                | "gear"
                | "lap"
                | "number"
                | "no"
                | "no."
                | "1"
                | "ratio"
                | "x"
                | "unitless"
                | "string"
                | "text"
                | "float"
                | "int"
                | "utc"
                | "date"
                | "us/cm"
                | "mg"
                | "mg/stroke"
                | "volts/s"
                | "v/s"
                | "rpm/s"
                | "km/h/s"
                | "index"
        )
}

/// Whether a unit is one of time, and then how many seconds.
#[must_use]
pub fn time_unit(text: &str) -> Option<super::read::TimeUnit> {
    use super::read::TimeUnit;
    Some(match plain(text).to_lowercase().trim_end_matches('.') {
        "us" | "µs" | "μs" | "usec" | "micros" | "microseconds" | "microsecond" => {
            TimeUnit::Microseconds
        }
        "ms" | "msec" | "msecs" | "millis" | "milliseconds" | "millisecond" | "milisegundos"
        | "millisekunden" | "millisecondes" | "millisecondi" => TimeUnit::Milliseconds,
        "s" | "sec" | "secs" | "second" | "seconds" | "segundos" | "seg" | "sekunden" | "sek"
        | "secondes" | "secondi" => TimeUnit::Seconds,
        "min" | "mins" | "minute" | "minutes" | "minutos" | "minuten" | "minuti" => {
            TimeUnit::Minutes
        }
        "h" | "hr" | "hrs" | "hour" | "hours" => TimeUnit::Hours,
        "d" | "day" | "days" => TimeUnit::Days,
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_are_known_however_written() {
        for (text, unit) in [
            ("RPM", Unit::Rpm),
            ("[1/min]", Unit::Rpm),
            ("min^-1", Unit::Rpm),
            ("RPM x1000", Unit::KiloRpm),
            (" rpm * 1000 ", Unit::KiloRpm),
            ("mV", Unit::Millivolt),
            ("(V)", Unit::Volt),
            ("Volts", Unit::Volt),
            ("mA", Unit::Milliampere),
            ("MPH", Unit::MilePerHour),
            ("Km/h", Unit::KilometerPerHour),
            ("kn", Unit::Knot),
            ("deg C", Unit::Celsius),
            ("°F", Unit::Fahrenheit),
            ("K", Unit::Kelvin),
            ("%", Unit::Percent),
        ] {
            assert_eq!(Unit::named(text), Some(unit), "{text}");
            assert!(is_unit(text), "{text}");
        }
        assert_eq!(Unit::named("kPa"), None);
        assert!(is_unit("kPa") && is_unit("[ms]") && !is_unit("Engine"));
    }

    /// Definitions: the international mile is 1609.344 m, the nautical mile 1852 m, the foot 0.3048 m (exact by
    /// definition: yard and pound agreement of 1959, BIPM's SI Brochure for the nautical mile); 0 °C is 273.15 K.
    #[test]
    fn values_become_held_ones() {
        for (unit, from, to) in [
            (Unit::MilePerHour, 60.0, 26.8224),
            (Unit::Knot, 1.0, 0.514_444_444),
            (Unit::FootPerSecond, 1.0, 0.3048),
            (Unit::KilometerPerHour, 36.0, 10.0),
            (Unit::Fahrenheit, 212.0, 100.0),
            (Unit::Kelvin, 273.15, 0.0),
            (Unit::RadianPerSecond, 104.719_755_1, 1_000.0),
            (Unit::RevPerSecond, 100.0, 6_000.0),
            (Unit::KiloRpm, 6.5, 6_500.0),
            (Unit::Millivolt, 13_840.0, 13.84),
            (Unit::Decivolt, 138.0, 13.8),
            (Unit::Centivolt, 1_384.0, 13.84),
            (Unit::Percent, 50.0, 0.5),
        ] {
            assert!((unit.to_held(from) - to).abs() < 1e-6, "{unit:?}");
        }
    }
}
