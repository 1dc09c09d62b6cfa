//! A drive with all places known and the belt laid over it.

use std::sync::OnceLock;

use thiserror::Error;

use super::layout::{Hold, Layout, Motion, Mover, Places, Point, Role, Section, Side};
use super::path::{Path, PathError, Wheel};
use super::place::{PlaceError, Placed, Placement, SideQuestion, place};
use crate::data::belt_memory::BACK_LINE_MM;
use crate::data::iso_9981::EFFECTIVE_LINE_DIFFERENTIAL_MM;
use crate::data::memory::Default as Ranged;

/// Places along the travel that are looked at.
const STEPS: u32 = 48;

/// Why a layout has no belt.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum LayError {
    /// No pulleys at all, or no place for each of them.
    #[error("{places} places for {pulleys} pulleys")]
    Places {
        /// Places given.
        places: usize,
        /// Pulleys given.
        pulleys: usize,
    },
    /// Distances give no places.
    #[error(transparent)]
    Place(#[from] PlaceError),
    /// Distances leave sides open.
    #[error("sides are open")]
    Ask(Vec<SideQuestion>),
    /// No belt goes over these places.
    #[error(transparent)]
    Path(#[from] PathError),
    /// The mover names a pulley that is not there, or its travel is none.
    #[error("the mover's pulley or travel is none")]
    Mover,
}

/// A layout with its belt.
#[derive(Clone, Debug, PartialEq)]
pub struct Laid {
    /// What was entered.
    pub layout: Layout,
    /// Pulleys as circles of the effective line, with the mover where it was measured.
    pub wheels: Vec<Wheel>,
    /// The belt over them.
    pub path: Path,
    /// How the places were found, where by tape.
    pub placement: Option<Placement>,
    /// Several places agreed with the tape; this is the only one that a belt in this order
    /// goes over.
    pub by_order: bool,
    /// Lengths along the travel, once they were asked for.
    lengths: Lengths,
}

/// Lengths along the travel, kept: many questions ask for them. They follow from the rest of a drive, so they say nothing
/// of whether two are the same.
#[derive(Clone, Debug, Default)]
struct Lengths(OnceLock<Vec<(f64, Option<f64>)>>);

impl PartialEq for Lengths {
    fn eq(&self, _: &Self) -> bool {
        true
    }
}

impl Laid {
    /// Lays the belt.
    ///
    /// # Errors
    /// [`LayError`]: places missing, contradicting or open, or no belt over them.
    pub fn new(layout: &Layout) -> Result<Self, LayError> {
        check_mover(layout)?;
        match &layout.places {
            Places::Coordinates { centers, .. } => {
                if centers.len() != layout.pulleys.len() {
                    return Err(LayError::Places {
                        places: centers.len(),
                        pulleys: layout.pulleys.len(),
                    });
                }
                Ok(Self::over(layout, centers, None)?)
            }
            Places::Tape {
                distances, sides, ..
            } => match place(layout.pulleys.len(), distances, sides)? {
                Placed::Solved(placed) => Ok(Self::placed(layout, &placed)?),
                Placed::Ask { answers, questions } => {
                    let mut belts = answers
                        .iter()
                        .filter_map(|answer| Self::placed(layout, answer).ok());
                    match (belts.next(), belts.next()) {
                        (Some(only), None) => Ok(Self {
                            by_order: true,
                            ..only
                        }),
                        _ => Err(LayError::Ask(questions)),
                    }
                }
            },
        }
    }

    fn placed(layout: &Layout, placement: &Placement) -> Result<Self, PathError> {
        let turned = turned(&placement.centers, layout);
        Self::over(layout, &turned, Some(placement.clone()))
    }

    pub(super) fn over(
        layout: &Layout,
        centers: &[Point],
        placement: Option<Placement>,
    ) -> Result<Self, PathError> {
        let wheels = wheels(layout, centers);
        Ok(Self {
            path: Path::new(&wheels)?,
            layout: layout.clone(),
            wheels,
            placement,
            by_order: false,
            lengths: Lengths::default(),
        })
    }

    /// The same places with other diameters.
    ///
    /// # Errors
    /// [`PathError`]: no belt goes over them.
    pub fn with(&self, layout: &Layout) -> Result<Self, PathError> {
        let centers: Vec<Point> = self.wheels.iter().map(|wheel| wheel.at).collect();
        Self::over(layout, &centers, self.placement.clone())
    }

    /// The circles with the mover moved so far (degrees or mm) from where it was measured.
    pub fn wheels_at(&self, travel: f64) -> Vec<Wheel> {
        let mut wheels = self.wheels.clone();
        if let Some(mover) = &self.layout.mover
            && let Some(wheel) = wheels.get_mut(mover.pulley)
        {
            wheel.at = moved(wheel.at, mover.motion, travel);
        }
        wheels
    }

    /// The belt with the mover moved.
    ///
    /// # Errors
    /// [`PathError`]: no belt goes over it there.
    pub fn path_at(&self, travel: f64) -> Result<Path, PathError> {
        Path::new(&self.wheels_at(travel))
    }

    /// Places along the travel where a belt goes over the pulleys, with its length there, mm.
    pub(super) fn lengths(&self) -> &[(f64, Option<f64>)] {
        self.lengths.0.get_or_init(|| {
            let Some(mover) = &self.layout.mover else {
                return Vec::new();
            };
            let (lower, upper) = mover.travel;
            (0..=STEPS)
                .map(|step| {
                    let at = lower + (upper - lower) * f64::from(step) / f64::from(STEPS);
                    (at, self.length_at(at))
                })
                .collect()
        })
    }

    /// Length of the belt with the mover moved, mm, where there is one.
    pub(super) fn length_at(&self, travel: f64) -> Option<f64> {
        self.path_at(travel).ok().map(|path| path.length_mm)
    }

    /// The same drive with the mover moved, its travel counted from there.
    ///
    /// # Errors
    /// [`PathError`]: no belt goes over it there.
    pub fn at(&self, travel: f64) -> Result<Self, PathError> {
        let wheels = self.wheels_at(travel);
        let mut layout = self.layout.clone();
        if let Some(mover) = &mut layout.mover {
            mover.travel.0 -= travel;
            mover.travel.1 -= travel;
        }
        Ok(Self {
            path: Path::new(&wheels)?,
            layout,
            wheels,
            placement: self.placement.clone(),
            by_order: self.by_order,
            lengths: Lengths::default(),
        })
    }

    /// Radius of the belt's pitch line on a pulley, mm: what speed and torque are made of.
    pub fn pitch_radius_mm(&self, pulley: usize) -> f64 {
        let line = match self.layout.section {
            Section::VRibbed { .. } => EFFECTIVE_LINE_DIFFERENTIAL_MM,
            Section::V => 0.0,
        };
        self.wheels
            .get(pulley)
            .map_or(f64::NAN, |wheel| wheel.radius_mm + wheel.side.sign() * line)
    }

    /// The pulley that drives.
    pub fn crank(&self) -> Option<usize> {
        self.layout.find(Role::Crank)
    }

    /// The pulley that a spring pushes, if any.
    pub fn sprung(&self) -> Option<usize> {
        let mover = self.layout.mover.as_ref()?;
        (mover.hold == Hold::Spring).then_some(mover.pulley)
    }
}

fn check_mover(layout: &Layout) -> Result<(), LayError> {
    let is_none = |mover: &Mover| {
        let (lower, upper) = mover.travel;
        let is_ordered = lower <= upper && lower.is_finite() && upper.is_finite();
        mover.pulley >= layout.pulleys.len() || !is_ordered
    };
    match &layout.mover {
        Some(mover) if is_none(mover) => Err(LayError::Mover),
        _ => Ok(()),
    }
}

/// Where a mover's pulley is after so much travel.
pub(super) fn moved(at: Point, motion: Motion, travel: f64) -> Point {
    match motion {
        Motion::Arm { pivot } => {
            let arm = pivot.to(at);
            let length = arm.x_mm.hypot(arm.y_mm);
            pivot.toward(arm.direction() + travel.to_radians(), length)
        }
        Motion::Slide { direction_deg } => at.toward(direction_deg.to_radians(), travel),
    }
}

pub(super) fn turned(centers: &[Point], layout: &Layout) -> Vec<Point> {
    let Places::Tape { turned_deg, .. } = &layout.places else {
        return centers.to_vec();
    };
    let by = turned_deg.to_radians();
    let turn = |center: &Point| {
        let radius = center.x_mm.hypot(center.y_mm);
        Point::default().toward(center.direction() + by, radius)
    };
    centers.iter().map(turn).collect()
}

/// From a bare backside pulley to the belt's effective line, mm.
pub(super) fn back_line(layout: &Layout) -> Ranged {
    match layout.back_line_mm {
        Some(value) => Ranged {
            value,
            lowest: value,
            highest: value,
        },
        None => BACK_LINE_MM,
    }
}

fn wheels(layout: &Layout, centers: &[Point]) -> Vec<Wheel> {
    layout
        .pulleys
        .iter()
        .zip(centers)
        .map(|(pulley, at)| Wheel {
            at: *at,
            radius_mm: 0.5 * pulley.diameter_mm
                + match pulley.side {
                    Side::Ribs => 0.0,
                    Side::Back => back_line(layout).value,
                },
            side: pulley.side,
        })
        .collect()
}
