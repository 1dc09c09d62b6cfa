//! The value that stands in where nothing was entered, as a field shows it.

use crate::store::Answer;
use laneside_core::car::Car;
use laneside_core::car::entry::{Field, shown};
use laneside_core::data::iso_8854;
use laneside_core::quantity::{amps, celsius, rpm, show, volts};
use laneside_core::resolve::{InputId, Resolved};

/// The number that stands in for a field, without its unit; empty where none does.
pub fn value(answer: &Answer, field: Field) -> String {
    // What was entered needs no stand-in; a car that cannot be studied has none.
    let Ok(study) = &answer.study else {
        return String::new();
    };
    if !shown(&answer.car, field).is_empty() {
        return String::new();
    }
    number(&answer.car, study.tolerances.resolved(), field).unwrap_or_default()
}

fn number(car: &Car, resolved: &Resolved, field: Field) -> Option<String> {
    let params = &resolved.params;
    let speed = |value: f64| show::speed(rpm(value)).number;
    let current = |value: f64| show::current(amps(value)).number;
    let ends = |(low, high): (f64, f64)| {
        if low < high {
            // The thousands of both ends are all that a slot has room for.
            let thousands = |value: f64| show::fixed(value / 1_000.0, 0);
            format!("{}–{}k", thousands(low), thousands(high))
        } else {
            speed(low)
        }
    };
    Some(match field {
        Field::IdleInGear => speed(params.idle_rpm - params.in_gear_drop_rpm),
        Field::Launch => speed(params.launch_rpm),
        Field::Shift => speed(params.shift_rpm),
        Field::Overshoot => speed(params.overshoot_rpm),
        Field::RatedSpeed => speed(iso_8854::RATED_SPEED_RPM),
        Field::LowSpeed => speed(iso_8854::LOW_SPEED_RPM),
        Field::TestVoltage => show::voltage(volts(resolved.test_v())).number,
        Field::Continuous => ends(resolved.limits.continuous),
        Field::Short => ends(resolved.limits.short),
        Field::SetPoint => show::voltage(volts(params.set_point_v)).number,
        Field::UnderHood => show::temperature(celsius(params.under_hood_c), car.units).number,
        Field::Shed => "0".to_owned(),
        Field::LoadTolerance(place) => {
            let load = resolved
                .inputs
                .iter()
                .find(|input| input.id == InputId::Load(place))?;
            current(load.highest - load.value)
        }
        Field::LoadVoltage(_) => show::voltage(volts(resolved.test_v())).number,
        Field::PhaseClampVoltage(_) => show::voltage(volts(params.set_point_v)).number,
        _ => return None,
    })
}
