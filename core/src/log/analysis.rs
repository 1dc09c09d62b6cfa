//! A log, looked through.

use serde::{Deserialize, Serialize};

use super::{
    Seen,
    bands::Bands,
    diagnose::Diagnosis,
    dwell::Dwell,
    figures::{Between, Crank, Figures},
    passes::{Found, Pass, Span},
};

/// What a log can show at all.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Sampling {
    /// All of it.
    pub span: Span,
    /// Engine speeds a second.
    pub rpm_hz: f64,
    /// Voltages a second.
    pub volts_hz: f64,
    /// Steps in which the voltage was written, V.
    pub step_v: f64,
    /// How far single voltages scatter, V, root mean square.
    pub noise_v: f64,
    /// Gaps without any sample.
    pub gaps: usize,
    /// All gaps together, s.
    pub gaps_s: f64,
}

/// One pass, looked through.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct PassFound {
    /// The pass.
    pub pass: Pass,
    /// Its figures.
    pub figures: Figures,
    /// What it says.
    pub diagnosis: Diagnosis,
    /// Seconds at each engine speed.
    pub dwell: Dwell,
}

/// A log, looked through.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Analysis {
    /// What it can show.
    pub sampling: Sampling,
    /// Bands that were used.
    pub bands: Bands,
    /// What is a pass and what is not.
    pub found: Found,
    /// Its passes; as many as in `found`.
    pub passes: Vec<PassFound>,
    /// Voltage between them.
    pub between: Vec<Between>,
    /// Starts of the engine.
    pub cranks: Seen<Vec<Crank>>,
    /// What all of it says.
    pub diagnosis: Diagnosis,
}
