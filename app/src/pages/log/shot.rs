//! A recording as it is drawn: the open log, or a kept pass.

use crate::log::OpenLog;
use crate::parts::chart::{Blocks, Role, Trace};
use crate::words::log::graph::Reading;
use laneside_core::log::kept::KeptPass;
use laneside_core::log::thin::Line;
use std::sync::Arc;

/// A recorded line of its own.
#[derive(Debug)]
pub struct OwnLine {
    time: Vec<f64>,
    values: Vec<f32>,
    blocks: Blocks,
}

impl OwnLine {
    fn new(line: &Line) -> Self {
        let (time, values): (Vec<f64>, Vec<f32>) = line.points.iter().copied().unzip();
        Self {
            time,
            blocks: Blocks::new(&values),
            values,
        }
    }

    fn trace(&self) -> Trace<'_> {
        Trace::new(&self.time, &self.values, &self.blocks)
    }
}

/// Where the lines are from.
#[derive(Clone, Debug)]
pub enum Source {
    /// The open log, every sample of it.
    Log(Arc<OpenLog>),
    /// A kept pass: its voltage, its engine speed.
    Kept(Arc<(OwnLine, OwnLine)>),
}

impl Source {
    /// The lines of a kept pass.
    pub fn kept(pass: &KeptPass) -> Self {
        Self::Kept(Arc::new((
            OwnLine::new(&pass.volts),
            OwnLine::new(&pass.rpm),
        )))
    }

    /// Voltage.
    pub fn volts(&self) -> Trace<'_> {
        match self {
            Self::Log(log) => {
                let volts = &log.recording.volts;
                Trace::new(volts.time(), volts.values(), &log.volts)
            }
            Self::Kept(lines) => lines.0.trace(),
        }
    }

    /// Engine speed.
    pub fn rpm(&self) -> Trace<'_> {
        match self {
            Self::Log(log) => {
                let rpm = &log.recording.rpm;
                Trace::new(rpm.time(), rpm.values(), &log.rpm)
            }
            Self::Kept(lines) => lines.1.trace(),
        }
    }
}

/// One recording in a chart.
#[derive(Clone, Debug)]
pub struct Shot {
    /// Its lines.
    pub source: Source,
    /// How they are drawn.
    pub role: Role,
    /// What stands at their end.
    pub label: String,
}

impl Shot {
    /// The voltage of a stretch of the chart, thinned.
    pub fn volts(&self, from: f64, to: f64, columns: usize) -> Vec<(f64, f64)> {
        self.source.volts().thinned(from, to, columns)
    }

    /// The engine speed of a stretch of the chart, thinned.
    pub fn rpm(&self, from: f64, to: f64, columns: usize) -> Vec<(f64, f64)> {
        self.source.rpm().thinned(from, to, columns)
    }

    /// What it has at a moment of the chart, and within a step about that.
    pub fn reading(&self, at_s: f64, step_s: f64) -> Reading {
        let near = |line: &Trace<'_>| line.between(at_s - 0.5 * step_s, at_s + 0.5 * step_s);
        let (volts, rpm) = (self.source.volts(), self.source.rpm());
        Reading {
            at_s,
            volts: volts.at(at_s),
            volts_near: near(&volts),
            rpm: rpm.at(at_s),
            rpm_near: near(&rpm),
        }
    }
}
