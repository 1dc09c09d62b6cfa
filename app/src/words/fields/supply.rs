//! Battery and charge wiring: what a field is called, how it is measured, what is typical.

use super::{Words, memory, of, ranged};
use laneside_core::car::entry::Field;
use laneside_core::data::{battery_memory, wiring_memory};
use laneside_core::quantity::parse::Kind;
use laneside_core::quantity::{System, show};

const DROP: &[&str] = note!(&[
    "Engine at 2,000 rpm, lights and fans on. Hands and leads clear of belt and fan.",
    "Meter on DC volts along the lead: one probe on each end. Of the ground side, from the battery's minus post to the alternator's case.",
    "Clamp meter on the lead meanwhile, for the amps.",
]);
const LENGTH: &[&str] =
    note!(&["Lay a string along the lead, post to stud, and measure the string."]);

/// Label, note and steps.
pub fn words(field: Field) -> Option<Words> {
    Some(match field {
        Field::BatteryCapacity => of(
            note!("Capacity"),
            note!("Amp-hours printed on the battery."),
            &[],
        ),
        Field::CrankRating => of(
            note!("Cold-crank amps"),
            note!("As printed. The standard behind it matters."),
            &[],
        ),
        Field::BatteryMilliohms => of(
            note!("Resistance"),
            note!("As a battery tester reads it."),
            &[
                note!("Engine off for an hour, battery off the charger."),
                note!("Tester's clamps on the posts themselves. Read mΩ."),
            ],
        ),
        Field::BatteryMilliohmsAt => of(
            note!("Battery was at"),
            note!("Its temperature meanwhile."),
            &[],
        ),
        Field::ChargeLimit => of(
            note!("Highest charging current"),
            note!("The maker's limit, on the case or in its sheet. Lithium only."),
            &[],
        ),
        Field::RestedVolts => of(
            note!("Rested voltage"),
            note!("Everything off."),
            &[
                note!("Everything off, master switch too, for some hours; overnight is best."),
                note!("Meter on DC volts, probes on the posts. Two decimals count."),
            ],
        ),
        Field::RestedHours => of(
            note!("Hours since charged"),
            note!("Since engine or charger last charged it."),
            &[],
        ),
        Field::LeadLength => of(
            note!("Length of the charge lead"),
            note!("From the alternator's stud to the battery."),
            LENGTH,
        ),
        Field::LeadDrop => of(
            note!("Drop along the charge lead"),
            note!("Measured. Goes before size and length."),
            DROP,
        ),
        Field::LeadDropAt | Field::GroundDropAt => of(
            note!("Drop read at"),
            note!("Amps through it meanwhile."),
            &[],
        ),
        Field::GroundLength => of(
            note!("Length of the ground side"),
            note!("From the battery's minus post back to the alternator's case."),
            LENGTH,
        ),
        Field::GroundDrop => of(
            note!("Drop along the ground side"),
            note!("Measured. Goes before size and length."),
            DROP,
        ),
        Field::WireTemperature => of(note!("Leads, hot"), note!("Once the engine is hot."), &[]),
        Field::Fuse => of(
            note!("Fuse in the charge lead"),
            note!("Amps printed on it. Leave it blank if there is none."),
            &[],
        ),
        Field::MeterVolts => of(
            note!("Meter reads"),
            note!("Right where the dash or logger gets its volts."),
            &[
                note!("Ignition on, engine off, nothing switched while you read."),
                note!(
                    "Meter at the supply and ground pins of the dash or logger. Write down both figures."
                ),
            ],
        ),
        Field::ShownVolts => of(
            note!("Dash or log shows"),
            note!("At the same moment."),
            &[],
        ),
        _ => return None,
    })
}

/// What is typical; empty where nothing is.
pub fn typical(field: Field, units: System) -> String {
    let say = |range, kind| ranged(range, kind, units);
    match field {
        Field::BatteryCapacity => say(battery_memory::CAPACITY_AH, Kind::Capacity),
        Field::CrankRating => {
            let (lead, lithium) = (
                battery_memory::CRANK_A_PER_AH.value,
                battery_memory::LIFEPO4_CRANK_A_PER_AH.value,
            );
            say!(
                "{} A for each Ah, of lithium {}. {memory}",
                show::fixed(lead, 0),
                show::fixed(lithium, 0),
                memory = memory()
            )
        }
        Field::BatteryMilliohmsAt => say_one(battery_memory::REFERENCE_C, Kind::Temperature, units),
        Field::ChargeLimit => {
            let limit = battery_memory::LIFEPO4_LIMIT_PER_H;
            say!(
                "{} A for each Ah. {memory}",
                show::fixed(limit, 0),
                memory = memory()
            )
        }
        Field::RestedVolts => {
            tell!(
                "12.6 to 12.8 V when full, AGM up to 13.2, LiFePO4 13.3 to 13.6. Twelve-volt batteries, from memory."
            )
        }
        Field::LeadLength | Field::GroundLength => say(wiring_memory::LEAD_M, Kind::Distance),
        Field::LeadDrop | Field::GroundDrop => {
            tell!("0.1 to 0.2 V on either side at full output. Common practice.")
        }
        Field::WireTemperature => say(wiring_memory::LEAD_C, Kind::Temperature),
        Field::Fuse => {
            let (low, high) = wiring_memory::FUSE_OVER_OUTPUT;
            say!(
                "{} to {} times the rated amps, never above what the lead carries. {memory}",
                show::fixed(low, 2),
                show::fixed(high, 2),
                memory = memory()
            )
        }
        _ => String::new(),
    }
}

fn say_one(value: f64, kind: Kind, units: System) -> String {
    let text = laneside_core::quantity::plain::show(value, kind, units);
    format!("{text}. {memory}", memory = memory())
}
