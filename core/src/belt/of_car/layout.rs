//! The layout of a car's belt drive, and the pulleys to try on it.

use crate::belt::TriedPulley;
use crate::belt::laid::LayError;
use crate::belt::layout::{
    BeltPulley, Layout, Motion, Mover, Obstacle, Places, Point, Role, Section,
};
use crate::car::{BeltDrive, Car, DriveMover, MoverKind, PlacesBy};
use crate::drive::{Belt, Pulley};
use crate::quantity::InLength;
use crate::resolve::Params;
use crate::study::Study;

/// Ribs of a belt while nobody says how many.
const USUAL_RIBS: u8 = 6;
/// Good to so much, mm: the place of an obstacle, by x and y (from memory).
const OBSTACLE_WITHIN_MM: f64 = 2.0;
/// Why a car has no belt to look at.
#[derive(Clone, Debug, PartialEq)]
pub enum NoBelt {
    /// No pulleys entered.
    Empty,
    /// No pulley with this role, which a belt drive of a charging system has.
    NoRole(Role),
    /// A pulley, by the belt's order, without a diameter.
    NoDiameter(usize),
    /// A designation with ribs on a drive without, or the other way round.
    OtherBelt,
    /// The layout as it is on the car.
    Lay(LayError),
}

/// A belt drive of a car as the formulas take it.
pub fn car_layout(car: &Car, study: Option<&Study>) -> Result<Layout, NoBelt> {
    let drive = &car.belt_drive;
    if drive.pulleys.is_empty() {
        return Err(NoBelt::Empty);
    }
    for role in [Role::Crank, Role::Alternator] {
        if !drive.pulleys.iter().any(|pulley| pulley.role == role) {
            return Err(NoBelt::NoRole(role));
        }
    }
    let pulleys = drive.pulleys.iter().enumerate().map(|(at, pulley)| {
        let own = pulley.diameter_mm.map(|mm| (mm, pulley.within_mm()));
        let size = match pulley.role {
            Role::Crank => driving_mm(car, study),
            Role::Alternator => driven_mm(car, study),
            _ => own,
        };
        let (diameter_mm, half_width_mm) = size.ok_or(NoBelt::NoDiameter(at))?;
        Ok(BeltPulley {
            role: pulley.role,
            side: pulley.side,
            diameter_mm,
            half_width_mm,
        })
    });
    let section = match car.drive.belt {
        Belt::VRibbed => Section::VRibbed {
            ribs: drive.ribs.unwrap_or(USUAL_RIBS),
        },
        Belt::Other => Section::V,
    };
    let belt = drive.belt();
    if belt.is_some_and(|belt| belt.section != section) {
        return Err(NoBelt::OtherBelt);
    }
    Ok(Layout {
        pulleys: pulleys.collect::<Result<_, NoBelt>>()?,
        places: places(drive),
        mover: mover(&drive.mover),
        turning: drive.turning,
        section,
        belt,
        obstacles: obstacles(drive),
        back_line_mm: None,
    })
}

fn places(drive: &BeltDrive) -> Places {
    match drive.places_by {
        PlacesBy::Coordinates => Places::Coordinates {
            centers: drive.pulleys.iter().map(|pulley| pulley.at()).collect(),
            half_width_mm: drive.places_within_mm(),
        },
        PlacesBy::Tape => Places::Tape {
            distances: drive.tapes.clone(),
            sides: drive.sides.clone(),
            turned_deg: drive.turned_deg.unwrap_or(0.0),
        },
    }
}

/// The mover; none while what it needs is not entered.
fn mover(mover: &DriveMover) -> Option<Mover> {
    let (motion, travel) = match mover.kind {
        MoverKind::Arm => (
            Motion::Arm {
                pivot: Point::new(mover.pivot_x_mm?, mover.pivot_y_mm?),
            },
            (mover.from_deg, mover.to_deg),
        ),
        MoverKind::Slide => (
            Motion::Slide {
                direction_deg: mover.direction_deg?,
            },
            (mover.from_mm, mover.to_mm),
        ),
    };
    Some(Mover {
        pulley: usize::from(mover.pulley?),
        motion,
        travel: (travel.0.unwrap_or(0.0), travel.1.unwrap_or(0.0)),
        hold: mover.hold,
    })
}

fn obstacles(drive: &BeltDrive) -> Vec<Obstacle> {
    let each = drive.obstacles.iter().map(|one| Obstacle {
        name: one.name.clone(),
        at: Point::new(one.x_mm, one.y_mm),
        radius_mm: 0.5 * one.across_mm,
        half_width_mm: OBSTACLE_WITHIN_MM,
    });
    each.collect()
}

/// The belt's own diameter of a pulley with its half-width, mm.
fn sized(car: &Car, pulley: &Pulley) -> (f64, f64) {
    let size = pulley.effective(car.drive.belt);
    (size.value.mm(), size.half_width.mm())
}

/// What the study tells of a pulley whose size was not entered.
fn told(study: Option<&Study>, pitch_mm: fn(&Params) -> f64) -> Option<(f64, f64)> {
    let tolerances = &study?.tolerances;
    let over_mm = tolerances.resolved().pitch_over_effective_mm;
    let (value, spread) = tolerances.straight(|state| pitch_mm(&state.params));
    (value > over_mm).then(|| (value - over_mm, spread.widest()))
}

/// The pulley that drives the alternator's belt.
fn driving_mm(car: &Car, study: Option<&Study>) -> Option<(f64, f64)> {
    if let Some(stage) = &car.drive.second_stage {
        return stage.driving.as_ref().map(|pulley| sized(car, pulley));
    }
    match &car.drive.crank {
        Some(crank) => Some(sized(car, crank)),
        None => told(study, Params::crank_mm),
    }
}

fn driven_mm(car: &Car, study: Option<&Study>) -> Option<(f64, f64)> {
    match &car.drive.fitted {
        Some(fitted) => Some(sized(car, fitted)),
        None => told(study, Params::fitted_mm),
    }
}

/// The pulleys to try on a layout of a car: of the alternator, and of the crank where there is one.
pub fn tried_pulleys(car: &Car, study: Option<&Study>, layout: &Layout) -> Vec<TriedPulley> {
    let suggested = study.and_then(|study| study.tried.as_ref());
    let alternator = car.drive.tried.or(suggested.map(|tried| tried.pulley));
    // On a jackshaft the crank's pulley is on another belt.
    let crank = car
        .drive
        .tried_crank
        .filter(|_| car.drive.second_stage.is_none());
    let each = [(Role::Alternator, alternator), (Role::Crank, crank)];
    let each = each.into_iter().filter_map(|(role, pulley)| {
        let (diameter_mm, half_width_mm) = sized(car, &pulley?);
        Some(TriedPulley {
            pulley: layout.find(role)?,
            diameter_mm,
            half_width_mm,
        })
    });
    each.collect()
}

/// Turns of the pulley that drives the alternator's belt for one of the crank.
pub(super) fn stage_of(car: &Car, tried: bool) -> f64 {
    let pitch = |pulley: &Option<Pulley>| {
        let pulley = pulley.as_ref()?;
        Some(pulley.pitch(car.drive.belt).value.mm())
    };
    let stage = car.drive.second_stage.as_ref();
    let driven = stage.and_then(|stage| pitch(&stage.driven));
    let tried = pitch(&car.drive.tried_crank).filter(|_| tried);
    let crank = tried.or(pitch(&car.drive.crank));
    match (driven, crank) {
        (Some(driven), Some(crank)) => crank / driven,
        _ => 1.0,
    }
}
