//! Fields of the belt drive that are not plain numbers which the car has once.

use super::plain::About;
use super::{EntryError, Field};
use crate::belt::{BeltSize, Section};
use crate::car::{Car, check};
use crate::data::belt_memory::TAPE_CENTERS_MM;
use crate::quantity::parse::{Kind, ParseError};

/// Those that a car has once.
pub(super) const SINGLE: [Field; 5] = [
    Field::BeltDesignation,
    Field::BeltRibs,
    Field::ShaftNut,
    Field::OfferRibs,
    Field::OfferNut,
];

/// Those that are listed, by place.
pub(super) const LISTED: [fn(usize) -> Field; 9] = [
    Field::BeltDiameter,
    Field::BeltX,
    Field::BeltY,
    Field::BeltPower,
    Field::TapeDistance,
    Field::ObstacleName,
    Field::ObstacleX,
    Field::ObstacleY,
    Field::ObstacleAcross,
];

pub(super) fn about(field: Field) -> Option<About> {
    let (key, kind, limits, name) = match field {
        Field::BeltRibs => ("belt-ribs", Kind::Count, check::RIBS, "belt_drive.ribs"),
        Field::OfferRibs => (
            "offer-ribs",
            Kind::Count,
            check::PULLEY_RIBS,
            "belt_drive.offered.ribs",
        ),
        Field::BeltDiameter(_) => (
            "belt-diameter",
            Kind::Length,
            check::PULLEY_MM,
            "belt_drive.pulleys.diameter_mm",
        ),
        Field::BeltX(_) => (
            "belt-x",
            Kind::Length,
            check::PLACE_MM,
            "belt_drive.pulleys.x_mm",
        ),
        Field::BeltY(_) => (
            "belt-y",
            Kind::Length,
            check::PLACE_MM,
            "belt_drive.pulleys.y_mm",
        ),
        Field::BeltPower(_) => (
            "belt-power",
            Kind::Power,
            check::PULLEY_W,
            "belt_drive.pulleys.power_w",
        ),
        Field::TapeDistance(_) => (
            "tape-distance",
            Kind::Length,
            check::TAPE_MM,
            "belt_drive.tapes.distance_mm",
        ),
        Field::ObstacleX(_) => (
            "obstacle-x",
            Kind::Length,
            check::PLACE_MM,
            "belt_drive.obstacles.x_mm",
        ),
        Field::ObstacleY(_) => (
            "obstacle-y",
            Kind::Length,
            check::PLACE_MM,
            "belt_drive.obstacles.y_mm",
        ),
        Field::ObstacleAcross(_) => (
            "obstacle-across",
            Kind::Length,
            check::ACROSS_MM,
            "belt_drive.obstacles.across_mm",
        ),
        _ => return None,
    };
    Some(About {
        key,
        kind,
        limits,
        name,
    })
}

pub(super) fn get(car: &Car, field: Field) -> Option<f64> {
    let drive = &car.belt_drive;
    let pulley = |place: usize| drive.pulleys.get(place);
    let obstacle = |place: usize| drive.obstacles.get(place);
    match field {
        Field::BeltRibs => drive.ribs.map(f64::from),
        Field::OfferRibs => drive.offered.ribs.map(f64::from),
        Field::BeltDiameter(place) => pulley(place)?.diameter_mm,
        Field::BeltX(place) => pulley(place).map(|pulley| pulley.x_mm),
        Field::BeltY(place) => pulley(place).map(|pulley| pulley.y_mm),
        Field::BeltPower(place) => pulley(place)?.power_w,
        Field::TapeDistance(place) => drive.tapes.get(place).map(|tape| tape.distance_mm),
        Field::ObstacleX(place) => obstacle(place).map(|one| one.x_mm),
        Field::ObstacleY(place) => obstacle(place).map(|one| one.y_mm),
        Field::ObstacleAcross(place) => obstacle(place).map(|one| one.across_mm),
        _ => None,
    }
}

