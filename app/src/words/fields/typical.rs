//! What is typical for a field, and where that comes from. The figures are core's own.

use super::{belt, memory, practice, race, supply};
use laneside_core::car::entry::Field;
use laneside_core::data::memory::{self, Default as Ranged, LimitRange};
use laneside_core::data::{common_practice, iso_8854, set_point_band};
use laneside_core::quantity::{System, celsius, show};

/// What is typical for a field; empty where nothing is.
pub fn typical(field: Field, units: System) -> String {
    let number = |value: f64| show::grouped(value, 0);
    let ranged = |range: Ranged, unit: &str, factor: f64| {
        let number = |value: f64| show::grouped(value * factor, 0);
        say!(
            "{} {unit}, {} to {}. {memory}",
            number(range.value),
            number(range.lowest),
            number(range.highest),
            memory = memory()
        )
    };
    let limits = |pick: fn(LimitRange) -> (f64, f64)| {
        let say = |range| {
            let (low, high) = pick(range);
            say!("{} to {}", number(low), number(high))
        };
        say!(
            "{} rpm with the fan inside, {} outside. {memory}",
            say(memory::FAN_INSIDE),
            say(memory::FAN_OUTSIDE),
            memory = memory()
        )
    };
    match field {
        Field::Overshoot => ranged(memory::OVERSHOOT_RPM, "rpm", 1.0),
        Field::IdleInGear => say!(
            "{} rpm under neutral with an automatic, the same with a manual. {practice}",
            number(common_practice::IN_GEAR_DROP_RPM),
            practice = practice()
        ),
        Field::Launch => say!("half the limiter and up. {practice}", practice = practice()),
        Field::Shift => say!(
            "a little under the limiter. {practice}",
            practice = practice()
        ),
        Field::RatedSpeed => format!(
            "{} rpm. {memory}",
            number(iso_8854::RATED_SPEED_RPM),
            memory = memory()
        ),
        Field::Low => ranged(
            memory::LOW_OUTPUT_FRACTION,
            say!("% of the rated amps"),
            100.0,
        ),
        Field::LowSpeed => say!(
            "{} rpm. Published: ISO 8854. The older form reads it at {}.",
            number(iso_8854::LOW_SPEED_RPM),
            number(iso_8854::HANDBOOK_LOW_SPEED_RPM)
        ),
        Field::TestVoltage => say!(
            "{} V. Published: ISO 8854.",
            show::fixed(iso_8854::TEST_VOLTAGE_V, 1)
        ),
        Field::Continuous => limits(|range| range.continuous),
        Field::Short => limits(|range| range.short),
        Field::SetPoint => {
            let (low, high) = set_point_band::band_v(20.0);
            say!(
                "{} to {} V. Published: one carmaker's workshop manual.",
                show::fixed(low, 1),
                show::fixed(high, 1)
            )
        }
        Field::UnderHood => {
            let air = memory::UNDER_HOOD_C;
            let say = |value| show::temperature(celsius(value), units).to_string();
            say!(
                "{}, {} to {}. {memory}",
                say(air.value),
                say(air.lowest),
                say(air.highest),
                memory = memory()
            )
        }
        Field::LoadTolerance(_) => {
            say!("a tenth of the current. {practice}", practice = practice())
        }
        _ => {
            let each = [supply::typical, race::typical, belt::typical];
            let mut each = each.into_iter().map(|typical| typical(field, units));
            each.find(|typical| !typical.is_empty()).unwrap_or_default()
        }
    }
}
