//! What the car says about its log; all of it may be unknown.

use serde::{Deserialize, Serialize};

use crate::battery::Chemistry;
use crate::car::{Alternator, Car, Drive, RatingBy};
use crate::choose::candidate;
use crate::data::memory::{FAN_INSIDE, FAN_OUTSIDE};
use crate::drive::Pulley;
use crate::gates::{GateId, judged_rpm};
use crate::quantity::{InElectricPotential, System, amps, mm, rpm};
use crate::resolve::{Limits, Pulleys, Resolved};
use crate::tolerance::{Own, Spread95, Tolerances};
use crate::wiring::Place;

/// A number with its 95 % half-width.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Within {
    /// The number.
    pub value: f64,
    /// How far off it may be, either way.
    pub half_width: f64,
}

/// What the car says about its log.
#[derive(Clone, Debug, PartialEq)]
pub struct Known {
    /// Alternator turns for one engine turn with the fitted pulleys, without slip.
    pub ratio: Option<Within>,
    /// The same with the pulley to try.
    pub tried_ratio: Option<Within>,
    /// Speed limits of the alternator; assumed ones where the car says nothing.
    pub limits: Limits,
    /// What the battery is made of, where entered.
    pub chemistry: Option<Chemistry>,
    /// Nominal voltage over 12 V.
    pub scale: f64,
    /// Voltage that the regulator holds, where entered, V.
    pub set_point_v: Option<f64>,
    /// Where the voltage is read, where entered.
    pub place: Option<Place>,
    /// What the logger shows over what is there, where it was held against a meter, V.
    pub offset_v: Option<f64>,
    /// Air of the day, where entered, degrees Celsius.
    pub air_c: Option<f64>,
}

/// What stands in for entries that neither ratio nor limits rest on.
const STAND_IN_RPM: (f64, f64) = (7_000.0, 900.0);

impl Known {
    /// Nothing at all: a 12 V car without a single entry.
    pub fn nothing() -> Self {
        Self::of(&Car::new("", System::Metric))
    }

    /// What this car says, as far as it goes: it need not be complete.
    ///
    /// ```
    /// use laneside_core::{car::demo, log::Known};
    ///
    /// let known = Known::of(&demo::nettle());
    /// assert!(known.ratio.is_some_and(|ratio| (2.5..3.1).contains(&ratio.value)));
    /// assert!(Known::nothing().ratio.is_none());
    /// ```
    pub fn of(car: &Car) -> Self {
        let whole = filled(car);
        let tolerances = Resolved::new(&whole).ok().map(Tolerances::new);
        let ratio = |pulleys: Pulleys, own: Option<Own>| {
            let spread = tolerances.as_ref()?.of(own, |state| {
                judged_rpm(GateId::Continuous, state, pulleys) / state.params.limiter_rpm
            });
            Some(within(&spread))
        };
        let tried = car.drive.tried.as_ref().and_then(|tried| {
            let tried = candidate(&whole, tried);
            ratio(tried.pulleys, tried.own)
        });
        let (battery, wiring) = (&car.battery, &car.wiring);
        Self {
            ratio: ratio(Pulleys::ON_CAR, None),
            tried_ratio: tried,
            limits: limits(&whole),
            chemistry: battery.chemistry,
            scale: car.alternator.nominal.scale(),
            set_point_v: car.alternator.set_point.map(|volts| volts.volts()),
            place: wiring.read_at,
            offset_v: wiring
                .shown_v
                .zip(wiring.meter_v)
                .map(|(shown, meter)| shown - meter),
            air_c: car.day.ambient_c,
        }
    }
}

fn within(spread: &Spread95) -> Within {
    Within {
        value: spread.value,
        half_width: spread.spread.widest(),
    }
}

/// The car with what neither ratio nor limits rest on filled in.
fn filled(car: &Car) -> Car {
    let mut whole = car.clone();
    let (limiter, idle) = STAND_IN_RPM;
    whole.engine.limiter.get_or_insert(rpm(limiter));
    whole.engine.idle.get_or_insert(rpm(idle));
    whole.alternator = Alternator {
        rating_by: RatingBy::OneNumber,
        rated: Some(amps(100.0)),
        ..whole.alternator
    };
    whole
}

/// The limits do not rest on the pulleys.
fn limits(whole: &Car) -> Limits {
    let driven = Car {
        drive: Drive {
            crank: Some(Pulley::called(mm(150.0))),
            fitted: Some(Pulley::called(mm(60.0))),
            ..Drive::default()
        },
        ..whole.clone()
    };
    Resolved::new(&driven).map_or(
        Limits {
            continuous: (FAN_OUTSIDE.continuous.0, FAN_INSIDE.continuous.1),
            short: (FAN_OUTSIDE.short.0, FAN_INSIDE.short.1),
            assumed: true,
            fan_unknown: true,
        },
        |resolved| resolved.limits,
    )
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::car::demo;
    use crate::quantity::inch;

    #[test]
    fn a_car_says_what_it_can() {
        let nothing = Known::nothing();
        assert!(nothing.limits.assumed && nothing.ratio.is_none() && nothing.scale == 1.0);
        let mut car = demo::nettle();
        car.drive.tried = Some(Pulley::called(inch(3.5)));
        car.engine.idle = None;
        car.alternator.rated = None;
        let known = Known::of(&car);
        let (fitted, tried) = (known.ratio.unwrap(), known.tried_ratio.unwrap());
        // Caliper over 6.5 in, called 2.25 and 3.5 in, each with its pitch line.
        assert!((fitted.value - 169.55 / 61.15).abs() < 1e-9, "{fitted:?}");
        assert!((tried.value - 169.55 / 92.9).abs() < 1e-9);
        assert!(fitted.half_width > 0.1 && tried.half_width > 0.05);
        assert_eq!(known.limits.continuous, (15_000.0, 18_000.0));
        car.drive.crank = None;
        assert_eq!(Known::of(&car).ratio, None);
        assert_eq!(Known::of(&car).limits.continuous, (15_000.0, 18_000.0));
    }
}