/// Puts a number that is in its limits, or takes it out.
pub(super) fn put(car: &mut Car, field: Field, value: Option<f64>) -> Result<(), EntryError> {
    let drive = &mut car.belt_drive;
    let count = value.map(|value| value as u8);
    match field {
        // The designation of a belt with ribs has their number.
        Field::BeltRibs if count.is_none() && drive.belt_mm.is_some() => {
            return Err(ParseError::Empty.into());
        }
        Field::BeltRibs => drive.ribs = count,
        Field::OfferRibs => drive.offered.ribs = count,
        Field::BeltDiameter(place) => {
            if let Some(pulley) = drive.pulleys.get_mut(place) {
                // What the template was good to is not what the person measured to.
                pulley.half_width_mm = pulley.half_width_mm.filter(|_| value == pulley.diameter_mm);
                pulley.diameter_mm = value;
            }
        }
        Field::BeltPower(place) => {
            if let Some(pulley) = drive.pulleys.get_mut(place) {
                pulley.power_w = value;
            }
        }
        _ => {
            let is_there = get(car, field).is_some();
            return match (is_there, value) {
                (true, Some(value)) => {
                    put_number(car, field, value);
                    Ok(())
                }
                (true, None) => Err(ParseError::Empty.into()),
                _ => Ok(()),
            };
        }
    }
    Ok(())
}

/// A number of a row that is not without it.
fn put_number(car: &mut Car, field: Field, value: f64) {
    let drive = &mut car.belt_drive;
    let slot = match field {
        Field::BeltX(place) => drive.pulleys.get_mut(place).map(|one| &mut one.x_mm),
        Field::BeltY(place) => drive.pulleys.get_mut(place).map(|one| &mut one.y_mm),
        Field::TapeDistance(place) => drive.tapes.get_mut(place).map(|tape| {
            if tape.distance_mm != value {
                tape.half_width_mm = TAPE_CENTERS_MM;
            }
            &mut tape.distance_mm
        }),
        Field::ObstacleX(place) => drive.obstacles.get_mut(place).map(|one| &mut one.x_mm),
        Field::ObstacleY(place) => drive.obstacles.get_mut(place).map(|one| &mut one.y_mm),
        Field::ObstacleAcross(place) => {
            drive.obstacles.get_mut(place).map(|one| &mut one.across_mm)
        }
        _ => None,
    };
    if let Some(slot) = slot {
        *slot = value;
    }
}

/// Puts a text: a name, a thread, a designation.
pub(super) fn put_text(car: &mut Car, field: Field, text: &str) -> Result<(), EntryError> {
    let drive = &mut car.belt_drive;
    let some = (!text.is_empty()).then(|| text.to_owned());
    match field {
        Field::ObstacleName(place) => {
            if let Some(obstacle) = drive.obstacles.get_mut(place) {
                text.clone_into(&mut obstacle.name);
            }
        }
        Field::ShaftNut => drive.shaft.nut = some,
        Field::OfferNut => drive.offered.nut = some,
        Field::BeltDesignation if text.is_empty() => drive.belt_mm = None,
        Field::BeltDesignation => {
            let size = BeltSize::parse(text).map_err(EntryError::Designation)?;
            drive.ribs = match size.section {
                Section::VRibbed { ribs } => Some(ribs),
                Section::V => None,
            };
            drive.belt_mm = Some(size.length_mm);
        }
        _ => {}
    }
    Ok(())
}

/// What a text field holds.
pub(super) fn text(car: &Car, field: Field) -> Option<String> {
    let drive = &car.belt_drive;
    match field {
        Field::ObstacleName(place) => drive.obstacles.get(place).map(|one| one.name.clone()),
        Field::ShaftNut => drive.shaft.nut.clone(),
        Field::OfferNut => drive.offered.nut.clone(),
        Field::BeltDesignation => drive.belt().map(|belt| belt.designation()),
        _ => None,
    }
}
