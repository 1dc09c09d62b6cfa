//! Does the pulley to try bolt on to this car?

use super::BeltStudy;
use crate::belt::bolt_on::{BoltOn, FanTurns, Measures, bolt_on};
use crate::belt::layout::{Role, Section, Turning};
use crate::car::{BeltDrive, Car};
use crate::drive::Belt;

/// Questions for the seller of the pulley to try, with this car's answers filled in. `span_mm` is
/// the shorter span beside the alternator.
pub fn seller_card(car: &Car, belt: Option<&BeltStudy>) -> BoltOn {
    let (drive, shaft, offered) = (
        &car.belt_drive,
        &car.belt_drive.shaft,
        &car.belt_drive.offered,
    );
    let section = match car.drive.belt {
        Belt::VRibbed => drive.ribs.map(|ribs| Section::VRibbed { ribs }),
        Belt::Other => Some(Section::V),
    };
    let has_drive = !drive.pulleys.is_empty();
    let own = Measures {
        section,
        bore_mm: shaft.bore_mm,
        nut: shaft.nut.clone(),
        offset_mm: shaft.offset_mm,
        nose_mm: shaft.nose_mm,
        outside_mm: shaft.room_mm,
        fan: has_drive.then(|| alternator_turns(drive)),
        hub: Some(car.drive.hub),
    };
    let theirs = Measures {
        section: offered.ribs.map(|ribs| match ribs {
            0 => Section::V,
            ribs => Section::VRibbed { ribs },
        }),
        bore_mm: offered.bore_mm,
        nut: offered.nut.clone(),
        offset_mm: offered.offset_mm,
        nose_mm: offered.nose_mm,
        outside_mm: offered.outside_mm,
        fan: offered.fan,
        hub: offered.hub,
    };
    bolt_on(&own, &theirs, shorter_span_mm(belt), car.alternator.fan)
}

/// The shorter span beside the alternator, mm; a middling one while the drive is not known.
pub fn shorter_span_mm(belt: Option<&BeltStudy>) -> f64 {
    const MIDDLING_MM: f64 = 150.0;
    let shorter = belt.and_then(|belt| {
        let laid = &belt.comparison.on_car.nominal;
        let at = laid.layout.find(Role::Alternator)?;
        let count = laid.path.spans.len();
        let [before, after] =
            [(at + count - 1) % count, at].map(|at| laid.path.spans[at].length_mm);
        Some(before.min(after))
    });
    shorter.unwrap_or(MIDDLING_MM)
}

/// Which way the alternator turns: with the crank where the ribs drive both.
pub fn alternator_turns(drive: &BeltDrive) -> FanTurns {
    let side = |role| {
        let found = drive.pulleys.iter().find(|pulley| pulley.role == role);
        found.map(|pulley| pulley.side)
    };
    let alike = side(Role::Alternator) == side(Role::Crank);
    match (drive.turning, alike) {
        (Turning::Clockwise, true) | (Turning::CounterClockwise, false) => FanTurns::Clockwise,
        _ => FanTurns::CounterClockwise,
    }
}
