//! What makes the belt drive valid, beside the ranges of its plain numbers.

use super::{Fault, above, at_most, name, range};
use crate::belt::pluck::TYPED_HZ;
use crate::car::entry::Field;
use crate::car::{BeltDrive, DriveMover};

/// Most pulleys of a belt.
pub const MOST_PULLEYS: usize = 10;
/// Most distances by tape.
pub const MOST_TAPES: usize = 40;
/// Most obstacles.
pub const MOST_OBSTACLES: usize = 20;
/// Most sides answered.
const MOST_SIDES: usize = 40;

/// Places to the right of and above the crank's center, mm.
pub const PLACE_MM: (f64, f64) = (-3_000.0, 3_000.0);
/// Diameters of pulleys that are not the crank's or the alternator's, mm.
pub const PULLEY_MM: (f64, f64) = (20.0, 400.0);
/// Distances between centers, mm.
pub const TAPE_MM: (f64, f64) = (20.0, 3_000.0);
/// What a place or a distance may be off, mm.
pub const WITHIN_MM: (f64, f64) = (0.0, 200.0);
/// How wide an obstacle is, mm.
pub const ACROSS_MM: (f64, f64) = (0.0, 500.0);
/// Power of a pulley, W.
pub const PULLEY_W: (f64, f64) = (0.0, 50_000.0);
/// Ribs of a belt.
pub const RIBS: (f64, f64) = (2.0, 12.0);
/// Ribs of a pulley; 0 for a V.
pub const PULLEY_RIBS: (f64, f64) = (0.0, 12.0);
/// Most frequencies heard.
pub const MOST_HEARD: usize = 60;
/// Length of a belt, mm.
pub const BELT_MM: (f64, f64) = (300.0, 4_000.0);

fn within(field: Field, found: Option<f64>) -> Result<(), Fault> {
    field
        .about()
        .map_or(Ok(()), |about| range(about.name, found, about.limits))
}

fn known(what: &'static str, at: usize, count: usize) -> Result<(), Fault> {
    if at < count {
        Ok(())
    } else {
        Err(Fault::NoPulley {
            what,
            found: at,
            count,
        })
    }
}

pub(in crate::car) fn check(drive: &BeltDrive) -> Result<(), Fault> {
    let count = drive.pulleys.len();
    at_most("pulleys of the belt", count, MOST_PULLEYS)?;
    for pulley in &drive.pulleys {
        within(Field::BeltDiameter(0), pulley.diameter_mm)?;
        range(
            "belt_drive.pulleys.half_width_mm",
            pulley.half_width_mm,
            WITHIN_MM,
        )?;
        within(Field::BeltX(0), Some(pulley.x_mm))?;
        within(Field::BeltY(0), Some(pulley.y_mm))?;
        within(Field::BeltPower(0), pulley.power_w)?;
    }
    at_most("frequencies heard", drive.heard.len(), MOST_HEARD)?;
    for reading in &drive.heard {
        known("belt_drive.heard.span", usize::from(reading.span), count)?;
        range("belt_drive.heard.hz", Some(reading.hz), TYPED_HZ)?;
    }
    at_most("distances by tape", drive.tapes.len(), MOST_TAPES)?;
    for tape in &drive.tapes {
        known("belt_drive.tapes.from", tape.from, count)?;
        known("belt_drive.tapes.to", tape.to, count)?;
        if tape.from == tape.to {
            return Err(Fault::NoPulley {
                what: "belt_drive.tapes.to",
                found: tape.to,
                count,
            });
        }
        within(Field::TapeDistance(0), Some(tape.distance_mm))?;
        range(
            "belt_drive.tapes.half_width_mm",
            Some(tape.half_width_mm),
            (0.0, 300.0),
        )?;
    }
    at_most("sides answered", drive.sides.len(), MOST_SIDES)?;
    for side in &drive.sides {
        for at in [side.pulley, side.from, side.to] {
            known("belt_drive.sides", at, count)?;
        }
    }
    check_mover(&drive.mover, count)?;
    range("belt_drive.ribs", drive.ribs.map(f64::from), RIBS)?;
    range("belt_drive.belt_mm", drive.belt_mm, BELT_MM)?;
    at_most("obstacles", drive.obstacles.len(), MOST_OBSTACLES)?;
    for obstacle in &drive.obstacles {
        name("obstacle", &obstacle.name)?;
        within(Field::ObstacleX(0), Some(obstacle.x_mm))?;
        within(Field::ObstacleY(0), Some(obstacle.y_mm))?;
        within(Field::ObstacleAcross(0), Some(obstacle.across_mm))?;
    }
    let ribs = drive.offered.ribs.map(f64::from);
    range("belt_drive.offered.ribs", ribs, PULLEY_RIBS)?;
    for nut in [&drive.shaft.nut, &drive.offered.nut].into_iter().flatten() {
        name("nut", nut)?;
    }
    Ok(())
}

fn check_mover(mover: &DriveMover, count: usize) -> Result<(), Fault> {
    if let Some(pulley) = mover.pulley {
        known("belt_drive.mover.pulley", usize::from(pulley), count)?;
    }
    above(
        "belt_drive.mover.to_deg",
        mover.to_deg,
        "belt_drive.mover.from_deg",
        mover.from_deg,
    )?;
    above(
        "belt_drive.mover.to_mm",
        mover.to_mm,
        "belt_drive.mover.from_mm",
        mover.from_mm,
    )
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::car::demo;
    use crate::car::{Car, DriveObstacle};

    #[test]
    fn faults_say_what_was_found_and_what_is_needed() {
        type Change = fn(&mut Car);
        let cases: [(Change, &str); 7] = [
            (
                |car| car.belt_drive.mover.pulley = Some(9),
                "belt_drive.mover.pulley is 9, needs another pulley of the 3 there are",
            ),
            (
                |car| car.belt_drive.pulleys[2].x_mm = f64::NAN,
                "belt_drive.pulleys.x_mm is NaN, needs -3000 to 3000",
            ),
            (
                |car| {
                    car.belt_drive.begin_tapes();
                    car.belt_drive.tapes[0].to = 0;
                },
                "belt_drive.tapes.to is 0, needs another pulley of the 3 there are",
            ),
            (
                |car| car.belt_drive.mover.to_deg = Some(-90.0),
                "belt_drive.mover.to_deg is -90, needs 0 to 180",
            ),
            (
                |car| car.belt_drive.pulleys = vec![car.belt_drive.pulleys[0]; 11],
                "11 pulleys of the belt, at most 10",
            ),
            (
                |car| {
                    car.belt_drive.obstacles = vec![DriveObstacle {
                        name: " ".to_owned(),
                        x_mm: 0.0,
                        y_mm: 0.0,
                        across_mm: 10.0,
                    }];
                },
                "a obstacle name is empty or longer than 60 characters",
            ),
            (
                |car| car.belt_drive.ribs = Some(1),
                "belt_drive.ribs is 1, needs 2 to 12",
            ),
        ];
        for (change, said) in cases {
            let mut car = demo::nettle();
            change(&mut car);
            assert_eq!(car.check().unwrap_err().to_string(), said);
        }
    }
}
