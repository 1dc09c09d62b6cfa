//! A pass as it is kept with the car: plain data, thinned to what the picture needs.

use serde::{Deserialize, Serialize};

use super::analysis::PassFound;
use super::bands::Bands;
use super::diagnose::Outcome;
use super::dwell::Dwell;
use super::figures::Figures;
use super::passes::{Pass, Span};
use super::thin::{Line, thin};
use super::{Known, Recording, Signal};
use crate::car::{Alternator, Car};
use crate::drive::Pulley;

/// Slices of a kept line: one for every other point of a phone's width.
const SLICES: usize = 180;
/// How much is kept before a pass and after it, s.
const AROUND_S: f64 = 5.0;

/// What was on the car on that pass, as far as known.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Fitted {
    /// Pulley on the crank.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub crank: Option<Pulley>,
    /// Pulley on the alternator.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pulley: Option<Pulley>,
    /// The alternator.
    pub alternator: Alternator,
    /// Alternator turns for one engine turn.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ratio: Option<f64>,
    /// Continuous limit, low and high end, alternator rpm.
    pub continuous_rpm: (f64, f64),
    /// Short-time limit, low and high end, alternator rpm.
    pub short_rpm: (f64, f64),
}

impl Fitted {
    /// What is on a car now.
    pub fn of(car: &Car) -> Self {
        let known = Known::of(car);
        Self {
            crank: car.drive.crank,
            pulley: car.drive.fitted,
            alternator: car.alternator.clone(),
            ratio: known.ratio.map(|ratio| ratio.value),
            continuous_rpm: known.limits.continuous,
            short_rpm: known.limits.short,
        }
    }

    /// Whether pulleys and alternator are the same, whatever else is entered about them.
    pub fn is_same(&self, other: &Self) -> bool {
        let kind = |alternator: &Alternator| (alternator.rated, alternator.fan, alternator.nominal);
        self.crank == other.crank
            && self.pulley == other.pulley
            && kind(&self.alternator) == kind(&other.alternator)
    }
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
    /// The bands that it was judged by.
    pub bands: Bands,
    /// What it was found to say.
    pub outcome: Outcome,
    /// Engine speed over time since the launch, thinned.
    pub rpm: Line,
    /// Voltage over time since the launch, thinned.
    pub volts: Line,
    /// Seconds at each engine speed.
    pub dwell: Dwell,
}

impl KeptPass {
    /// Keeps a pass of a log.
    pub fn new(
        name: &str,
        date: &str,
        car: &Car,
        recording: &Recording,
        found: &PassFound,
        bands: Bands,
    ) -> Self {
        let span = found.pass.span;
        let wide = Span::new(span.from_s - AROUND_S, span.to_s + AROUND_S);
        Self {
            name: name.to_owned(),
            date: date.to_owned(),
            fitted: Fitted::of(car),
            pass: found.pass.clone(),
            figures: found.figures.clone(),
            bands,
            outcome: found.diagnosis.outcome.clone(),
            rpm: line(&recording.rpm, wide, span.from_s, 1.0),
            volts: line(&recording.volts, wide, span.from_s, 1_000.0),
            dwell: found.dwell.rounded(),
        }
    }
}

/// A thinned line over time since the launch, rounded to milliseconds and to a part of the
/// unit: what is stored shall be short.
fn line(signal: &Signal, span: Span, launch_s: f64, per_unit: f32) -> Line {
    let mut line = thin(signal, span, SLICES);
    for (at, value) in &mut line.points {
        *at = ((*at - launch_s) * 1_000.0).round() / 1_000.0;
        *value = (*value * per_unit).round() / per_unit;
    }
    line
}

/// Time over the limits of all kept passes with the same pulleys and alternator.
#[derive(Clone, Debug, PartialEq)]
pub struct Worn {
    /// What was on the car: as the latest of the passes has it.
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

/// Time over the limits, for each set of pulleys and alternator in the order of their first
/// pass; a set of which the ratio is not known is left out. Each is judged by the limits that
/// its latest pass has: a limit entered later holds for what was driven before.
pub fn worn<'a>(kept: impl IntoIterator<Item = &'a KeptPass>) -> Vec<Worn> {
    let mut sets: Vec<(Fitted, Vec<&KeptPass>)> = Vec::new();
    for pass in kept {
        match sets
            .iter_mut()
            .find(|(fitted, _)| fitted.is_same(&pass.fitted))
        {
            Some((fitted, passes)) => {
                *fitted = pass.fitted.clone();
                passes.push(pass);
            }
            None => sets.push((pass.fitted.clone(), vec![pass])),
        }
    }
    sets.into_iter()
        .filter_map(|(fitted, passes)| {
            let ratio = fitted.ratio?;
            let over = |(low, high): (f64, f64)| {
                let sum = |limit: f64| {
                    let each = passes.iter();
                    each.map(|pass| pass.dwell.seconds_over_limit(limit, ratio))
                        .sum()
                };
                (sum(high), sum(low))
            };
            let highest = passes.iter().map(|pass| pass.dwell.highest_rpm);
            Some(Worn {
                passes: passes.len(),
                continuous_s: over(fitted.continuous_rpm),
                short_s: over(fitted.short_rpm),
                highest_rpm: highest.fold(0.0, f64::max) * ratio,
                fitted,
            })
        })
        .collect()
}
