//! Words of the belt drive's fields.

use super::{Words, memory, of, ranged};
use laneside_core::belt::typical_tolerance_mm;
use laneside_core::car::entry::Field;
use laneside_core::data::belt_memory::{STEERING_W, WATER_PUMP_W};
use laneside_core::quantity::parse::Kind;
use laneside_core::quantity::{System, plain};

fn from_crank() -> &'static str {
    say!("From the crank's center, seen from the front.")
}
fn seller() -> &'static str {
    say!("Ask the seller.")
}

/// Label, note and steps of a field of the belt drive.
pub(super) fn words(field: Field) -> Option<Words> {
    Some(match field {
        Field::BeltDesignation => of(
            note!("Belt on the car"),
            note!("As printed on its back, such as 6PK1255; of a V belt its length in mm."),
            &[],
        ),
        Field::BeltRibs => of(note!("Ribs of the belt"), note!("Counted across."), &[]),
        Field::BeltLengthWithin => of(
            note!("Length is good to"),
            note!("Its maker's tolerance, either way."),
            &[],
        ),
        Field::BeltTension => of(
            note!("Static tension"),
            note!("Of a span at rest, by ear below or by a gauge."),
            &[
                note!("Engine off and cold, key out, battery's negative off."),
                note!("Gauge in the middle of the longest span, or pluck it."),
            ],
        ),
        Field::BeltTensionWithin => of(note!("Tension is good to"), note!("Either way."), &[]),
        Field::BeltDiameter(_) => of(
            note!("Diameter"),
            note!("Ribs: effective, a hair over the rib tips. Back: bare."),
            &[note!(
                "Engine off. Caliper across the rib tips, or across the flat face that the back runs on."
            )],
        ),
        Field::BeltX(_) | Field::ObstacleX(_) => of(note!("To the right"), from_crank(), &[]),
        Field::BeltY(_) | Field::ObstacleY(_) => of(note!("Up"), from_crank(), &[]),
        Field::BeltPower(_) => of(
            note!("Power at the limiter"),
            note!("What it takes from the belt."),
            &[],
        ),
        Field::PlacesWithin => of(
            note!("Places are good to"),
            note!("How far each right and up may be off."),
            &[],
        ),
        Field::TapeDistance(_) => of(
            note!("Center to center"),
            "",
            &[
                note!(
                    "Engine off, key out. Tape from bolt head to bolt head, square to the shafts."
                ),
                note!(
                    "Or measure rim to rim across both pulleys and take half of each diameter off."
                ),
            ],
        ),
        Field::TapeTurned => of(
            note!("Turned by"),
            note!("Direction from the first to the second pulley; 0 is to the right, 90 up."),
            &[],
        ),
        Field::PivotX => of(note!("Pivot, to the right"), from_crank(), &[]),
        Field::PivotY => of(note!("Pivot, up"), from_crank(), &[]),
        Field::ArmFrom => of(
            note!("Travel, clockwise"),
            note!("From where it is now: 0 or less."),
            &[],
        ),
        Field::ArmTo => of(
            note!("Travel, counter-clockwise"),
            note!("From where it is now."),
            &[],
        ),
        Field::SlideDirection => of(
            note!("Slot points to"),
            note!("0 is to the right, 90 up."),
            &[],
        ),
        Field::SlideFrom => of(
            note!("Travel, back"),
            note!("From where it is now: 0 or less."),
            &[],
        ),
        Field::SlideTo => of(
            note!("Travel, forward"),
            note!("From where it is now."),
            &[],
        ),
        Field::ObstacleName(_) => of(note!("What it is"), "", &[]),
        Field::ObstacleAcross(_) => of(
            note!("Across"),
            note!("A bolt head: over its corners."),
            &[],
        ),
        Field::ShaftBore => of(
            note!("Shaft of your alternator"),
            note!("Diameter, by caliper."),
            &[],
        ),
        Field::ShaftNut => of(note!("Its nut"), note!("Thread, such as M16 x 1.5."), &[]),
        Field::ShaftOffset => of(
            note!("Offset on the car"),
            note!("From the face that the pulley rests on to the middle of the belt."),
            &[
                note!("Straightedge across the crank pulley's face, along the belt."),
                note!(
                    "Measure from it to the face on the alternator's shaft; take half the belt's width off."
                ),
            ],
        ),
        Field::ShaftNose => of(
            note!("Room before that face"),
            note!("To whatever is next."),
            &[],
        ),
        Field::ShaftRoom => of(
            note!("Room around the shaft"),
            note!("Largest outside diameter that clears case, fan and bracket."),
            &[],
        ),
        Field::OfferRibs => of(note!("Its ribs"), note!("0 for a V."), &[]),
        Field::OfferBore => of(note!("Its bore"), seller(), &[]),
        Field::OfferNut => of(note!("Nut it takes"), seller(), &[]),
        Field::OfferOffset => of(
            note!("Its offset"),
            note!("From the face it rests on to the middle of the ribs."),
            &[],
        ),
        Field::OfferNose => of(
            note!("It reaches forward"),
            note!("Before the face it rests on."),
            &[],
        ),
        Field::OfferOutside => of(note!("Its outside diameter"), note!("Over the rims."), &[]),
        _ => return None,
    })
}

/// What is typical; empty where nothing is.
pub(super) fn typical(field: Field, units: System) -> String {
    let one = |value: f64, kind| {
        format!(
            "{}. {memory}",
            plain::show(value, kind, units),
            memory = memory()
        )
    };
    match field {
        Field::BeltRibs => format!("6. {memory}", memory = memory()),
        Field::BeltLengthWithin => say!(
            "{} at 1,000 mm of length, more above. {memory}",
            plain::show(typical_tolerance_mm(800.0), Kind::Length, units),
            memory = memory()
        ),
        Field::PlacesWithin => one(laneside_core::car::PLACES_WITHIN_MM, Kind::Length),
        Field::BeltTensionWithin => say!("15 % of it. {memory}", memory = memory()),
        Field::BeltPower(_) => say!(
            "water pump {} Steering {}",
            ranged(WATER_PUMP_W, Kind::Power, units),
            ranged(STEERING_W, Kind::Power, units)
        ),
        _ => String::new(),
    }
}
