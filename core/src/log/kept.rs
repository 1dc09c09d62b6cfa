//! A pass as it is kept with the car.

use serde::{Deserialize, Serialize};

use super::{diagnose::Outcome, dwell::Dwell, figures::Figures, passes::Pass, thin::Line};

/// What was on the car on that pass, as far as known.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Fitted {
    /// What tells one set of pulleys from another, as the person reads it.
    pub pulleys: String,
    /// What tells one alternator from another.
    pub alternator: String,
    /// Alternator turns for one engine turn.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ratio: Option<f64>,
    /// Continuous limit, low and high end, alternator rpm.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub continuous_rpm: Option<(f64, f64)>,
    /// Short-time limit, low and high end, alternator rpm.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub short_rpm: Option<(f64, f64)>,
}

/// A pass as it is kept.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct KeptPass {
    /// What the person calls it.
    pub name: String,
    /// When it was, as the app wrote it.
    pub date: String,
    /// What was on the car.
    pub fitted: Fitted,
    /// Its moments; times of the log.
    pub pass: Pass,
    /// Its figures.
    pub figures: Figures,
    /// What it was found to say.
    pub outcome: Outcome,
    /// Engine speed, thinned.
    pub rpm: Line,
    /// Voltage, thinned.
    pub volts: Line,
    /// Seconds at each engine speed.
    pub dwell: Dwell,
}

/// Time over the limits of all kept passes with the same pulleys and alternator.
#[derive(Clone, Debug, PartialEq)]
pub struct Worn {
    /// What was on the car.
    pub fitted: Fitted,
    /// Passes.
    pub passes: usize,
    /// Over the continuous limit, at its high and at its low end, s.
    pub continuous_s: (f64, f64),
    /// Over the short-time limit, at its high and at its low end, s.
    pub short_s: (f64, f64),
    /// Highest alternator speed, rpm.
    pub highest_rpm: f64,
}
