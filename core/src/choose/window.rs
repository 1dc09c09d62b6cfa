//! The window of pulley sizes between "overspun" and "does not keep up".
//!
//! An alternator pulley must be at least so large that no speed limit is passed, and at
//! most so large that every running phase is carried; with a crank pulley it is the other
//! way round. Each edge is found twice: where a margin less its spread is zero (from there
//! on the size is *sure*) and where the margin plus its spread is (up to there it is
//! *possible*). An assumed limit counts with its low end for sure and its high end for
//! possible. Sizes are true effective diameters: a pulley's own tolerance comes on top
//! when it is judged.

use crate::balance::worst_net;
use crate::data::iso_9981::SMALLEST_EFFECTIVE_DIAMETER_MM;
use crate::gates::{GateId, judged_rpm, speed_limits};
use crate::resolve::{CrankPulley, PhaseSpeed, Pulleys};
use crate::solve::root;
use crate::tolerance::{State, Tolerances};

/// Largest alternator pulley looked at, effective mm.
const LARGEST_ALTERNATOR_MM: f64 = 250.0;
/// Smallest alternator pulley of belts without a standard for it, mm.
const SMALLEST_OTHER_MM: f64 = 30.0;
/// Crank pulleys looked at, effective mm.
const CRANK_MM: (f64, f64) = (60.0, 350.0);
/// How finely an edge is pinned down, mm.
const EDGE_MM: f64 = 0.005;

/// Which of the two pulleys is chosen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// The alternator's; the crank's stays.
    Alternator,
    /// The crank's; the alternator's on the car stays.
    Crank,
}

/// What makes an edge.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum EdgeLimit {
    /// A gate of the verdict.
    Gate(GateId),
    /// The smallest recommended diameter of the belt.
    Belt,
    /// The end of the sizes looked at.
    Range,
}

/// One edge of the window.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Edge {
    /// Effective diameter, mm.
    pub mm: f64,
    /// What makes it.
    pub limit: EdgeLimit,
}

/// Which sizes work. `low` may lie above `high`: then no size does.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Window {
    /// Which pulley it is about.
    pub side: Side,
    /// From here on it is sure that the low gates hold.
    pub sure_low: Edge,
    /// Up to here it is sure that the high gates hold.
    pub sure_high: Edge,
    /// Under this a low gate surely fails.
    pub possible_low: Edge,
    /// Over this a high gate surely fails.
    pub possible_high: Edge,
}

impl Window {
    /// Sizes that surely work, mm.
    pub fn sure(&self) -> Option<(f64, f64)> {
        (self.sure_low.mm <= self.sure_high.mm).then_some((self.sure_low.mm, self.sure_high.mm))
    }

    /// Sizes that may work, mm.
    pub fn possible(&self) -> Option<(f64, f64)> {
        (self.possible_low.mm <= self.possible_high.mm)
            .then_some((self.possible_low.mm, self.possible_high.mm))
    }

    /// The middle of the sizes that work best; where none does, the size that saves the
    /// alternator: output can be helped in other ways.
    pub fn middle_mm(&self) -> f64 {
        match (self.sure(), self.possible()) {
            (Some((low, high)), _) | (None, Some((low, high))) => (low + high) / 2.0,
            (None, None) => match self.side {
                Side::Alternator => self.sure_low.mm,
                Side::Crank => self.sure_high.mm,
            },
        }
    }
}

/// Finds the window of one pulley while the other stays.
pub fn window(tolerances: &Tolerances, side: Side, crank: CrankPulley) -> Window {
    Finder::new(tolerances, side, crank).window()
}

struct Finder<'a> {
    tolerances: &'a Tolerances,
    side: Side,
    crank: CrankPulley,
    smallest: Edge,
    largest: Edge,
}

/// How a margin is counted at an edge: its spread taken off, or added.
#[derive(Clone, Copy)]
enum Count {
    Sure,
    Possible,
}

impl<'a> Finder<'a> {
    fn new(tolerances: &'a Tolerances, side: Side, crank: CrankPulley) -> Self {
        let ribbed = tolerances.resolved().pitch_over_effective_mm > 0.0;
        let edge = |mm, limit| Edge { mm, limit };
        let (smallest, largest) = match side {
            Side::Alternator if ribbed => (
                edge(SMALLEST_EFFECTIVE_DIAMETER_MM, EdgeLimit::Belt),
                edge(LARGEST_ALTERNATOR_MM, EdgeLimit::Range),
            ),
            Side::Alternator => (
                edge(SMALLEST_OTHER_MM, EdgeLimit::Range),
                edge(LARGEST_ALTERNATOR_MM, EdgeLimit::Range),
            ),
            Side::Crank => (
                edge(CRANK_MM.0, EdgeLimit::Range),
                edge(CRANK_MM.1, EdgeLimit::Range),
            ),
        };
        Self {
            tolerances,
            side,
            crank,
            smallest,
            largest,
        }
    }

