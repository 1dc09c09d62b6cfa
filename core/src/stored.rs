//! How quantities are stored: plain numbers whose field name carries the unit.
//!
//! Each module is a `#[serde(with = "...")]` adapter for one unit; those named `opt_…`
//! are for absent values. A number that is not finite is refused.
//! They stay functions of their own: put into each of dozens of fields they would be much code.

macro_rules! stored_as {
    ($($name:ident / $opt:ident: $quantity:ident, $make:path, $trait:ident :: $read:ident;)+) => {$(
        #[doc = concat!("Stored in ", stringify!($name), ".")]
        pub mod $name {
            use serde::{Deserialize, Deserializer, Serialize, Serializer, de::Error};
            use crate::quantity::{$quantity, $trait};

            /// Writes the plain number.
            ///
            /// # Errors
            /// Whatever the serializer says.
            #[inline(never)]
            #[allow(clippy::trivially_copy_pass_by_ref)]
            pub fn serialize<S: Serializer>(value: &$quantity, to: S) -> Result<S::Ok, S::Error> {
                super::tidy($trait::$read(*value)).serialize(to)
            }

            /// Reads the plain number.
            ///
            /// # Errors
            /// When it is no finite number.
            #[inline(never)]
            pub fn deserialize<'de, D: Deserializer<'de>>(from: D) -> Result<$quantity, D::Error> {
                let number = f64::deserialize(from)?;
                if number.is_finite() { Ok($make(number)) } else { Err(D::Error::custom("not a finite number")) }
            }
        }

        #[doc = concat!("Stored in ", stringify!($name), ", or absent.")]
        pub mod $opt {
            use serde::{Deserialize, Deserializer, Serialize, Serializer, de::Error};
            use crate::quantity::{$quantity, $trait};

            /// Writes the plain number, or null.
            ///
            /// # Errors
            /// Whatever the serializer says.
            #[inline(never)]
            #[allow(clippy::ref_option)]
            pub fn serialize<S: Serializer>(value: &Option<$quantity>, to: S) -> Result<S::Ok, S::Error> {
                value.map(|value| super::tidy($trait::$read(value))).serialize(to)
            }

            /// Reads the plain number, or null.
            ///
            /// # Errors
            /// When it is neither.
            #[inline(never)]
            pub fn deserialize<'de, D: Deserializer<'de>>(from: D) -> Result<Option<$quantity>, D::Error> {
                match Option::<f64>::deserialize(from)? {
                    None => Ok(None),
                    Some(number) if number.is_finite() => Ok(Some($make(number))),
                    Some(_) => Err(D::Error::custom("not a finite number")),
                }
            }
        }
    )+};
}

stored_as! {
    mm / opt_mm: Length, crate::quantity::mm, InLength::mm;
    rpm / opt_rpm: RotationalSpeed, crate::quantity::rpm, InRotationalSpeed::rpm;
    amps / opt_amps: ElectricCurrent, crate::quantity::amps, InElectricCurrent::amps;
    volts / opt_volts: ElectricPotential, crate::quantity::volts, InElectricPotential::volts;
    celsius / opt_celsius: ThermodynamicTemperature, crate::quantity::celsius, InThermodynamicTemperature::celsius;
}

/// Rounds away what unit conversion leaves behind the ninth decimal, so that a file
/// reads `57.15` and saving twice gives the same bytes.
pub(crate) fn tidy(number: f64) -> f64 {
    let scaled = (number * 1e9).round() / 1e9;
    if scaled.is_finite() { scaled } else { number }
}
