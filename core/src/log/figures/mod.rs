//! The figures of a pass.

pub(super) mod gears;
mod over;
pub(super) mod ragged;
pub(super) mod reading;
pub(super) mod rounds;

use serde::{Deserialize, Serialize};

use super::dwell::Dwell;
use super::look::Look;
use super::passes::{Pass, Span, USUAL_IDLE_RPM};
use super::{Seen, Within};

/// A voltage read off a stretch of a log: its median.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Read {
    /// Voltage, V.
    pub volts: Within,
    /// Engine speed, rpm.
    pub rpm: f64,
    /// Where it was read.
    pub span: Span,
}

/// The lowest voltage.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Lowest {
    /// Voltage, V.
    pub volts: f64,
    /// When, s.
    pub at_s: f64,
    /// Engine speed then, rpm.
    pub rpm: f64,
}

/// How voltage goes with alternator speed within one gear.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Slope {
    /// Change over 1000 rpm of alternator speed, or of engine speed where no ratio is known, V.
    pub per_1000_rpm: Within,
    /// Change over the whole gear, V.
    pub over_gear_v: f64,
    /// Whether alternator speed was meant.
    pub of_alternator: bool,
    /// Samples it rests on.
    pub samples: usize,
}

/// What voltage does after a shift.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Recovery {
    /// Voltage after it less before it, V.
    pub volts: Within,
    /// Time in which most of that (63 %) is done, s.
    pub within_s: Option<f64>,
    /// Voltage in the higher gear less that in the lower one at the same engine speed, V.
    pub hysteresis_v: Option<Within>,
}

/// One gear of a pass and the shift out of it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Gear {
    /// When it was driven.
    pub span: Span,
    /// Engine speed at its ends, rpm.
    pub rpm: (f64, f64),
    /// Its slope.
    pub slope: Seen<Slope>,
    /// What the shift out of it does; the last gear has none.
    pub recovery: Seen<Recovery>,
}

/// How ragged the voltage is: what is left beside its smooth course, root mean square.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Ragged {
    /// At low engine speed, V.
    pub low_v: f64,
    /// At high engine speed, V.
    pub high_v: f64,
    /// What the logger's steps alone make, V.
    pub logger_v: f64,
}

/// How voltage at the same engine speed changes over the pass.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Fade {
    /// Change from its first to its last third, V.
    pub volts: Within,
    /// Time between them, s.
    pub over_s: f64,
}

/// Time and peak over one limit.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Over {
    /// The limit, alternator rpm.
    pub limit_rpm: f64,
    /// Time over it, s.
    pub seconds: f64,
    /// Highest alternator speed less the limit, rpm; negative while under it.
    pub by_rpm: f64,
}

/// Alternator speed with one pair of pulleys against the limits.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Overspeed {
    /// Alternator turns for one engine turn.
    pub ratio: Within,
    /// Highest alternator speed, rpm.
    pub highest_rpm: f64,
    /// Over the continuous limit: its low and its high end, equal where entered.
    pub continuous: (Over, Over),
    /// Over the short-time limit.
    pub short: (Over, Over),
    /// Whether the limits are assumed.
    pub assumed: bool,
}

/// Everything read off one pass.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Figures {
    /// Idling before it.
    pub idle: Seen<Read>,
    /// Just before the launch.
    pub launch: Seen<Read>,
    /// Lowest on the pass.
    pub lowest: Seen<Lowest>,
    /// Just before the stripe, or the session's end.
    pub stripe: Seen<Read>,
    /// Low engine speed after it.
    pub after: Seen<Read>,
    /// Gear by gear.
    pub gears: Vec<Gear>,
    /// Raggedness.
    pub ragged: Seen<Ragged>,
    /// Fade.
    pub fade: Seen<Fade>,
    /// Alternator speed with the fitted pulleys.
    pub fitted: Seen<Overspeed>,
    /// What it would have been with the pulley to try.
    pub tried: Seen<Overspeed>,
}

/// A start of the engine.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Crank {
    /// When, s.
    pub at_s: f64,
    /// Voltage before it, V.
    pub rested_v: f64,
    /// Lowest voltage, V.
    pub lowest_v: f64,
    /// How long the starter turned, s.
    pub seconds: f64,
}

/// Voltage between two passes.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Between {
    /// Time between them.
    pub span: Span,
    /// With the engine off, at the end of that.
    pub off: Option<Read>,
    /// With the engine running slowly.
    pub running: Option<Read>,
}

impl Figures {
    /// Everything read off one pass.
    pub(super) fn of(look: &Look, pass: &Pass, dwell: &Dwell) -> Self {
        let (joined, known, sampling) = (look.joined, look.known, look.sampling);
        let idle_rpm = look.speeds.idle.unwrap_or(USUAL_IDLE_RPM);
        let from_s = pass.idle.map_or(pass.span.from_s, |idle| idle.from_s);
        let to_s = pass.after.map_or(pass.span.to_s, |after| after.to_s);
        Self {
            idle: reading::idle(joined, pass, sampling),
            launch: reading::before(joined, pass.span.from_s, sampling),
            lowest: reading::lowest(joined, pass.span, sampling),
            stripe: reading::before(joined, pass.span.to_s, sampling),
            after: reading::after(joined, pass, sampling),
            gears: gears::gears(look, pass),
            ragged: ragged::ragged(
                joined,
                Span::new(from_s, to_s),
                (idle_rpm, pass.highest_rpm),
                sampling,
            ),
            fade: ragged::fade(joined, pass.span, idle_rpm, sampling),
            fitted: over::overspeed(dwell, known.ratio, known),
            tried: over::overspeed(dwell, known.tried_ratio, known),
        }
    }
}