    fn pulleys(&self, effective_mm: f64) -> Pulleys {
        let pitch = effective_mm + self.tolerances.resolved().pitch_over_effective_mm;
        match self.side {
            Side::Alternator => Pulleys {
                crank: self.crank,
                ..Pulleys::with_alternator(pitch)
            },
            Side::Crank => Pulleys::with_crank(pitch),
        }
    }

    fn counted(&self, count: Count, answer: impl Fn(&State) -> f64) -> f64 {
        let (value, spread) = self.tolerances.sides(answer);
        match count {
            Count::Sure => value - spread.down,
            Count::Possible => value + spread.up,
        }
    }

    /// The size from which, or up to which, all speed gates hold.
    fn speed_edge(&self, count: Count) -> Edge {
        let rated = match self.side {
            Side::Crank => self.tolerances.resolved().fitted_rated_rpm,
            Side::Alternator => None,
        };
        speed_limits(self.tolerances, rated)
            .into_iter()
            .map(|(id, limit, generous)| {
                let limit = match count {
                    Count::Sure => limit,
                    Count::Possible => generous,
                };
                let margin = |mm: f64| {
                    let pulleys = self.pulleys(mm);
                    self.counted(count, |state| limit - judged_rpm(id, state, pulleys))
                };
                self.crossing(margin, EdgeLimit::Gate(id), self.holds_upwards())
            })
            .reduce(|a, b| self.tighter(a, b, self.holds_upwards()))
            .unwrap_or(self.smallest)
    }

    /// The size up to which, or from which, every running phase is carried.
    fn phase_edge(&self, count: Count) -> Edge {
        let resolved = self.tolerances.resolved();
        let upwards = !self.holds_upwards();
        let mut edge = if upwards { self.smallest } else { self.largest };
        for (place, phase) in resolved.phases.iter().enumerate() {
            if phase.speed == PhaseSpeed::Off {
                continue;
            }
            let margin = |mm: f64| {
                let pulleys = self.pulleys(mm);
                self.counted(count, |state| {
                    worst_net(resolved, state, pulleys, phase).map_or(0.0, |(net, _)| net)
                })
            };
            // A phase that holds at the edge of another does not move it.
            if margin(edge.mm) < 0.0 {
                let found = self.crossing(margin, EdgeLimit::Gate(GateId::Phase(place)), upwards);
                edge = self.tighter(edge, found, upwards);
            }
        }
        edge
    }

    /// Whether larger sizes are safer against overspeed.
    fn holds_upwards(&self) -> bool {
        self.side == Side::Alternator
    }

    /// Where a margin that rises (or falls) with size crosses zero.
    fn crossing(&self, margin: impl Fn(f64) -> f64, limit: EdgeLimit, upwards: bool) -> Edge {
        let (low, high) = (self.smallest, self.largest);
        if let Some(mm) = root(&margin, low.mm, high.mm, EDGE_MM) {
            return Edge { mm, limit };
        }
        // It holds everywhere, or nowhere: then the edge lies beyond the far end.
        match (margin(low.mm) >= 0.0, upwards) {
            (true, true) => low,
            (true, false) => high,
            (false, true) => Edge {
                mm: f64::INFINITY,
                limit,
            },
            (false, false) => Edge { mm: 0.0, limit },
        }
    }

    fn tighter(&self, a: Edge, b: Edge, upwards: bool) -> Edge {
        if (b.mm > a.mm) == upwards { b } else { a }
    }

    fn window(&self) -> Window {
        let speed = |count| self.speed_edge(count);
        let phase = |count| self.phase_edge(count);
        let (sure_low, sure_high, possible_low, possible_high) = match self.side {
            Side::Alternator => (
                speed(Count::Sure),
                phase(Count::Sure),
                speed(Count::Possible),
                phase(Count::Possible),
            ),
            Side::Crank => (
                phase(Count::Sure),
                speed(Count::Sure),
                phase(Count::Possible),
                speed(Count::Possible),
            ),
        };
        Window {
            side: self.side,
            sure_low,
            sure_high,
            possible_low,
            possible_high,
        }
    }
}
