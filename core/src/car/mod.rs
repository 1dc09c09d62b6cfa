//! The saved profile of a car: plain data, valid by construction.
//!
//! What the person has not entered is absent and stays absent; [`crate::resolve`] puts
//! typical values in when the car is studied. Half-entered things (one of two counted
//! turns, a pair with one point) are kept as they are.

mod belt_drive;
pub mod check;
pub mod demo;
pub mod entry;
pub mod file;
pub mod history;
mod kept;
mod phase;
mod race;
pub mod several;
mod supply;
pub mod swap;
mod tree;

pub use belt_drive::{
    BeltDrive, DriveMover, DriveObstacle, DrivePulley, MoverKind, Offered, PLACES_WITHIN_MM,
    PlacesBy, Shaft,
};
pub use phase::{ClampReading, EngineState, Phase, day_phases};
pub use race::{
    Costs, Course, CourseKind, Day, DayKind, DayReading, DayStep, LapSegment, Mishap, TimePoint,
    Tire,
};
pub use supply::{Age, Battery, Lead, Wiring};

use serde::{Deserialize, Serialize};

use crate::alternator::{Excitation, Fan, SpeedLimits, Warmth};
use crate::drive::{Belt, Hub, Pulley};
use crate::loads::Load;
use crate::quantity::{
    ElectricCurrent, ElectricPotential, RotationalSpeed, System, ThermodynamicTemperature,
};

/// A car, as far as its charging system goes.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Car {
    /// What the person calls it.
    pub name: String,
    /// Whether it is an invented example.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub invented: bool,
    /// Units it is shown and typed in.
    pub units: System,
    /// Engine speeds.
    #[serde(default)]
    pub engine: Engine,
    /// Belt and pulleys.
    #[serde(default)]
    pub drive: Drive,
    /// The alternator.
    #[serde(default)]
    pub alternator: Alternator,
    /// Consumers; typical ones stand in while absent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub loads: Option<Vec<Load>>,
    /// Current that the person means to switch off while idling and cruising.
    #[serde(
        rename = "shed_a",
        with = "crate::stored::opt_amps",
        default,
        skip_serializing_if = "Option::is_none"
    )]
    pub shed: Option<ElectricCurrent>,
    /// Phases of a race day, in order.
    #[serde(default = "day_phases")]
    pub phases: Vec<Phase>,
    /// The battery.
    #[serde(default, skip_serializing_if = "is_blank")]
    pub battery: Battery,
    /// Charge wiring, and where voltage is read.
    #[serde(default, skip_serializing_if = "is_blank")]
    pub wiring: Wiring,
    /// The pass.
    #[serde(default, skip_serializing_if = "is_blank")]
    pub course: Course,
    /// The day around it.
    #[serde(default, skip_serializing_if = "is_blank")]
    pub day: Day,
    /// The belt drive.
    #[serde(default, skip_serializing_if = "is_blank")]
    pub belt_drive: BeltDrive,
    /// The job card of the swap at hand.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub swap: Option<swap::JobCard>,
    /// What was on it when, the oldest first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub history: Vec<history::Entry>,
}

/// Whether nothing was entered into a part of the car.
fn is_blank<T: Default + PartialEq>(part: &T) -> bool {
    *part == T::default()
}

impl Car {
    /// A car of which nothing is known yet.
    pub fn new(name: &str, units: System) -> Self {
        Self {
            name: name.to_owned(),
            invented: false,
            units,
            engine: Engine::default(),
            drive: Drive::default(),
            alternator: Alternator::default(),
            loads: None,
            shed: None,
            phases: day_phases(),
            battery: Battery::default(),
            wiring: Wiring::default(),
            course: Course::default(),
            day: Day::default(),
            belt_drive: BeltDrive::default(),
            swap: None,
            history: Vec::new(),
        }
    }
}

/// What stands between engine and wheels, as far as idle depends on it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Gearbox {
    /// Pulls the idle down in gear.
    Automatic,
    /// Idles alike in gear and out.
    Manual,
}

/// Engine speeds.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Engine {
    /// Speed at which the limiter cuts in.
    #[serde(
        rename = "limiter_rpm",
        with = "crate::stored::opt_rpm",
        skip_serializing_if = "Option::is_none"
    )]
    pub limiter: Option<RotationalSpeed>,
    /// Idle in neutral, warm.
    #[serde(
        rename = "idle_rpm",
        with = "crate::stored::opt_rpm",
        skip_serializing_if = "Option::is_none"
    )]
    pub idle: Option<RotationalSpeed>,
    /// Idle in gear.
    #[serde(
        rename = "idle_in_gear_rpm",
        with = "crate::stored::opt_rpm",
        skip_serializing_if = "Option::is_none"
    )]
    pub idle_in_gear: Option<RotationalSpeed>,
    /// Speed at launch.
    #[serde(
        rename = "launch_rpm",
        with = "crate::stored::opt_rpm",
        skip_serializing_if = "Option::is_none"
    )]
    pub launch: Option<RotationalSpeed>,
    /// Speed at which it is shifted.
    #[serde(
        rename = "shift_rpm",
        with = "crate::stored::opt_rpm",
        skip_serializing_if = "Option::is_none"
    )]
    pub shift: Option<RotationalSpeed>,
    /// How far it goes over the limiter at worst.
    #[serde(
        rename = "overshoot_rpm",
        with = "crate::stored::opt_rpm",
        skip_serializing_if = "Option::is_none"
    )]
    pub overshoot: Option<RotationalSpeed>,
    /// Gearbox.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub gearbox: Option<Gearbox>,
}

