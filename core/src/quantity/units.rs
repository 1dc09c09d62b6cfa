//! The quantities used, and one short name per unit: a function to make the quantity from a number (`rpm(7000.0)`) and
//! a method to read the number back (`speed.rpm()`). Both convert through `uom`.

pub use uom::si::f64::{
    Angle, ElectricCurrent, ElectricPotential, ElectricalResistance, Length, MomentOfInertia,
    Power, Ratio, TemperatureInterval, ThermodynamicTemperature, Time, Torque,
};

/// Speed of rotation: engine speed, alternator speed. Read and typed in revolutions per minute, held in rad/s.
///
/// Multiplying or dividing by a [`Ratio`] gives a `uom` frequency, since `uom` keeps angles apart; multiply by the
/// ratio's plain number (`ratio.number()`) to stay a speed. Dividing two speeds gives a [`Ratio`].
pub type RotationalSpeed = uom::si::f64::AngularVelocity;

macro_rules! named_units {
    ($(
        $quantity:ident, $reader:ident, $module:ident { $($make:ident / $read:ident = $unit:ident, $text:literal;)+ }
    )+) => {$(
        $(
            #[doc = concat!("The quantity of so many ", $text, ".")]
            #[inline]
            #[must_use]
            pub fn $make(number: f64) -> $quantity {
                $quantity::new::<uom::si::$module::$unit>(number)
            }
        )+

        #[doc = concat!("Reads a [`", stringify!($quantity), "`] back as a plain number.")]
        pub trait $reader {
            $(
                #[doc = concat!("The value in ", $text, ".")]
                #[must_use]
                fn $read(self) -> f64;
            )+
        }

        impl $reader for $quantity {
            $(
                #[inline]
                fn $read(self) -> f64 {
                    self.get::<uom::si::$module::$unit>()
                }
            )+
        }
    )+};
}

named_units! {
    Length, InLength, length {
        mm / mm = millimeter, "millimeters";
        inch / inches = inch, "inches";
        meters / meters = meter, "meters";
        feet / feet = foot, "feet";
    }
    RotationalSpeed, InRotationalSpeed, angular_velocity {
        rpm / rpm = revolution_per_minute, "revolutions per minute";
        rad_per_s / rad_per_s = radian_per_second, "radians per second";
    }
    ElectricCurrent, InElectricCurrent, electric_current {
        amps / amps = ampere, "amperes";
    }
    ElectricPotential, InElectricPotential, electric_potential {
        volts / volts = volt, "volts";
    }
    ElectricalResistance, InElectricalResistance, electrical_resistance {
        ohms / ohms = ohm, "ohms";
        milliohms / milliohms = milliohm, "milliohms";
    }
    Power, InPower, power {
        watts / watts = watt, "watts";
        horsepower / horsepower = horsepower, "mechanical horsepower (550 ft lbf/s)";
    }
    Torque, InTorque, torque {
        newton_meters / newton_meters = newton_meter, "newton meters";
    }
    MomentOfInertia, InMomentOfInertia, moment_of_inertia {
        kg_m2 / kg_m2 = kilogram_square_meter, "kilogram square meters";
    }
    Time, InTime, time {
        seconds / seconds = second, "seconds";
        minutes / minutes = minute, "minutes";
        hours / hours = hour, "hours";
    }
    ThermodynamicTemperature, InThermodynamicTemperature, thermodynamic_temperature {
        celsius / celsius = degree_celsius, "degrees Celsius";
        fahrenheit / fahrenheit = degree_fahrenheit, "degrees Fahrenheit";
    }
    TemperatureInterval, InTemperatureInterval, temperature_interval {
        kelvins / kelvins = kelvin, "kelvins, as a difference";
        fahrenheit_degrees / fahrenheit_degrees = degree_fahrenheit, "Fahrenheit degrees, as a difference";
    }
    Angle, InAngle, angle {
        turns / turns = revolution, "turns";
        radians / radians = radian, "radians";
        degrees / degrees = degree, "degrees of arc";
    }
    Ratio, InRatio, ratio {
        ratio / number = ratio, "ones: a plain number";
        percent / percent = percent, "hundredths";
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(found: f64, wanted: f64) {
        assert!(
            (found - wanted).abs() <= 1e-12 * wanted.abs(),
            "{found} is not {wanted}"
        );
    }

    /// Validation against NIST SP 811 (2008), appendix B.8: the inch is 25.4 mm and the foot 304.8 mm exactly, the
    /// horsepower 7.456 999 E+02 W as printed.
    #[test]
    fn units_agree_with_their_definitions() {
        near(inch(2.25).mm(), 57.15);
        near(feet(1.0).mm(), 304.8);
        near(rpm(60.0).rad_per_s(), std::f64::consts::TAU);
        near(horsepower(1.0).watts(), 745.699_9);
        near(celsius(100.0).fahrenheit(), 212.0);
        near(kelvins(100.0).fahrenheit_degrees(), 180.0);
        near(milliohms(5.0).ohms(), 0.005);
        near(turns(0.5).degrees(), 180.0);
        near(percent(50.0).number(), 0.5);
    }

    #[test]
    fn speed_ratio_is_dimensionless() {
        let over: Ratio = rpm(15_000.0) / rpm(6_000.0);
        near(over.number(), 2.5);
    }
}
