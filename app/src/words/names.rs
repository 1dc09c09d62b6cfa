//! Names of phases, loads, inputs and sizes.

use laneside_core::car::entry::Field;
use laneside_core::car::{Car, EngineState};
use laneside_core::drive::{Measure, Pulley};
use laneside_core::finding::Unit;
use laneside_core::quantity::{Length, System, mm, show};
use laneside_core::resolve::{Blank, Input, InputId};
use laneside_core::wiring::Place;

/// A phase by its own name, else by its built-in one.
pub fn phase(car: &Car, place: usize) -> String {
    let Some(phase) = car.phases.get(place) else {
        return String::new();
    };
    phase
        .name
        .clone()
        .unwrap_or_else(|| phase_id(&phase.id).to_owned())
}

/// Where the car's voltage is read, as it stands in a sentence.
pub fn read_at(car: &Car) -> &'static str {
    say!(match car.wiring.read_at.unwrap_or_default() {
        Place::Stud => "at the alternator",
        Place::Battery => "at the battery",
        Place::EngineComputer => "at the engine computer",
        Place::Dash => "at the dash",
    })
}

/// The built-in name of a phase; its id if it is none of them.
pub fn phase_id(id: &str) -> &str {
    say!(match id {
        "pits" => "pits",
        "warm_up" => "warm-up",
        "lanes" => "staging lanes",
        "burnout" => "burnout",
        "stage" => "stage",
        "pass" => "pass",
        "return_road" => "return road",
        "cool_down" => "cool-down",
        own => return own,
    })
}

/// A load by its built-in name; the person's own words if it is none of them.
pub fn load(name: &str) -> &str {
    say!(match name {
        "fuel_pump" => "fuel pump",
        "fuel_pump_large" => "fuel pump, large",
        "fan" => "fan",
        "water_pump" => "water pump",
        "ignition_discharge" => "ignition, capacitor discharge",
        "ignition_inductive" => "ignition, inductive",
        "engine_control" => "engine control and sensors",
        "injectors" => "injectors",
        "logger_dash" => "logger and dash",
        "transbrake" => "transbrake",
        "nitrous_solenoid" => "nitrous solenoid",
        "brake_lamps" => "brake lamps",
        "other" => "other",
        own => return own,
    })
}

/// What the engine does in a phase.
pub fn engine_state(state: EngineState) -> &'static str {
    say!(match state {
        EngineState::Off => "engine off",
        EngineState::Idle => "idle in neutral",
        EngineState::IdleInGear => "idle in gear",
        EngineState::Launch => "launch rpm",
        EngineState::Pass => "launch to shift",
        EngineState::At { .. } => "own rpm",
    })
}

/// An uncertain input, as it stands in a sentence.
pub fn input(car: &Car, id: InputId) -> String {
    let plain = say!(match id {
        InputId::Crank => "crank pulley size",
        InputId::FittedPulley => "size of the pulley on the car",
        InputId::TriedPulley => "size of the pulley to try",
        InputId::TriedCrank => "size of the crank pulley to try",
        InputId::StageDriven | InputId::StageDriving => "jackshaft pulley size",
        InputId::Ratio => "counted ratio",
        InputId::Slip => "belt slip",
        InputId::Idle => "idle rpm",
        InputId::InGearDrop => "idle in gear",
        InputId::Launch => "launch rpm",
        InputId::Shift => "shift rpm",
        InputId::Overshoot => "overshoot over the limiter",
        InputId::LowFraction => "output at low speed",
        InputId::OutputScale => "rated output of this very machine",
        InputId::LowForm => "output below the lowest rated speed",
        InputId::FieldExponent => "field current over voltage",
        InputId::ExciteFactor => "turn-on speed",
        InputId::SetPoint => "set-point voltage",
        InputId::TestVoltage => "voltage of the rating",
        InputId::UnderHood => "air under the hood",
        InputId::LoadsScale => "all loads together",
        InputId::Load(place) => {
            let own = car.loads.as_ref().and_then(|loads| loads.get(place));
            return own.map_or_else(
                || {
                    let typical = laneside_core::resolve::typical_loads();
                    typical
                        .get(place)
                        .map_or_else(String::new, |(typical, ..)| load(&typical.name).to_owned())
                },
                |own| load(&own.name).to_owned(),
            );
        }
        InputId::Clamp(place) => return say!("clamp reading, {}", phase(car, place)),
        InputId::BatteryCapacity => "battery capacity",
        InputId::BatteryHealth => "wear of the battery",
        InputId::BatteryResistance => "battery resistance",
        InputId::StartCharge => "charge in the morning",
        InputId::LeadResistance => "charge lead",
        InputId::GroundResistance => "ground side",
        InputId::ReaderPath => "wiring to where it is read",
        InputId::Ambient => "air of the day",
        InputId::Starter => "starter current",
        InputId::StarterTime => "time of a start",
        InputId::ChargerCurrent => "charger current",
        InputId::ChargerVoltage => "charger voltage",
        InputId::AlternatorWarming => "time in which the alternator warms",
        InputId::Recovery => "speed at which lost output comes back",
        InputId::StepTimes => "times of the day's steps",
        InputId::ReaderOffset => "what is shown over a meter",
        InputId::FieldDraw => "field current before turn-on",
        InputId::ReadCharge => "charge read during the day",
        InputId::ConverterSlip => "slip at the stripe",
        InputId::TireGrowth => "growth of the tire",
        InputId::ShiftTime => "time of a shift",
        InputId::StripeSpeed => "rpm at the stripe over shift rpm",
    });
    plain.to_owned()
}