/// How the ratio of the fitted pulleys is known.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum RatioBy {
    /// From the sizes of both pulleys.
    #[default]
    Sizes,
    /// Turns counted by hand.
    Turns,
    /// Both speeds read at the same moment.
    Speeds,
}

/// Belt, pulleys and what else turns with them.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Drive {
    /// Belt profile.
    pub belt: Belt,
    /// Crank pulley on the car.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub crank: Option<Pulley>,
    /// Alternator pulley on the car.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fitted: Option<Pulley>,
    /// Alternator pulley to try; one is suggested while absent.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tried: Option<Pulley>,
    /// Crank pulley to try; the one on the car while absent.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tried_crank: Option<Pulley>,
    /// Alternator pulleys in the toolbox.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub on_hand: Vec<Pulley>,
    /// How the ratio is known.
    pub ratio_by: RatioBy,
    /// Turns of the crank while counting.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub crank_turns: Option<f64>,
    /// Turns of the alternator meanwhile.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub alternator_turns: Option<f64>,
    /// Engine speed while reading both.
    #[serde(
        rename = "read_engine_rpm",
        with = "crate::stored::opt_rpm",
        skip_serializing_if = "Option::is_none"
    )]
    pub read_engine: Option<RotationalSpeed>,
    /// Alternator speed while reading both.
    #[serde(
        rename = "read_alternator_rpm",
        with = "crate::stored::opt_rpm",
        skip_serializing_if = "Option::is_none"
    )]
    pub read_alternator: Option<RotationalSpeed>,
    /// Jackshaft between crank and alternator.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub second_stage: Option<SecondStage>,
    /// Whether the alternator pulley can overrun.
    pub hub: Hub,
    /// What else the crank pulley turns, by name.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub accessories: Vec<String>,
}

/// A jackshaft: the crank's belt drives `driven`, `driving` drives the alternator's belt.
/// While one of them is not entered, nothing can be said of the speed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct SecondStage {
    /// Pulley that the crank's belt turns.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub driven: Option<Pulley>,
    /// Pulley on the same shaft that turns the alternator's belt.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub driving: Option<Pulley>,
}

/// How the alternator's output is known.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum RatingBy {
    /// One number on the case.
    #[default]
    OneNumber,
    /// Two figures, at a low and at rated speed.
    Pair,
    /// Points of a data sheet or a bench run.
    Points,
}

/// One point of an output curve.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CurvePoint {
    /// Alternator speed.
    #[serde(rename = "speed_rpm", with = "crate::stored::rpm")]
    pub speed: RotationalSpeed,
    /// Output.
    #[serde(rename = "current_a", with = "crate::stored::amps")]
    pub current: ElectricCurrent,
}

/// Nominal voltage of the system.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Nominal {
    /// Six lead-acid cells.
    #[default]
    #[serde(rename = "12V")]
    TwelveVolt,
    /// Eight lead-acid cells.
    #[serde(rename = "16V")]
    SixteenVolt,
}

impl Nominal {
    /// Cells in series over the six of a 12 V battery.
    pub fn scale(self) -> f64 {
        match self {
            Self::TwelveVolt => 1.0,
            Self::SixteenVolt => 8.0 / 6.0,
        }
    }
}

/// The alternator and its regulator.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Alternator {
    /// Nominal voltage.
    pub nominal: Nominal,
    /// How its output is known.
    pub rating_by: RatingBy,
    /// Rated output: the number on the case.
    #[serde(
        rename = "rated_a",
        with = "crate::stored::opt_amps",
        skip_serializing_if = "Option::is_none"
    )]
    pub rated: Option<ElectricCurrent>,
    /// Speed of the rated output; 6,000 rpm where absent.
    #[serde(
        rename = "rated_rpm",
        with = "crate::stored::opt_rpm",
        skip_serializing_if = "Option::is_none"
    )]
    pub rated_speed: Option<RotationalSpeed>,
    /// Output at low speed.
    #[serde(
        rename = "low_a",
        with = "crate::stored::opt_amps",
        skip_serializing_if = "Option::is_none"
    )]
    pub low: Option<ElectricCurrent>,
    /// Speed of the low output; 1,500 rpm where absent.
    #[serde(
        rename = "low_rpm",
        with = "crate::stored::opt_rpm",
        skip_serializing_if = "Option::is_none"
    )]
    pub low_speed: Option<RotationalSpeed>,
    /// Points of its curve, lowest speed first.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub points: Vec<CurvePoint>,
    /// Voltage of the rating.
    #[serde(
        rename = "test_v",
        with = "crate::stored::opt_volts",
        skip_serializing_if = "Option::is_none"
    )]
    pub test_voltage: Option<ElectricPotential>,
    /// Whether the rating is a settled one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub warmth: Option<Warmth>,
    /// How it is built.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fan: Option<Fan>,
    /// The maker's speed limits.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub limits: Option<SpeedLimits>,
    /// How it turns on.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub excitation: Option<Excitation>,
    /// Voltage that the regulator holds.
    #[serde(
        rename = "set_point_v",
        with = "crate::stored::opt_volts",
        skip_serializing_if = "Option::is_none"
    )]
    pub set_point: Option<ElectricPotential>,
    /// Air around it once the engine is hot.
    #[serde(
        rename = "under_hood_c",
        with = "crate::stored::opt_celsius",
        skip_serializing_if = "Option::is_none"
    )]
    pub under_hood: Option<ThermodynamicTemperature>,
}
