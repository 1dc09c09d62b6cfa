//! Two passes side by side: before a change and after it.

use serde::{Deserialize, Serialize};

use super::{Seen, Within};

/// What is compared.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Measure {
    /// Voltage idling before it, V.
    Idle,
    /// Voltage at the launch, V.
    Launch,
    /// Lowest voltage, V.
    Lowest,
    /// Voltage at the stripe, V.
    Stripe,
    /// Change of voltage over the gear where it falls most, V.
    FallInGear,
    /// Fade over the pass, V.
    Fade,
    /// Time over the continuous limit (low end of an assumed one), s.
    OverContinuous,
    /// Highest alternator speed, rpm.
    HighestAlternator,
}

/// One figure of both passes.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Pair {
    /// Which.
    pub measure: Measure,
    /// Before.
    pub before: f64,
    /// After.
    pub after: f64,
    /// After less before, with how far off it may be.
    pub change: Within,
    /// Whether it is a change for the better; `None` where it is within what it may be off.
    pub better: Option<bool>,
}

/// What the change did.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Cure {
    /// What was wrong before is gone.
    Cured,
    /// It is better, and not gone.
    Better,
    /// No change beyond what the logs may be off.
    Same,
    /// It is worse.
    Worse,
    /// Nothing was wrong before.
    NothingToCure,
    /// The two cannot be compared: one of them lacks the figure.
    CannotTell,
}

/// Two passes side by side.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Comparison {
    /// What the change did.
    pub cure: Cure,
    /// The figure that says so.
    pub by: Option<Measure>,
    /// Every figure that both have.
    pub pairs: Vec<Pair>,
    /// Seconds to take off each log's time so that both launch at zero.
    pub launch_s: (f64, f64),
    /// Whether they were driven alike: highest engine speed and length within a tenth.
    pub alike: Seen<bool>,
}
