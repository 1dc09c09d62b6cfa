//! How a field is measured: drawings and steps.

use crate::parts::drawings::{CALIPER, Drawing, STAMP, TACH, TAPE, TURNS};
use laneside_core::car::entry::Field;
use laneside_core::drive::Measure;

/// Drawings and steps, either of which may be none.
#[derive(Clone, Copy)]
pub struct How {
    /// What to look at.
    pub drawings: &'static [Drawing],
    /// What to do, in order.
    pub steps: &'static [&'static str],
}

const fn of(drawings: &'static [Drawing], steps: &'static [&'static str]) -> Option<How> {
    Some(How { drawings, steps })
}

/// How a field is measured, if there is anything to say.
pub fn how(field: Field) -> Option<How> {
    how_measured(field, Measure::default())
}

/// How a field is measured; of a pulley, in this way.
pub fn how_measured(field: Field, measure: Measure) -> Option<How> {
    match field {
        Field::Crank
        | Field::Fitted
        | Field::Tried
        | Field::TriedCrank
        | Field::StageDriven
        | Field::StageDriving => size(measure),
        Field::CrankTurns => of(
            &[TURNS],
            &[
                note!(
                    "Battery ground off, ignition off, in neutral. Spark plugs out makes it easy."
                ),
                note!(
                    "Chalk a mark on both pulleys and on something that stands still beside each."
                ),
                note!("Turn the crank forward by its bolt, ten full turns."),
                note!(
                    "Count the alternator's turns meanwhile, to an eighth. A belt that slips spoils it."
                ),
            ],
        ),
        Field::ReadAlternator => of(
            &[],
            &[
                note!("Stick a strip of reflecting tape on the alternator pulley, engine off."),
                note!("Hold the engine steady at 2,000 to 3,000 rpm."),
                note!(
                    "Read both speeds at the same moment. Hands, sleeves and cords stay clear of the belt."
                ),
            ],
        ),
        Field::Limiter => of(
            &[TACH],
            &[
                note!("Read it off the ignition box or the engine control: it is a setting."),
                note!(
                    "No limiter: enter the highest rpm that a log or the tach's telltale has shown."
                ),
            ],
        ),
        Field::Idle | Field::IdleInGear => of(
            &[TACH],
            &[
                note!("Warm the engine up."),
                note!("Switch on what runs in the lanes."),
                note!("Read the tach where it rests, or take it from a log."),
            ],
        ),
        Field::Rated => of(
            &[STAMP],
            &[
                note!("Look for a plate or a stamp on the case."),
                note!("14 V 120 A means 120. Of 70/140 A take 140."),
                note!("No number: ask its maker by the part number."),
            ],
        ),
        Field::Continuous => of(
            &[],
            &[
                note!(
                    "Ask the alternator's maker for its highest continuous rotor speed, by the part number."
                ),
                note!("Leave it blank if nobody knows: a range by the kind of fan stands in."),
            ],
        ),
        Field::SetPoint => of(
            &[],
            &[
                note!("Charged battery, engine warm, at 2,000 rpm, few loads on."),
                note!("Meter across the battery's posts."),
                note!("Wait two minutes until it no longer climbs, and read."),
            ],
        ),
        Field::UnderHood => of(
            &[],
            &[
                note!(
                    "Tape a thermometer's probe in the air beside the alternator, clear of the exhaust and the belt."
                ),
                note!("Read it at the end of the return road."),
            ],
        ),
        Field::LoadCurrent(_) => of(
            &[],
            &[
                note!("Clamp meter, set to DC amperes, zeroed, around the load's feed wire."),
                note!("Load on, engine running. Read once it has settled."),
            ],
        ),
        Field::PhaseClamp(_) => of(
            &[],
            &[
                note!(
                    "Engine off, battery charged. Clamp meter, DC amperes, zeroed, around the battery's ground leads, all of them."
                ),
                note!(
                    "Switch on what runs in this phase. Read amperes and volts once they have settled."
                ),
                note!(
                    "What only runs with the engine (ignition, injectors) is missing then: add it."
                ),
            ],
        ),
        _ => {
            let steps = super::more(field)?.steps;
            (!steps.is_empty()).then_some(How {
                drawings: &[],
                steps,
            })
        }
    }
}

fn size(measure: Measure) -> Option<How> {
    match measure {
        Measure::Called => of(
            &[CALIPER],
            &[
                note!("Take the size from the box, the listing or whoever built the car."),
                note!("Better: measure with a caliper, and say so above."),
            ],
        ),
        Measure::Caliper => of(
            &[CALIPER],
            &[
                note!("Engine off. Close the jaws on the rib tips, across the middle."),
                note!("Turn the pulley a quarter and read again. Enter the mean."),
            ],
        ),
        Measure::Tape => of(
            &[TAPE],
            &[
                note!("Engine off, belt off. A thin tape once around the rib tips."),
                note!(
                    "Read it where it meets its start: that is the circumference. Enter it as it is."
                ),
            ],
        ),
        Measure::Effective => of(
            &[],
            &[note!(
                "The maker's drawing calls it effective diameter. A belt maker's list does too."
            )],
        ),
        Measure::Pitch => of(
            &[],
            &[note!(
                "On V belts and toothed belts it is the size in the maker's list."
            )],
        ),
    }
}
