//! Pass and day: what a field is called, how it is measured, what is typical.

use super::{Words, memory, of, practice, ranged};
use laneside_core::car::entry::Field;
use laneside_core::data::{gearing, low_voltage, race_memory};
use laneside_core::quantity::parse::Kind;
use laneside_core::quantity::{System, plain};

const SLIP: &[&str] = note!(&["Off the time slip of a clean pass, not a best one."]);

/// Label, note and steps.
pub fn words(field: Field) -> Option<Words> {
    Some(match field {
        Field::Elapsed => of(note!("Elapsed time"), note!("Start to stripe."), SLIP),
        Field::Trap => of(note!("Trap speed"), note!("Speed at the stripe."), SLIP),
        Field::SixtyFoot => of(
            note!("60-ft time"),
            note!("The first time on the slip."),
            SLIP,
        ),
        Field::Gear(_) => of(
            note!("Gear ratio"),
            note!(
                "First gear first, each below the one before. Leave the last one blank to take it out."
            ),
            &[],
        ),
        Field::FinalDrive => of(
            note!("Final drive"),
            note!("Ratio of the axle, such as 4.10."),
            &[
                note!(
                    "On the tag or stamp of the axle, or teeth of the ring over teeth of the pinion."
                ),
                note!(
                    "No tag: wheels off the ground on stands, gearbox in neutral. Count turns of the shaft for one turn of both wheels."
                ),
            ],
        ),
        Field::Tire => of(
            note!("Tire diameter"),
            note!("Loaded rollout over 3.1416."),
            &[
                note!("Hot pressure in the tire, driver in the car, on the flat."),
                note!("Chalk tire and floor, roll the car one turn, mark the floor again."),
                note!("Measure between the marks and divide by 3.1416."),
            ],
        ),
        Field::ConverterSlip => of(
            note!("Slip at the stripe"),
            note!("Of the converter. A clutch has none unless entered."),
            &[note!(
                "From a log: engine rpm at the stripe over what gear, axle, tire and trap speed give."
            )],
        ),
        Field::ShiftTime => of(
            note!("A shift takes"),
            note!("From one gear's pull to the next."),
            &[note!(
                "From a log: where rpm leaves one line until it is on the next."
            )],
        ),
        Field::PointTime(_) => of(note!("Time"), note!("Since the start. Rising."), &[]),
        Field::PointSpeed(_) => of(note!("Engine rpm"), note!("Off a log."), &[]),
        Field::SegmentName(_) => of(note!("Name of the segment"), "", &[]),
        Field::SegmentTime(_) => of(note!("Takes"), note!("Off a log or a stopwatch."), &[]),
        Field::SegmentFrom(_) => of(note!("Engine rpm at its start"), "", &[]),
        Field::SegmentTo(_) => of(note!("Engine rpm at its end"), "", &[]),
        Field::Laps => of(note!("Laps of a session"), "", &[]),
        Field::Flow12 => of(
            note!("Pump flow at 12 V"),
            note!(
                "At your fuel pressure, from the pump maker's curve. A bare number is L/h; gal/h and lb/h of gasoline are read too."
            ),
            &[],
        ),
        Field::Flow13 => of(
            note!("Pump flow at 13.5 V"),
            note!("At the same pressure."),
            &[],
        ),
        Field::Dead12 => of(
            note!("Injector dead time at 12 V"),
            note!("From the injector maker's table, at your pressure."),
            &[],
        ),
        Field::Dead14 => of(
            note!("Injector dead time at 14 V"),
            note!("From the same table."),
            &[],
        ),
        Field::CoilInductance => of(
            note!("Coil primary"),
            note!("Inductance, from its maker."),
            &[],
        ),
        Field::CoilResistance => of(
            note!("Coil and driver, resistance"),
            note!("Coil primary with its driver and wires."),
            &[],
        ),
        Field::CoilCurrent => of(
            note!("Coil current needed"),
            note!("What it is charged to, from its maker."),
            &[],
        ),
        Field::Rounds => of(
            note!("Rounds"),
            note!("Passes or sessions of the day."),
            &[],
        ),
        Field::StepTime(_) => of(
            note!("Lasts"),
            note!("A bare number is minutes; 90 s and 1:30 are read too."),
            &[],
        ),
        Field::StepStarts(_) => of(
            note!("Starts of the engine"),
            note!("At its beginning."),
            &[],
        ),
        Field::LateFrom => of(
            note!("Pits get shorter from round"),
            note!("Rounds come quicker as the field thins."),
            &[],
        ),
        Field::LatePits => of(
            note!("Pits then last"),
            note!("A bare number is minutes."),
            &[],
        ),
        Field::Ambient => of(note!("Air over the day"), note!("In the shade."), &[]),
        Field::ChargerCurrent => of(
            note!("Pit charger, amps"),
            note!("As printed on it. The usual steps then have it on in the pits."),
            &[],
        ),
        Field::ChargerVolts => of(
            note!("Pit charger, volts"),
            note!("What it charges to. It must suit the battery: heed what its maker says."),
            &[],
        ),
        Field::StarterCurrent => of(
            note!("Starter draws"),
            note!("While it turns the engine, not the first jolt."),
            &[
                note!(
                    "Ignition and fuel cut, so that the engine does not start; in neutral or park."
                ),
                note!(
                    "Clamp meter, DC amperes, on the starter's lead. Crank two seconds and read."
                ),
            ],
        ),
        Field::StarterTime => of(note!("A start takes"), note!("Until the engine runs."), &[]),
        Field::LeastVolts => of(
            note!("Lowest voltage to race with"),
            note!("Below it something you need stops working."),
            &[],
        ),
        Field::ReadingRound => of(note!("Read before round"), "", &[]),
        Field::ReadingVolts => of(
            note!("Meter read"),
            note!("Across the battery's posts."),
            &[note!(
                "Everything off. Meter on DC volts, probes on the posts."
            )],
        ),
        Field::ReadingHours => of(
            note!("Hours since charged"),
            note!("Since engine or charger last charged it."),
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
    let device = |value, kind| one(value, kind, say!("Published: one device. Enter your own."));
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
        Field::CoilInductance => one(low_voltage::COIL_MH, Kind::Inductance, memory()),
        Field::CoilResistance => one(low_voltage::COIL_OHM, Kind::Ohms, memory()),
        Field::CoilCurrent => one(low_voltage::COIL_A, Kind::Current, memory()),
        Field::LatePits => say!(
            "15 to 30 min between late rounds. {practice}",
            practice = practice()
        ),
        Field::Ambient => say(race_memory::AMBIENT_C, Kind::Temperature),
        Field::ChargerCurrent => say(race_memory::CHARGER_A, Kind::Current),
        Field::StarterCurrent => say(race_memory::STARTER_A, Kind::Current),
        Field::StarterTime => say(race_memory::STARTER_S, Kind::Time),
        Field::LeastVolts => say!(
            "{} On 16 V: 8/6 of it.",
            one(race_memory::LEAST_V, Kind::Voltage, memory())
        ),
        _ => String::new(),
    }
}
