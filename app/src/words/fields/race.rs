//! Pass and day: what a field is called, how it is measured, what is typical.

use super::{MEMORY, PRACTICE, Words, of, ranged};
use laneside_core::car::entry::Field;
use laneside_core::data::{gearing, low_voltage, race_memory};
use laneside_core::quantity::parse::Kind;
use laneside_core::quantity::{System, plain};

const SLIP: &[&str] = &["Off the time slip of a clean pass, not a best one."];

/// Label, note and steps.
pub fn words(field: Field) -> Option<Words> {
    Some(match field {
        Field::Elapsed => of("Elapsed time", "Start to stripe.", SLIP),
        Field::Trap => of("Trap speed", "Speed at the stripe.", SLIP),
        Field::SixtyFoot => of("60-ft time", "The first time on the slip.", SLIP),
        Field::Gear(_) => of(
            "Gear ratio",
            "First gear first, each below the one before. Leave the last one blank to take it out.",
            &[],
        ),
        Field::FinalDrive => of(
            "Final drive",
            "Ratio of the axle, such as 4.10.",
            &[
                "On the tag or stamp of the axle, or teeth of the ring over teeth of the pinion.",
                "No tag: wheels off the ground on stands, gearbox in neutral. Count turns of the shaft for one turn of both wheels.",
            ],
        ),
        Field::Tire => of(
            "Tire diameter",
            "Loaded rollout over 3.1416.",
            &[
                "Hot pressure in the tire, driver in the car, on the flat.",
                "Chalk tire and floor, roll the car one turn, mark the floor again.",
                "Measure between the marks and divide by 3.1416.",
            ],
        ),
        Field::ConverterSlip => of(
            "Slip at the stripe",
            "Of the converter. A clutch has none unless entered.",
            &[
                "From a log: engine rpm at the stripe over what gear, axle, tire and trap speed give.",
            ],
        ),
        Field::ShiftTime => of(
            "A shift takes",
            "From one gear's pull to the next.",
            &["From a log: where rpm leaves one line until it is on the next."],
        ),
        Field::PointTime(_) => of("Time", "Since the start. Rising.", &[]),
        Field::PointSpeed(_) => of("Engine rpm", "Off a log.", &[]),
        Field::SegmentName(_) => of("Name of the segment", "", &[]),
        Field::SegmentTime(_) => of("Takes", "Off a log or a stopwatch.", &[]),
        Field::SegmentFrom(_) => of("Engine rpm at its start", "", &[]),
        Field::SegmentTo(_) => of("Engine rpm at its end", "", &[]),
        Field::Laps => of("Laps of a session", "", &[]),
        Field::Flow12 => of(
            "Pump flow at 12 V",
            "At your fuel pressure, from the pump maker's curve. A bare number is L/h; gal/h and lb/h of gasoline are read too.",
            &[],
        ),
        Field::Flow13 => of("Pump flow at 13.5 V", "At the same pressure.", &[]),
        Field::Dead12 => of(
            "Injector dead time at 12 V",
            "From the injector maker's table, at your pressure.",
            &[],
        ),
        Field::Dead14 => of("Injector dead time at 14 V", "From the same table.", &[]),
        Field::CoilInductance => of("Coil primary", "Inductance, from its maker.", &[]),
        Field::CoilResistance => of(
            "Coil and driver, resistance",
            "Coil primary with its driver and wires.",
            &[],
        ),
        Field::CoilCurrent => of(
            "Coil current needed",
            "What it is charged to, from its maker.",
            &[],
        ),
        Field::Rounds => of("Rounds", "Passes or sessions of the day.", &[]),
        Field::StepTime(_) => of(
            "Lasts",
            "A bare number is minutes; 90 s and 1:30 are read too.",
            &[],
        ),
        Field::StepStarts(_) => of("Starts of the engine", "At its beginning.", &[]),
        Field::LateFrom => of(
            "Pits get shorter from round",
            "Rounds come quicker as the field thins.",
            &[],
        ),
        Field::LatePits => of("Pits then last", "A bare number is minutes.", &[]),
        Field::Ambient => of("Air over the day", "In the shade.", &[]),
        Field::ChargerCurrent => of(
            "Pit charger, amps",
            "As printed on it. The usual steps then have it on in the pits.",
            &[],
        ),
        Field::ChargerVolts => of(
            "Pit charger, volts",
            "What it charges to. It must suit the battery: heed what its maker says.",
            &[],
        ),
        Field::StarterCurrent => of(
            "Starter draws",
            "While it turns the engine, not the first jolt.",
            &[
                "Ignition and fuel cut, so that the engine does not start; in neutral or park.",
                "Clamp meter, DC amperes, on the starter's lead. Crank two seconds and read.",
            ],
        ),
        Field::StarterTime => of("A start takes", "Until the engine runs.", &[]),
        Field::LeastVolts => of(
            "Lowest voltage to race with",
            "Below it something you need stops working.",
            &[],
        ),
        Field::ReadingRound => of("Read before round", "", &[]),
        Field::ReadingVolts => of(
            "Meter read",
            "Across the battery's posts.",
            &["Everything off. Meter on DC volts, probes on the posts."],
        ),
        Field::ReadingHours => of(
            "Hours since charged",
            "Since engine or charger last charged it.",
            &[],
        ),
        _ => return None,
    })
}

/// What is typical; empty where nothing is.
pub fn typical(field: Field, units: System) -> String {
    let say = |range, kind| ranged(range, kind, units);
    let one = |value: f64, kind, source: &str| {
        let text = plain::show(value, kind, units);
        format!("{text}. {source}")
    };
    let device = |value, kind| one(value, kind, "Published: one device. Enter your own.");
    let dead = |at: f64| {
        let row = low_voltage::DEAD_TIME_V_MS.iter().find(|row| row.0 == at);
        row.map_or_else(String::new, |row| device(row.1, Kind::Milliseconds))
    };
    match field {
        Field::ConverterSlip => say(gearing::CONVERTER_SLIP, Kind::Percent),
        Field::ShiftTime => say(gearing::SHIFT_S, Kind::Time),
        Field::Flow12 => device(low_voltage::PUMP_V_LPH[0].1, Kind::Flow),
        Field::Flow13 => device(low_voltage::PUMP_V_LPH[1].1, Kind::Flow),
        Field::Dead12 => dead(12.0),
        Field::Dead14 => dead(14.0),
        Field::CoilInductance => one(low_voltage::COIL_MH, Kind::Inductance, MEMORY),
        Field::CoilResistance => one(low_voltage::COIL_OHM, Kind::Ohms, MEMORY),
        Field::CoilCurrent => one(low_voltage::COIL_A, Kind::Current, MEMORY),
        Field::LatePits => format!("15 to 30 min between late rounds. {PRACTICE}"),
        Field::Ambient => say(race_memory::AMBIENT_C, Kind::Temperature),
        Field::ChargerCurrent => say(race_memory::CHARGER_A, Kind::Current),
        Field::StarterCurrent => say(race_memory::STARTER_A, Kind::Current),
        Field::StarterTime => say(race_memory::STARTER_S, Kind::Time),
        Field::LeastVolts => format!(
            "{} On 16 V: 8/6 of it.",
            one(race_memory::LEAST_V, Kind::Voltage, MEMORY)
        ),
        _ => String::new(),
    }
}
