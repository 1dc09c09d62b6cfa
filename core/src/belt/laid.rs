//! A drive with all places known and the belt laid over it, and the same with each uncertain
//! input at both ends of its range.

use thiserror::Error;

use super::layout::{Hold, Layout, Motion, Mover, Places, Point, Role, Section, Side, Tape};
use super::path::{Path, PathError, Wheel};
use super::place::{PlaceError, Placed, Placement, SideQuestion, place, replaced};
use crate::data::belt_memory::BACK_LINE_MM;
use crate::data::iso_9981::EFFECTIVE_LINE_DIFFERENTIAL_MM;
use crate::data::memory::Default as Ranged;
use crate::finding::Spread;

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

    fn over(
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

fn turned(centers: &[Point], layout: &Layout) -> Vec<Point> {
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

/// What makes an answer uncertain.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BeltInput {
    /// Diameter of a pulley.
    Diameter(usize),
    /// Diameter of the pulley to try in a place.
    NewPulley(usize),
    /// A distance by tape.
    Tape(usize),
    /// A pulley's place to the right.
    X(usize),
    /// A pulley's place upward.
    Y(usize),
    /// From a bare backside pulley to the belt's effective line.
    BackLine,
    /// Length of the belt on the car.
    BeltLength,
    /// Length of the belt to buy.
    NewBelt,
    /// Place of what the belt must miss.
    Obstacle(usize),
    /// From the belt's effective line to its face.
    BeltFace,
    /// How far a rim stands out.
    Rim,
    /// Mass of the belt.
    Mass,
    /// Friction.
    Friction,
    /// Power taken from the belt.
    Power,
    /// Inertia of the rotor.
    Inertia,
    /// Time of a shift.
    ShiftTime,
    /// Static tension there is.
    Tension,
    /// Length of the span plucked.
    SpanLength,
    /// Frequency heard.
    Frequency,
}

/// An answer with what it may be off by.
#[derive(Clone, Debug, PartialEq)]
pub struct Measured {
    /// With every input as entered.
    pub value: f64,
    /// 95 % half-widths.
    pub spread: Spread,
    /// Part of the variance of each input, largest first.
    pub shares: Vec<(BeltInput, f64)>,
}

impl Measured {
    /// From what each input changes, at its low and at its high end.
    pub(super) fn from_changes(value: f64, changes: &[(BeltInput, f64, f64)]) -> Self {
        let side = |sign: f64| {
            let most = |(_, low, high): &(BeltInput, f64, f64)| {
                (sign * low).max(sign * high).max(0.0).powi(2)
            };
            changes.iter().map(most).sum::<f64>().sqrt()
        };
        let square =
            |low: f64, high: f64| low.max(high).max(0.0).powi(2) + low.min(high).min(0.0).powi(2);
        let total: f64 = changes
            .iter()
            .map(|(_, low, high)| square(*low, *high))
            .sum();
        let mut shares: Vec<(BeltInput, f64)> = changes
            .iter()
            .map(|(input, low, high)| (*input, square(*low, *high) / total))
            .filter(|(_, share)| *share > 0.0)
            .collect();
        crate::sort::sort_short(&mut shares, |a, b| b.1.total_cmp(&a.1));
        Self {
            value,
            spread: Spread {
                down: side(-1.0),
                up: side(1.0),
            },
            shares,
        }
    }

    /// The same with another input that moves it so far either way.
    #[must_use]
    pub(super) fn widened(mut self, input: BeltInput, half_width: f64) -> Self {
        let old = self.spread.down.powi(2) + self.spread.up.powi(2);
        let added = 2.0 * half_width * half_width;
        for share in &mut self.shares {
            share.1 *= old / (old + added);
        }
        if added > 0.0 {
            self.shares.push((input, added / (old + added)));
            crate::sort::sort_short(&mut self.shares, |a, b| b.1.total_cmp(&a.1));
        }
        self.spread = Spread {
            down: self.spread.down.hypot(half_width),
            up: self.spread.up.hypot(half_width),
        };
        self
    }
}

/// A drive, and the same with each uncertain input at both ends of its range.
#[derive(Clone, Debug)]
pub struct Ranges {
    /// As entered.
    pub nominal: Laid,
    moved: Vec<(BeltInput, Option<Laid>, Option<Laid>)>,
}

impl Ranges {
    /// Prepares the moved drives.
    ///
    /// # Errors
    /// [`LayError`] where the drive as entered has no belt.
    pub fn new(layout: &Layout) -> Result<Self, LayError> {
        let nominal = Laid::new(layout)?;
        let mut moved = Vec::new();
        let mut push =
            |input, low: Option<Laid>, high: Option<Laid>| moved.push((input, low, high));
        for (at, pulley) in layout.pulleys.iter().enumerate() {
            if pulley.half_width_mm > 0.0 {
                let by = |sign: f64| {
                    let mut changed = layout.clone();
                    changed.pulleys[at].diameter_mm += sign * pulley.half_width_mm;
                    nominal.with(&changed).ok()
                };
                push(BeltInput::Diameter(at), by(-1.0), by(1.0));
            }
        }
        if layout
            .pulleys
            .iter()
            .any(|pulley| pulley.side == Side::Back)
        {
            let range = back_line(layout);
            if range.lowest < range.highest {
                let to = |mm| {
                    let mut changed = layout.clone();
                    changed.back_line_mm = Some(mm);
                    nominal.with(&changed).ok()
                };
                push(BeltInput::BackLine, to(range.lowest), to(range.highest));
            }
        }
        match &layout.places {
            Places::Coordinates { half_width_mm, .. } if *half_width_mm > 0.0 => {
                for at in 1..layout.pulleys.len() {
                    let by = |dx: f64, dy: f64| {
                        let mut centers: Vec<Point> =
                            nominal.wheels.iter().map(|wheel| wheel.at).collect();
                        centers[at].x_mm += dx;
                        centers[at].y_mm += dy;
                        Laid::over(layout, &centers, None).ok()
                    };
                    let half = *half_width_mm;
                    push(BeltInput::X(at), by(-half, 0.0), by(half, 0.0));
                    push(BeltInput::Y(at), by(0.0, -half), by(0.0, half));
                }
            }
            Places::Tape { distances, .. } => {
                for at in 0..distances.len() {
                    let by = |sign| by_tape(&nominal, distances, at, sign);
                    if distances[at].half_width_mm > 0.0 {
                        push(BeltInput::Tape(at), by(-1.0), by(1.0));
                    }
                }
            }
            Places::Coordinates { .. } => {}
        }
        Ok(Self { nominal, moved })
    }

    /// The same places and ranges with another pulley on one of them, which has its own
    /// tolerance.
    ///
    /// # Errors
    /// [`PathError`]: no belt goes over it.
    pub fn tried(
        &self,
        pulley: usize,
        diameter_mm: f64,
        half_width_mm: f64,
    ) -> Result<Self, PathError> {
        let of = |laid: &Laid, diameter_mm: f64| {
            let mut changed = laid.layout.clone();
            if let Some(pulley) = changed.pulleys.get_mut(pulley) {
                pulley.diameter_mm = diameter_mm;
                pulley.half_width_mm = half_width_mm;
            }
            laid.with(&changed)
        };
        let end = |laid: &Option<Laid>| of(laid.as_ref()?, diameter_mm).ok();
        let is_own = |input: BeltInput| {
            input == BeltInput::Diameter(pulley) || input == BeltInput::NewPulley(pulley)
        };
        let mut moved: Vec<_> = self
            .moved
            .iter()
            .filter(|(input, ..)| !is_own(*input))
            .map(|(input, low, high)| (*input, end(low), end(high)))
            .collect();
        if half_width_mm > 0.0 {
            moved.push((
                BeltInput::NewPulley(pulley),
                of(&self.nominal, diameter_mm - half_width_mm).ok(),
                of(&self.nominal, diameter_mm + half_width_mm).ok(),
            ));
        }
        Ok(Self {
            nominal: of(&self.nominal, diameter_mm)?,
            moved,
        })
    }

    /// An answer of the drive with its spread; `None` where the drive as entered has none. An
    /// end of a range where there is no answer makes it as uncertain as can be.
    pub fn measure(&self, answer: &dyn Fn(&Laid) -> Option<f64>) -> Option<Measured> {
        let value = answer(&self.nominal)?;
        let changes: Vec<(BeltInput, f64, f64)> = self
            .moved
            .iter()
            .map(|(input, low, high)| {
                let change = |laid: &Option<Laid>, none: f64| {
                    let at = laid.as_ref().and_then(answer);
                    at.map_or(none, |at| at - value)
                };
                let (low, high) = (change(low, f64::NEG_INFINITY), change(high, f64::INFINITY));
                (*input, low, high)
            })
            .collect();
        Some(Measured::from_changes(value, &changes))
    }

    /// An answer of two drives that share their places: both moved together.
    pub fn measure_both(
        &self,
        other: &Self,
        answer: &dyn Fn(&Laid, &Laid) -> Option<f64>,
    ) -> Option<Measured> {
        let value = answer(&self.nominal, &other.nominal)?;
        let mut changes = Vec::new();
        for (input, low, high) in &self.moved {
            let twin = other.moved.iter().find(|(other, ..)| other == input);
            let change = |laid: &Option<Laid>, twin: Option<&Option<Laid>>, none: f64| {
                let twin = match twin {
                    Some(twin) => twin.as_ref(),
                    None => Some(&other.nominal),
                };
                let at = laid.as_ref().zip(twin).and_then(|(a, b)| answer(a, b));
                at.map_or(none, |at| at - value)
            };
            changes.push((
                *input,
                change(low, twin.map(|twin| &twin.1), f64::NEG_INFINITY),
                change(high, twin.map(|twin| &twin.2), f64::INFINITY),
            ));
        }
        for (input, low, high) in &other.moved {
            if self.moved.iter().any(|(own, ..)| own == input) {
                continue;
            }
            let change = |laid: &Option<Laid>, none: f64| {
                let at = laid.as_ref().and_then(|b| answer(&self.nominal, b));
                at.map_or(none, |at| at - value)
            };
            changes.push((
                *input,
                change(low, f64::NEG_INFINITY),
                change(high, f64::INFINITY),
            ));
        }
        Some(Measured::from_changes(value, &changes))
    }
}

fn by_tape(nominal: &Laid, distances: &[Tape], at: usize, sign: f64) -> Option<Laid> {
    let mut tapes = distances.to_vec();
    tapes[at].distance_mm += sign * tapes[at].half_width_mm;
    let start = &nominal.placement.as_ref()?.centers;
    let centers = replaced(start, &tapes)?;
    let turned = turned(&centers, &nominal.layout);
    Laid::over(&nominal.layout, &turned, nominal.placement.clone()).ok()
}
