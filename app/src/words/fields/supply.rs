//! Battery and charge wiring: what a field is called, how it is measured, what is typical.

use super::{MEMORY, Words, of, ranged};
use laneside_core::car::entry::Field;
use laneside_core::data::{battery_memory, wiring_memory};
use laneside_core::quantity::parse::Kind;
use laneside_core::quantity::{System, show};

const DROP: &[&str] = &[
    "Engine at 2,000 rpm, lights and fans on. Hands and leads clear of belt and fan.",
    "Meter on DC volts along the lead: one probe on each end. Of the ground side, from the battery's minus post to the alternator's case.",
    "Clamp meter on the lead meanwhile, for the amps.",
];
const LENGTH: &[&str] = &["Lay a string along the lead, post to stud, and measure the string."];

/// Label, note and steps.
pub fn words(field: Field) -> Option<Words> {
    Some(match field {
        Field::BatteryCapacity => of("Capacity", "Amp-hours printed on the battery.", &[]),
        Field::CrankRating => of(
            "Cold-crank amps",
            "As printed. The standard behind it matters.",
            &[],
        ),
        Field::BatteryMilliohms => of(
            "Resistance",
            "As a battery tester reads it.",
            &[
                "Engine off for an hour, battery off the charger.",
                "Tester's clamps on the posts themselves. Read mΩ.",
            ],
        ),
        Field::BatteryMilliohmsAt => of("Battery was at", "Its temperature meanwhile.", &[]),
        Field::ChargeLimit => of(
            "Highest charging current",
            "The maker's limit, on the case or in its sheet. Lithium only.",
            &[],
        ),
        Field::RestedVolts => of(
            "Rested voltage",
            "Everything off.",
            &[
                "Everything off, master switch too, for some hours; overnight is best.",
                "Meter on DC volts, probes on the posts. Two decimals count.",
            ],
        ),
        Field::RestedHours => of(
            "Hours since charged",
            "Since engine or charger last charged it.",
            &[],
        ),
        Field::LeadLength => of(
            "Length of the charge lead",
            "From the alternator's stud to the battery.",
            LENGTH,
        ),
        Field::LeadDrop => of(
            "Drop along the charge lead",
            "Measured. Goes before size and length.",
            DROP,
        ),
        Field::LeadDropAt | Field::GroundDropAt => {
            of("Drop read at", "Amps through it meanwhile.", &[])
        }
        Field::GroundLength => of(
            "Length of the ground side",
            "From the battery's minus post back to the alternator's case.",
            LENGTH,
        ),
        Field::GroundDrop => of(
            "Drop along the ground side",
            "Measured. Goes before size and length.",
            DROP,
        ),
        Field::WireTemperature => of("Leads, hot", "Once the engine is hot.", &[]),
        Field::Fuse => of(
            "Fuse in the charge lead",
            "Amps printed on it. Leave it blank if there is none.",
            &[],
        ),
        Field::MeterVolts => of(
            "Meter reads",
            "Right where the dash or logger gets its volts.",
            &[
                "Ignition on, engine off, nothing switched while you read.",
                "Meter at the supply and ground pins of the dash or logger. Write down both figures.",
            ],
        ),
        Field::ShownVolts => of("Dash or log shows", "At the same moment.", &[]),
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
            format!(
                "{} A for each Ah, of lithium {}. {MEMORY}",
                show::fixed(lead, 0),
                show::fixed(lithium, 0)
            )
        }
        Field::BatteryMilliohmsAt => say_one(battery_memory::REFERENCE_C, Kind::Temperature, units),
        Field::ChargeLimit => {
            let limit = battery_memory::LIFEPO4_LIMIT_PER_H;
            format!("{} A for each Ah. {MEMORY}", show::fixed(limit, 0))
        }
        Field::RestedVolts => {
            "12.6 to 12.8 V when full, AGM up to 13.2, LiFePO4 13.3 to 13.6. Twelve-volt batteries, from memory.".into()
        }
        Field::LeadLength | Field::GroundLength => say(wiring_memory::LEAD_M, Kind::Distance),
        Field::LeadDrop | Field::GroundDrop => {
            "0.1 to 0.2 V on either side at full output. Common practice.".into()
        }
        Field::WireTemperature => say(wiring_memory::LEAD_C, Kind::Temperature),
        Field::Fuse => {
            let (low, high) = wiring_memory::FUSE_OVER_OUTPUT;
            format!(
                "{} to {} times the rated amps, never above what the lead carries. {MEMORY}",
                show::fixed(low, 2),
                show::fixed(high, 2)
            )
        }
        _ => String::new(),
    }
}

fn say_one(value: f64, kind: Kind, units: System) -> String {
    let text = laneside_core::quantity::plain::show(value, kind, units);
    format!("{text}. {MEMORY}")
}
