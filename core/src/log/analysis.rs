//! A log, looked through.

use serde::{Deserialize, Serialize};

use super::bands::{Bands, seen_scale};
use super::cut::{median_of, samples};
use super::diagnose::work::Work;
use super::diagnose::{Diagnosis, diagnose};
use super::dwell::Dwell;
use super::figures::{Between, Crank, Figures, rounds};
use super::joined::Joined;
use super::look::Look;
use super::passes::{Found, Pass, RUNS_RPM, Rules, Span, Speeds, find};
use super::robust::quantile;
use super::sampling::sampling;
use super::{Known, Recording, Seen};

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

/// Samples that a first look takes: enough for a percent.
const FIRST_LOOK: usize = 5_000;

/// Looks through a log.
pub fn analyze(recording: &Recording, known: &Known, rules: &Rules) -> Analysis {
    let sampling = sampling(recording);
    let joined = Joined::of(recording);
    let mut known = known.clone();
    known.scale = scale(&joined, &known);
    let celsius = recording.celsius.as_ref();
    let celsius = celsius.and_then(|celsius| median_of(celsius, sampling.span));
    let work = Work::of(&joined, &sampling);
    let look = Look {
        recording,
        joined: &joined,
        bands: Bands::of(&known, celsius.or(known.air_c)),
        known: &known,
        sampling: &sampling,
        work: &work,
        speeds: Speeds::of(&recording.rpm),
    };
    let found = find(recording, rules, look.speeds, sampling.rpm_hz);
    let passes = found.passes.iter().enumerate().map(|(place, pass)| {
        let dwell = Dwell::of(&recording.rpm, pass.span);
        let around = around(&found.passes, place, sampling.span);
        PassFound {
            figures: Figures::of(&look, pass, &dwell),
            diagnosis: diagnose(&look, around, std::slice::from_ref(pass)),
            dwell,
            pass: pass.clone(),
        }
    });
    Analysis {
        passes: passes.collect(),
        between: rounds::between(recording, &joined, &found.passes, &sampling),
        cranks: rounds::cranks(recording, known.scale, &sampling),
        diagnosis: diagnose(&look, sampling.span, &found.passes),
        bands: look.bands,
        sampling,
        found,
    }
}

/// The stretch of a log that belongs to a pass: from the one before to the one after it.
fn around(passes: &[Pass], place: usize, whole: Span) -> Span {
    let before = place.checked_sub(1).and_then(|at| passes.get(at));
    let after = passes.get(place + 1);
    Span {
        from_s: before.map_or(whole.from_s, |pass| pass.span.to_s),
        to_s: after.map_or(whole.to_s, |pass| pass.span.from_s),
    }
}

/// The system's voltage over 12 V.
fn scale(joined: &Joined, known: &Known) -> f64 {
    let whole = Span {
        from_s: f64::MIN,
        to_s: f64::MAX,
    };
    let stride = (joined.rpm.len() / FIRST_LOOK).max(1);
    let both = samples(&joined.rpm, whole).zip(samples(&joined.volts, whole));
    let (mut off, mut running) = (Vec::new(), Vec::new());
    for (rpm, volts) in both.step_by(stride) {
        if rpm.1 > RUNS_RPM {
            running.push(volts.1);
        } else if rpm.1 < 1.0 {
            off.push(volts.1);
        }
    }
    let off_v = (off.len() > 10).then(|| quantile(&mut off, 0.5)).flatten();
    seen_scale(known, off_v, quantile(&mut running, 0.5))
}
