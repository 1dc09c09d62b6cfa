//! Words of the belt drive's fields.

use super::{MEMORY, Words, of, ranged};
use laneside_core::belt::typical_tolerance_mm;
use laneside_core::car::entry::Field;
use laneside_core::data::belt_memory::{STEERING_W, WATER_PUMP_W};
use laneside_core::quantity::parse::Kind;
use laneside_core::quantity::{System, plain};

const FROM_CRANK: &str = "From the crank's center, seen from the front.";
const SELLER: &str = "Ask the seller.";

/// Label, note and steps of a field of the belt drive.
pub(super) fn words(field: Field) -> Option<Words> {
    Some(match field {
        Field::BeltDesignation => of(
            "Belt on the car",
            "As printed on its back, such as 6PK1255; of a V belt its length in mm.",
            &[],
        ),
        Field::BeltRibs => of("Ribs of the belt", "Counted across.", &[]),
        Field::BeltLengthWithin => of(
            "Length is good to",
            "Its maker's tolerance, either way.",
            &[],
        ),
        Field::BeltTension => of(
            "Static tension",
            "Of a span at rest, by ear below or by a gauge.",
            &[
                "Engine off and cold, key out, battery's negative off.",
                "Gauge in the middle of the longest span, or pluck it.",
            ],
        ),
        Field::BeltTensionWithin => of("Tension is good to", "Either way.", &[]),
        Field::BeltDiameter(_) => of(
            "Diameter",
            "Ribs: effective, a hair over the rib tips. Back: bare.",
            &[
                "Engine off. Caliper across the rib tips, or across the flat face that the back runs on.",
            ],
        ),
        Field::BeltX(_) | Field::ObstacleX(_) => of("To the right", FROM_CRANK, &[]),
        Field::BeltY(_) | Field::ObstacleY(_) => of("Up", FROM_CRANK, &[]),
        Field::BeltPower(_) => of("Power at the limiter", "What it takes from the belt.", &[]),
        Field::PlacesWithin => of(
            "Places are good to",
            "How far each right and up may be off.",
            &[],
        ),
        Field::TapeDistance(_) => of(
            "Center to center",
            "",
            &[
                "Engine off, key out. Tape from bolt head to bolt head, square to the shafts.",
                "Or measure rim to rim across both pulleys and take half of each diameter off.",
            ],
        ),
        Field::TapeTurned => of(
            "Turned by",
            "Direction from the first to the second pulley; 0 is to the right, 90 up.",
            &[],
        ),
        Field::PivotX => of("Pivot, to the right", FROM_CRANK, &[]),
        Field::PivotY => of("Pivot, up", FROM_CRANK, &[]),
        Field::ArmFrom => of("Travel, clockwise", "From where it is now: 0 or less.", &[]),
        Field::ArmTo => of("Travel, counter-clockwise", "From where it is now.", &[]),
        Field::SlideDirection => of("Slot points to", "0 is to the right, 90 up.", &[]),
        Field::SlideFrom => of("Travel, back", "From where it is now: 0 or less.", &[]),
        Field::SlideTo => of("Travel, forward", "From where it is now.", &[]),
        Field::ObstacleName(_) => of("What it is", "", &[]),
        Field::ObstacleAcross(_) => of("Across", "A bolt head: over its corners.", &[]),
        Field::ShaftBore => of("Shaft of your alternator", "Diameter, by caliper.", &[]),
        Field::ShaftNut => of("Its nut", "Thread, such as M16 x 1.5.", &[]),
        Field::ShaftOffset => of(
            "Offset on the car",
            "From the face that the pulley rests on to the middle of the belt.",
            &[
                "Straightedge across the crank pulley's face, along the belt.",
                "Measure from it to the face on the alternator's shaft; take half the belt's width off.",
            ],
        ),
        Field::ShaftNose => of("Room before that face", "To whatever is next.", &[]),
        Field::ShaftRoom => of(
            "Room around the shaft",
            "Largest outside diameter that clears case, fan and bracket.",
            &[],
        ),
        Field::OfferRibs => of("Its ribs", "0 for a V.", &[]),
        Field::OfferBore => of("Its bore", SELLER, &[]),
        Field::OfferNut => of("Nut it takes", SELLER, &[]),
        Field::OfferOffset => of(
            "Its offset",
            "From the face it rests on to the middle of the ribs.",
            &[],
        ),
        Field::OfferNose => of("It reaches forward", "Before the face it rests on.", &[]),
        Field::OfferOutside => of("Its outside diameter", "Over the rims.", &[]),
        _ => return None,
    })
}

/// What is typical; empty where nothing is.
pub(super) fn typical(field: Field, units: System) -> String {
    let one = |value: f64, kind| format!("{}. {MEMORY}", plain::show(value, kind, units));
    match field {
        Field::BeltRibs => format!("6. {MEMORY}"),
        Field::BeltLengthWithin => format!(
            "{} at 1,000 mm of length, more above. {MEMORY}",
            plain::show(typical_tolerance_mm(800.0), Kind::Length, units)
        ),
        Field::PlacesWithin => one(laneside_core::car::PLACES_WITHIN_MM, Kind::Length),
        Field::BeltTensionWithin => format!("15 % of it. {MEMORY}"),
        Field::BeltPower(_) => format!(
            "water pump {} Steering {}",
            ranged(WATER_PUMP_W, Kind::Power, units),
            ranged(STEERING_W, Kind::Power, units)
        ),
        _ => String::new(),
    }
}
