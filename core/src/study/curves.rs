//! Speed and output over engine speed, as the chart draws them.

use crate::balance::{alternator_rpm, hot_a};
use crate::finding::Spread;
use crate::resolve::Pulleys;
use crate::tolerance::{Own, State, Tolerances};

/// One pair of pulleys over engine speed.
#[derive(Clone, Debug, PartialEq)]
pub struct Curves {
    /// Engine speeds, rpm.
    pub engine_rpm: Vec<f64>,
    /// Alternator speed at each, rpm.
    pub speed_rpm: Vec<f64>,
    /// Its spread at each, rpm.
    pub speed_spread: Vec<Spread>,
    /// Hot output at each, A.
    pub output_a: Vec<f64>,
    /// Its spread at each, A.
    pub output_spread: Vec<Spread>,
    /// Engine speed at which the (low end of the) continuous limit is met, rpm.
    pub limit_met_rpm: f64,
}

/// Samples a pair of pulleys at these engine speeds (rpm), without any spread: a fraction
/// of the work of [`curves`].
pub fn output_line(
    tolerances: &Tolerances,
    pulleys: Pulleys,
    engine_rpm: &[f64],
) -> Vec<(f64, f64)> {
    let state = tolerances.nominal();
    engine_rpm
        .iter()
        .map(|&engine| (engine, hot_a(state, pulleys, engine)))
        .collect()
}

/// Samples a pair of pulleys at these engine speeds (rpm), each with its spread.
pub fn curves(
    tolerances: &Tolerances,
    pulleys: Pulleys,
    own: Option<Own>,
    engine_rpm: &[f64],
) -> Curves {
    let resolved = tolerances.resolved();
    let sampled = |answer: &dyn Fn(&State, f64) -> f64| -> (Vec<f64>, Vec<Spread>) {
        engine_rpm
            .iter()
            .map(|&engine| {
                let here = |state: &State| answer(state, engine);
                tolerances.sides(own, here)
            })
            .unzip()
    };
    let (output_a, output_spread) = sampled(&|state, engine| hot_a(state, pulleys, engine));
    // Speed is proportional to engine speed, and so is its spread.
    let one = |state: &State| alternator_rpm(state, pulleys, 1.0);
    let (ratio, spread) = tolerances.sides(own, one);
    Curves {
        engine_rpm: engine_rpm.to_vec(),
        speed_rpm: engine_rpm.iter().map(|engine| engine * ratio).collect(),
        speed_spread: engine_rpm
            .iter()
            .map(|engine| Spread {
                down: spread.down * engine,
                up: spread.up * engine,
            })
            .collect(),
        output_a,
        output_spread,
        limit_met_rpm: resolved.limits.continuous.0 / ratio,
    }
}
