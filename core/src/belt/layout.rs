//! What a person enters of a belt drive.

use serde::{Deserialize, Serialize};

use super::length::BeltSize;

/// A place in the plane of the belt: x to the right, y up, as seen from the front.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Point {
    /// To the right, mm.
    pub x_mm: f64,
    /// Up, mm. (A screen's y goes down.)
    pub y_mm: f64,
}

impl Point {
    /// A place.
    pub const fn new(x_mm: f64, y_mm: f64) -> Self {
        Self { x_mm, y_mm }
    }

    /// Distance to another place, mm.
    pub fn distance_mm(self, to: Self) -> f64 {
        (to.x_mm - self.x_mm).hypot(to.y_mm - self.y_mm)
    }

    /// From here to another place.
    pub(super) fn to(self, to: Self) -> Self {
        Self::new(to.x_mm - self.x_mm, to.y_mm - self.y_mm)
    }

    /// So far from here in a direction (radians).
    pub(super) fn toward(self, direction: f64, mm: f64) -> Self {
        let (sin, cos) = direction.sin_cos();
        Self::new(self.x_mm + mm * cos, self.y_mm + mm * sin)
    }

    pub(super) fn direction(self) -> f64 {
        self.y_mm.atan2(self.x_mm)
    }

    pub(super) fn dot(self, other: Self) -> f64 {
        self.x_mm * other.x_mm + self.y_mm * other.y_mm
    }

    pub(super) fn cross(self, other: Self) -> f64 {
        self.x_mm * other.y_mm - self.y_mm * other.x_mm
    }

    pub(super) fn is_finite(self) -> bool {
        self.x_mm.is_finite() && self.y_mm.is_finite()
    }
}

/// Which side of the belt runs on a pulley.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Side {
    /// The ribs (or the V): the pulley lies inside the belt and turns with it, counter-clockwise.
    #[default]
    Ribs,
    /// The flat back: the pulley lies outside and turns the other way.
    Back,
}

impl Side {
    /// +1 for ribs, -1 for the back.
    pub const fn sign(self) -> f64 {
        match self {
            Self::Ribs => 1.0,
            Self::Back => -1.0,
        }
    }
}

/// What a pulley is for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Role {
    /// Drives the belt.
    #[default]
    Crank,
    /// The alternator.
    Alternator,
    /// Water pump.
    WaterPump,
    /// Power steering pump.
    PowerSteering,
    /// Tensioner: its place follows the belt's length.
    Tensioner,
    /// Idler: turns freely in its place.
    Idler,
    /// Anything else that takes power.
    Other,
}

/// A pulley in the belt's way.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BeltPulley {
    /// What it is for.
    pub role: Role,
    /// Side of the belt that runs on it.
    pub side: Side,
    /// Effective diameter under ribs (pitch diameter under a V belt), bare outside diameter
    /// under the back, mm.
    pub diameter_mm: f64,
    /// 95 % half-width of the diameter, mm.
    pub half_width_mm: f64,
}

/// A distance between two centers, by tape.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Tape {
    /// One pulley, by its place in the belt's order, from 0.
    pub from: usize,
    /// The other.
    pub to: usize,
    /// Center to center, mm.
    pub distance_mm: f64,
    /// 95 % half-width, mm.
    pub half_width_mm: f64,
}

/// The answer to a question on which side of a line a pulley lies, as seen from the front.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SideAnswer {
    /// The pulley.
    pub pulley: usize,
    /// Looking from this pulley ...
    pub from: usize,
    /// ... to this one ...
    pub to: usize,
    /// ... it lies to the left.
    pub left: bool,
}

/// How the pulleys' places are known.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum Places {
    /// Centers by x and y.
    Coordinates {
        /// One for each pulley.
        centers: Vec<Point>,
        /// 95 % half-width of each coordinate, mm.
        half_width_mm: f64,
    },
    /// Distances between centers.
    Tape {
        /// The distances.
        distances: Vec<Tape>,
        /// What was answered so far.
        sides: Vec<SideAnswer>,
        /// Direction from the first to the second pulley, counter-clockwise from x, degrees.
        /// Nothing computed depends on it; it turns the drawing.
        #[serde(default)]
        turned_deg: f64,
    },
}

/// How a pulley moves that sets the belt's tension.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum Motion {
    /// On an arm around a pivot; the travel counts in degrees, counter-clockwise.
    Arm {
        /// The pivot.
        pivot: Point,
    },
    /// Along a straight slot; the travel counts in mm.
    Slide {
        /// Direction of positive travel, counter-clockwise from x, degrees.
        direction_deg: f64,
    },
}

/// What holds it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum Hold {
    /// A bolt: tension is set by hand, centers are fixed when running.
    #[default]
    Bolted,
    /// A spring keeps the tension.
    Spring,
}

/// The pulley that moves: a tensioner, or the alternator on its bracket.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Mover {
    /// Which pulley, by its place in the belt's order.
    pub pulley: usize,
    /// How it moves.
    pub motion: Motion,
    /// Ends of its travel counted from where it was measured: lower, upper (degrees or mm).
    pub travel: (f64, f64),
    /// What holds it.
    #[serde(default)]
    pub hold: Hold,
}

/// Which way the crank turns as seen from the front.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Turning {
    /// As most engines do.
    #[default]
    Clockwise,
    /// The other way.
    CounterClockwise,
}

/// What the belt is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum Section {
    /// PK, so many ribs.
    VRibbed {
        /// Ribs.
        ribs: u8,
    },
    /// A V belt.
    V,
}

impl Default for Section {
    fn default() -> Self {
        Self::VRibbed { ribs: 6 }
    }
}

/// Something that the belt must miss.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Obstacle {
    /// What the person calls it.
    pub name: String,
    /// Its middle.
    pub at: Point,
    /// Its radius (half the width of a bolt head across corners), mm.
    pub radius_mm: f64,
    /// 95 % half-width of its place, mm.
    pub half_width_mm: f64,
}

/// A belt drive as a person enters it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Layout {
    /// The pulleys in the belt's order, counter-clockwise as seen from the front.
    pub pulleys: Vec<BeltPulley>,
    /// Where they are.
    pub places: Places,
    /// The one that moves, if any.
    #[serde(default)]
    pub mover: Option<Mover>,
    /// Which way the crank turns.
    #[serde(default)]
    pub turning: Turning,
    /// Section of the belt.
    #[serde(default)]
    pub section: Section,
    /// The belt on the car, if its designation is known.
    #[serde(default)]
    pub belt: Option<BeltSize>,
    /// What the belt must miss.
    #[serde(default)]
    pub obstacles: Vec<Obstacle>,
    /// From a bare backside pulley to the belt's effective line, mm; typical while absent.
    #[serde(default)]
    pub back_line_mm: Option<f64>,
}

impl Layout {
    /// The first pulley with this role.
    pub fn find(&self, role: Role) -> Option<usize> {
        self.pulleys.iter().position(|pulley| pulley.role == role)
    }

    /// The same drive with another pulley of this diameter (effective, mm) for a role; as it is
    /// where nothing has that role.
    #[must_use]
    pub fn with_pulley(&self, role: Role, diameter_mm: f64, half_width_mm: f64) -> Self {
        let mut changed = self.clone();
        if let Some(pulley) = changed
            .pulleys
            .iter_mut()
            .find(|pulley| pulley.role == role)
        {
            pulley.diameter_mm = diameter_mm;
            pulley.half_width_mm = half_width_mm;
        }
        changed
    }
}
