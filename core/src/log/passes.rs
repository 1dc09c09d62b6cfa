//! Passes and sessions in a log, and the moments of each.

use serde::{Deserialize, Serialize};

use super::Seen;

/// What counts as a pass. What is absent is found from the log itself.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Rules {
    /// Engine speed over which the car is on a pass, rpm.
    pub high_rpm: Option<f64>,
    /// Shortest time that counts, s.
    pub least_s: f64,
    /// Longest time under that speed within one pass, s.
    pub pause_s: f64,
}

/// A stretch of time.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Span {
    /// Its start, s.
    pub from_s: f64,
    /// Its end, s.
    pub to_s: f64,
}

/// What was driven.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum PassKind {
    /// From a standing start to the stripe.
    Drag,
    /// Laps.
    Session,
}

/// An upshift: a sharp drop of engine speed.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Shift {
    /// When the drop begins, s.
    pub at_s: f64,
    /// When it is over, s.
    pub done_s: f64,
    /// Engine speed before, rpm.
    pub from_rpm: f64,
    /// Engine speed after, rpm.
    pub to_rpm: f64,
}

/// A pass or a session.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Pass {
    /// What was driven.
    pub kind: PassKind,
    /// From the launch (or the first high speed of a session) to the stripe (or the last).
    pub span: Span,
    /// Highest engine speed, rpm.
    pub highest_rpm: f64,
    /// Upshifts in their order.
    pub shifts: Seen<Vec<Shift>>,
    /// Stretches of rising engine speed between shifts: the gears of a pass.
    pub gears: Vec<Span>,
    /// Idling before it.
    pub idle: Option<Span>,
    /// Low engine speed after it, the engine still running.
    pub after: Option<Span>,
    /// When the engine was switched off after it, s.
    pub shutdown_s: Option<f64>,
}

/// Why a stretch of high engine speed is no pass.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Aside {
    /// Too short: a blip.
    Short,
    /// Shortly before a pass and no climb through the gears: a burnout.
    Burnout,
    /// The car did not move.
    Standing,
}

/// What a log was found to hold.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Found {
    /// The speed that was used, rpm.
    pub high_rpm: f64,
    /// Idle as the log shows it, rpm.
    pub idle_rpm: Option<f64>,
    /// Passes in their order.
    pub passes: Vec<Pass>,
    /// Stretches of high engine speed that are no pass.
    pub aside: Vec<(Span, Aside)>,
}
