//! What a day that was run leaves.

use serde::Serialize;

use super::{Books, Start};
use crate::bus::Settled;

/// One moment.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Sample {
    /// Since the day began, s.
    pub at_s: f64,
    /// Engine speed, rpm; zero with the engine off.
    pub engine_rpm: f64,
    /// Where everything agreed.
    pub settled: Settled,
    /// Charge of the battery, 0 to 1.
    pub soc: f64,
    /// Temperature of the alternator, degrees Celsius.
    pub alternator_c: f64,
}

/// A segment that was run.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Passed {
    /// Place of its phase in the car.
    pub place: usize,
    /// Its round, from 1.
    pub round: u32,
    /// Its step in the round.
    pub step: usize,
    /// Whether the engine ran.
    pub engine_ran: bool,
    /// When it began, s.
    pub from_s: f64,
    /// When it ended, s.
    pub until_s: f64,
    /// The battery's charge at its end.
    pub end_soc: f64,
    /// Where the battery would rest at its end, V.
    pub rest_v: f64,
    /// Temperatures of alternator and battery at its end, degrees Celsius.
    pub end_c: (f64, f64),
    /// Lowest voltage where it is read and when, starts not counted: (s, V).
    pub lowest: (f64, f64),
    /// Highest voltage where it is read and when: (s, V).
    pub highest: (f64, f64),
    /// Lowest voltage at the battery's posts while the starter turned, V.
    pub crank_v: Option<f64>,
    /// How long nothing held the voltage, s.
    pub collapsed_s: f64,
    /// How long the battery kept a turned-on alternator from charging by resting over its
    /// set-point, s.
    pub held_off_s: f64,
    /// How long the engine ran without the alternator turned on, s.
    pub waiting_s: f64,
    /// How long output was lost over the limit, s.
    pub lost_s: f64,
    /// Where the energy went.
    pub books: Books,
    /// Samples over time.
    pub samples: Vec<Sample>,
}

/// A day that was run.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Run {
    /// Its segments.
    pub segments: Vec<Passed>,
    /// What the car remembers at its end.
    #[serde(skip)]
    pub end: Start,
    /// Steps taken.
    pub steps: u32,
}

impl Run {
    /// Lets another run follow, which began at `from_s` of this day.
    pub fn append(&mut self, other: Self, from_s: f64) {
        self.steps += other.steps;
        self.end = other.end;
        self.segments
            .extend(other.segments.into_iter().map(|mut segment| {
                segment.from_s += from_s;
                segment.until_s += from_s;
                segment.lowest.0 += from_s;
                segment.highest.0 += from_s;
                for sample in &mut segment.samples {
                    sample.at_s += from_s;
                }
                segment
            }));
    }

    /// Where all energy went.
    pub fn books(&self) -> Books {
        let mut all = Books::default();
        for segment in &self.segments {
            all.add(&segment.books);
        }
        all
    }
}