/// The value of an input with its unit.
pub fn input_value(car: &Car, input: &Input, value: f64) -> String {
    match (input.id, input.unit) {
        (InputId::Slip, _) => format!("{} %", show::fixed(value * 100.0, 1)),
        (
            InputId::LowFraction
            | InputId::OutputScale
            | InputId::LowForm
            | InputId::LoadsScale
            | InputId::BatteryHealth
            | InputId::BatteryResistance
            | InputId::StartCharge
            | InputId::ReadCharge
            | InputId::ConverterSlip
            | InputId::TireGrowth
            | InputId::StripeSpeed
            | InputId::Recovery
            | InputId::StepTimes,
            _,
        ) => format!("{} %", show::fixed(value * 100.0, 0)),
        (InputId::ExciteFactor, _) => say!("{} × cut-in", show::fixed(value, 2)),
        (_, unit) => quantity(value, unit, car.units),
    }
}

/// A number of a finding with its unit, in the person's units.
pub fn quantity(value: f64, unit: Unit, units: System) -> String {
    use laneside_core::quantity::{amps, celsius, rpm, volts, watts};
    match unit {
        Unit::Rpm => show::speed(rpm(value)).to_string(),
        Unit::Millimeter => show::length(mm(value), units).to_string(),
        Unit::Ampere => show::current(amps(value)).to_string(),
        Unit::Volt => show::voltage(volts(value)).to_string(),
        Unit::Watt => show::power(watts(value)).to_string(),
        Unit::Celsius => show::temperature(celsius(value), units).to_string(),
        Unit::Ratio => show::fixed(value, 2),
        Unit::AmpereHour => format!("{}\u{a0}Ah", show::fixed(value, 1)),
        Unit::Ohm => format!("{}\u{a0}mΩ", show::fixed(value * 1e3, 1)),
        Unit::Second => format!("{}\u{a0}s", show::fixed(value, 1)),
        Unit::Newton => format!("{}\u{a0}N", show::fixed(value, 0)),
        Unit::Degree => format!("{}°", show::fixed(value, 0)),
        Unit::Hertz => format!("{}\u{a0}Hz", show::fixed(value, 0)),
        Unit::MeterPerSecond => format!("{}\u{a0}m/s", show::fixed(value, 0)),
    }
}

/// A unit as one writes it, where that is a word.
pub fn unit(symbol: &str) -> &str {
    say!(match symbol {
        "turns" => "turns",
        "of 1" => "of 1",
        other => return other,
    })
}

/// The size of a pulley as it is called: what was read on it, or its effective diameter where
/// that was a circumference.
pub fn size(car: &Car, pulley: &Pulley) -> String {
    let shown: Length = match pulley.measure {
        Measure::Tape => pulley.effective(car.drive.belt).value,
        _ => pulley.size,
    };
    whole(shown, car.units)
}

/// The alternator pulley on the car, or what stands for it.
pub fn fitted(car: &Car) -> String {
    car.drive
        .fitted
        .as_ref()
        .map_or_else(|| tell!("as fitted"), |pulley| size(car, pulley))
}

/// The pulley to try, with the crank pulley that it is tried on where that is another than the car's.
pub fn tried(car: &Car, pulley: &Pulley) -> String {
    let size = size(car, pulley);
    crank_to_try(car).map_or_else(
        || size.clone(),
        |crank| format!("{size}, {}", super::pulleys::on_crank(&crank)),
    )
}

/// The size of the crank pulley to try, if there is one.
pub fn crank_to_try(car: &Car) -> Option<String> {
    let crank = car.drive.tried_crank.as_ref()?;
    Some(size(car, crank))
}

/// An effective diameter in the person's units.
pub fn effective(millimeters: f64, units: System) -> String {
    whole(mm(millimeters), units)
}

/// A length that no line end parts.
fn whole(length: Length, units: System) -> String {
    show::length(length, units)
        .to_string()
        .replace(' ', "\u{a0}")
}

/// One of the five entries.
pub fn blank(blank: Blank) -> &'static str {
    say!(match blank {
        Blank::Crank => "crank pulley",
        Blank::Fitted => "alternator pulley",
        Blank::Stage => "both jackshaft pulleys",
        Blank::Ratio => "counted turns",
        Blank::RatioAgain => "the count once more, since it does not fit the pulley sizes",
        Blank::Limiter => "limiter",
        Blank::Idle => "idle",
        Blank::Rating => "amps on the case",
    })
}

/// What a rating of more than one number still needs.
pub fn rating_part(field: Field) -> &'static str {
    say!(match field {
        Field::Points => "points of the output curve",
        _ => "output at low speed",
    })
}
