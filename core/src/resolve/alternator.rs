//! Output, set-point, heat and speed limits of the alternator.

use super::inputs::{Builder, InputId};
use crate::alternator::{Curve, CurveError, Excitation, Fan};
use crate::car::{Car, RatingBy};
use crate::data::memory::LimitRange;
use crate::data::{common_practice, iso_8854, memory, set_point_band, tm_9_2320};
use crate::finding::{Provenance, Unit};
use crate::quantity::{
    InElectricCurrent, InElectricPotential, InRotationalSpeed, InThermodynamicTemperature,
};

/// Regulator temperature at which the assumed set-point is read off the band, degrees C: a
/// cool one asks for the highest voltage, which costs the most output.
const SET_POINT_BAND_AT_C: f64 = 20.0;

/// Speed limits with both ends where they are assumed, alternator rpm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// Continuous: low and high end, equal where entered.
    pub continuous: (f64, f64),
    /// Short-time: low and high end, equal where entered.
    pub short: (f64, f64),
    /// Whether they stand in for a maker's figure.
    pub assumed: bool,
    /// Whether even the place of the fan is unknown.
    pub fan_unknown: bool,
}

/// The output curve, as far as it is fixed.
#[derive(Clone, Debug)]
pub(super) enum Rated {
    /// Rated output alone: low output is a fraction of it.
    OneNumber {
        rated_a: f64,
        rated_rpm: f64,
        low_rpm: f64,
    },
    /// Known at two points or more.
    Known(Curve),
}

pub(super) fn output(car: &Car, to: &mut Builder) -> Result<Rated, CurveError> {
    let alternator = &car.alternator;
    let rated_a = alternator.rated.map_or(0.0, |amps| amps.amps());
    let rated_rpm = alternator
        .rated_speed
        .map_or(iso_8854::RATED_SPEED_RPM, |speed| speed.rpm());
    let low_rpm = alternator
        .low_speed
        .map_or(iso_8854::LOW_SPEED_RPM, |speed| speed.rpm());
    let rated = match alternator.rating_by {
        RatingBy::OneNumber => {
            to.ranged(
                InputId::LowFraction,
                memory::LOW_OUTPUT_FRACTION,
                Unit::Ratio,
                Provenance::Assumed,
                memory::SOURCE,
            );
            Rated::OneNumber {
                rated_a,
                rated_rpm,
                low_rpm,
            }
        }
        RatingBy::Pair => {
            let low_a = alternator.low.map_or(0.0, |amps| amps.amps());
            Rated::Known(Curve::pair((low_rpm, low_a), (rated_rpm, rated_a))?)
        }
        RatingBy::Points => {
            let points: Vec<(f64, f64)> = alternator
                .points
                .iter()
                .map(|point| (point.speed.rpm(), point.current.amps()))
                .collect();
            Rated::Known(Curve::points(&points)?)
        }
    };
    let (provenance, source) = (Provenance::Assumed, memory::SOURCE);
    to.ranged(
        InputId::OutputScale,
        memory::RATED_OUTPUT_SCALE,
        Unit::Ratio,
        provenance,
        source,
    );
    to.ranged(
        InputId::LowForm,
        memory::LOW_SPEED_FORM,
        Unit::Ratio,
        provenance,
        source,
    );
    to.ranged(
        InputId::FieldExponent,
        memory::FIELD_EXPONENT,
        Unit::Ratio,
        provenance,
        source,
    );
    match alternator.excitation {
        Some(Excitation::ExciteWire) => to.params.excite_factor = 1.0,
        _ => to.ranged(
            InputId::ExciteFactor,
            memory::SELF_EXCITE_FACTOR,
            Unit::Ratio,
            provenance,
            tm_9_2320::SELF_EXCITE_SOURCE,
        ),
    }
    Ok(rated)
}

/// Voltage of the rating. Standards rate 12 V machines; one for 16 V may have been rated
/// like them, or at its own voltage.
pub(super) fn test_voltage(car: &Car, nominal_scale: f64, to: &mut Builder) {
    let standard = iso_8854::TEST_VOLTAGE_V;
    match car.alternator.test_voltage {
        Some(volts) => to.params.test_v = volts.volts(),
        None if nominal_scale > 1.0 => to.ranged(
            InputId::TestVoltage,
            memory::Default {
                value: (standard + standard * nominal_scale) / 2.0,
                lowest: standard,
                highest: standard * nominal_scale,
            },
            Unit::Volt,
            Provenance::Assumed,
            memory::SOURCE,
        ),
        None => to.params.test_v = standard,
    }
}

pub(super) fn conditions(car: &Car, nominal_scale: f64, to: &mut Builder) {
    let alternator = &car.alternator;
    match alternator.set_point {
        Some(volts) => {
            to.symmetric(
                InputId::SetPoint,
                volts.volts(),
                common_practice::METER_V,
                Unit::Volt,
                Provenance::Entered,
                common_practice::SOURCE,
            );
        }
        None => {
            let (lowest, highest) = set_point_band::band_v(SET_POINT_BAND_AT_C);
            let band = memory::Default {
                value: (lowest + highest) / 2.0 * nominal_scale,
                lowest: lowest * nominal_scale,
                highest: highest * nominal_scale,
            };
            to.ranged(
                InputId::SetPoint,
                band,
                Unit::Volt,
                Provenance::Assumed,
                set_point_band::SOURCE,
            );
        }
    }
    match alternator.under_hood {
        Some(air) => to.params.under_hood_c = air.celsius(),
        None => to.ranged(
            InputId::UnderHood,
            memory::UNDER_HOOD_C,
            Unit::Celsius,
            Provenance::Assumed,
            memory::SOURCE,
        ),
    }
}

/// The maker's limits, or what stands in for them.
pub(super) fn limits(car: &Car) -> Limits {
    let alternator = &car.alternator;
    if let Some(limits) = &alternator.limits {
        let continuous = limits.continuous.rpm();
        let short = limits.short.map_or(continuous, |speed| speed.rpm());
        return Limits {
            continuous: (continuous, continuous),
            short: (short, short),
            assumed: false,
            fan_unknown: false,
        };
    }
    let range = match alternator.fan {
        Some(Fan::Outside) => memory::FAN_OUTSIDE,
        Some(Fan::Inside) => memory::FAN_INSIDE,
        Some(Fan::HeavyDuty) => memory::HEAVY_DUTY,
        // Anything with a fan: from the low end of one kind to the high end of the other.
        None => LimitRange {
            continuous: (
                memory::FAN_OUTSIDE.continuous.0,
                memory::FAN_INSIDE.continuous.1,
            ),
            short: (memory::FAN_OUTSIDE.short.0, memory::FAN_INSIDE.short.1),
        },
    };
    Limits {
        continuous: range.continuous,
        short: range.short,
        assumed: true,
        fan_unknown: alternator.fan.is_none(),
    }
}
