//! What the car does at the track: the pass, and the day around it.

use serde::{Deserialize, Serialize};

/// What is driven against the clock.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum CourseKind {
    /// An eighth of a mile from a standing start.
    #[default]
    Eighth,
    /// A quarter of a mile from a standing start.
    Quarter,
    /// Laps of named segments.
    Lap,
    /// Engine speed over time, typed point by point.
    Points,
}

impl CourseKind {
    /// All of them, for pickers.
    pub const ALL: [Self; 4] = [Self::Eighth, Self::Quarter, Self::Lap, Self::Points];
}

/// How the tire grows with speed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Tire {
    /// Hardly at all.
    Radial,
    /// A few percent at the stripe.
    BiasSlick,
}

/// What may go wrong on a pass: looked at, not counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Mishap {
    /// A missed shift: the engine flies up to the limiter and over it.
    MissedShift,
    /// The engine stays on the limiter to the stripe.
    OnLimiter,
    /// A gear too low before a corner.
    OverRev,
}

/// One point of engine speed over time.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TimePoint {
    /// Since the start, s.
    pub seconds: f64,
    /// Engine speed, rpm.
    pub speed_rpm: f64,
}

/// One segment of a lap.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LapSegment {
    /// What the person calls it.
    pub name: String,
    /// How long it takes, s.
    pub seconds: f64,
    /// Engine speed at its start, rpm.
    pub from_rpm: f64,
    /// Engine speed at its end, rpm.
    pub to_rpm: f64,
}

/// The pass, as far as the person knows it.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Course {
    /// What is driven.
    pub kind: CourseKind,
    /// Elapsed time, s.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub elapsed_s: Option<f64>,
    /// Trap speed, m/s.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub trap_mps: Option<f64>,
    /// Time to 60 ft, s.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sixty_ft_s: Option<f64>,
    /// Gear ratios, first gear first.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub gears: Vec<f64>,
    /// Final drive ratio.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub final_drive: Option<f64>,
    /// Tire diameter under load: loaded rollout over pi, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tire_mm: Option<f64>,
    /// How the tire grows.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tire: Option<Tire>,
    /// Converter or clutch slip at the stripe, as a fraction.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub slip: Option<f64>,
    /// How long a shift takes, s.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub shift_s: Option<f64>,
    /// Typed points, earliest first.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub points: Vec<TimePoint>,
    /// Segments of a lap.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub segments: Vec<LapSegment>,
    /// Laps of a session.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub laps: Option<u32>,
    /// What is looked at besides a clean pass.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub mishap: Option<Mishap>,
    /// What low voltage costs: the person's own devices.
    pub costs: Costs,
}

/// The person's own figures for what low voltage costs; a published device stands in for
/// each that is absent.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Costs {
    /// Pump flow at 12 V, L/h.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub flow_12_lph: Option<f64>,
    /// Pump flow at 13.5 V, L/h.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub flow_13_5_lph: Option<f64>,
    /// Injector dead time at 12 V, ms.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub dead_12_ms: Option<f64>,
    /// Injector dead time at 14 V, ms.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub dead_14_ms: Option<f64>,
    /// Inductance of the ignition coil's primary, mH.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub coil_mh: Option<f64>,
    /// Its resistance with the driver's, ohm.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub coil_ohm: Option<f64>,
    /// Current it has to reach, A.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub coil_a: Option<f64>,
}

/// One step of a round.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DayStep {
    /// Id of the phase.
    pub phase: String,
    /// How long it lasts, s; the pass itself takes its own time.
    pub seconds: f64,
    /// Starts of the engine at its beginning.
    #[serde(default, skip_serializing_if = "is_zero")]
    pub starts: u32,
    /// Whether the pit charger is on it.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub charger: bool,
    /// Whether the engine and everything else is switched off, whatever the phase says:
    /// waiting in the lanes.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub off: bool,
}

#[allow(clippy::trivially_copy_pass_by_ref)] // serde hands it out so
fn is_zero(count: &u32) -> bool {
    *count == 0
}

/// Which day the steps were taken from.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum DayKind {
    /// Elimination rounds, closer together late in the day.
    #[default]
    Bracket,
    /// Sessions of laps.
    TrackDay,
    /// Pass after pass.
    TestAndTune,
}

impl DayKind {
    /// All of them, for pickers.
    pub const ALL: [Self; 3] = [Self::Bracket, Self::TrackDay, Self::TestAndTune];
}

/// One meter reading during the day.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DayReading {
    /// Before which round, from 1: read with everything off.
    pub before_round: u32,
    /// What the meter read, V.
    pub volts: f64,
    /// Hours since it was last charged, by engine or charger, h.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rested_h: Option<f64>,
}

/// The day, as far as the person planned it.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Day {
    /// What kind of day.
    pub kind: DayKind,
    /// Rounds.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rounds: Option<u32>,
    /// Steps of one round, in order; those of the kind of day where empty.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub steps: Vec<DayStep>,
    /// From which round on the pits are shorter.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub late_from: Option<u32>,
    /// How long the pits last then, s.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub late_pits_s: Option<f64>,
    /// Air over the day, degrees Celsius.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ambient_c: Option<f64>,
    /// Current of the pit charger, A.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub charger_a: Option<f64>,
    /// Voltage it charges to, V.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub charger_v: Option<f64>,
    /// Current of the starter, A.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub starter_a: Option<f64>,
    /// How long it turns, s.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub starter_s: Option<f64>,
    /// Lowest voltage that the person will race with, V.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub least_v: Option<f64>,
    /// A reading that anchors the rest of the day.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reading: Option<DayReading>,
}
