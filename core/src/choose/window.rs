//! The window of pulley sizes between "overspun" and "does not keep up".
//!
//! An alternator pulley must be at least so large that no speed limit is passed, and at
//! most so large that every running phase is carried; with a crank pulley it is the other
//! way round. Each edge is found twice: where a margin less its spread is zero (from there
//! on the size is *sure*) and where the margin plus its spread is (up to there it is
//! *possible*). An assumed limit counts with its low end for sure and its high end for
//! possible. Sizes are true effective diameters: a pulley's own tolerance comes on top
//! when it is judged.
//!
//! Corner cases:
//! - a gate that holds at every size looked at makes no edge; one that holds at none puts
//!   its edge beyond the far end (0 or infinity), so that the window is empty;
//! - a curve that droops makes a phase fall short at both ends: the sizes are walked from
//!   the far end inwards, and what holds there first is the window's.

use crate::balance::worst_net;
use crate::data::iso_9981::SMALLEST_EFFECTIVE_DIAMETER_MM;
use crate::gates::{GateId, judged_rpm, speed_limits};
use crate::resolve::{CrankPulley, PhaseModel, PhaseSpeed, Pulleys};
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
/// Sizes walked where a gate may hold in more than one run of them.
const WALKED: u32 = 24;
/// How finely an edge is pinned down where draws are taken, mm.
const DRAWN_EDGE_MM: f64 = 0.05;
/// Usual step away from an edge that draws may move, as a fraction of its size.
const DRAWN_STEP: f64 = 0.01;
/// Output at the lowest known speed over the peak from which the doubt about the form
/// below it may outweigh the fall of the form itself.
const FLAT_START: f64 = 0.65;

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
    /// alternator (of the sizes looked at the one nearest to that): output can be helped in
    /// other ways.
    pub fn middle_mm(&self) -> f64 {
        match (self.sure(), self.possible()) {
            (Some((low, high)), _) | (None, Some((low, high))) => (low + high) / 2.0,
            (None, None) => match self.side {
                Side::Alternator => self.sure_low.mm.min(LARGEST_ALTERNATOR_MM),
                Side::Crank => self.sure_high.mm.max(CRANK_MM.0),
            },
        }
    }
}

/// Finds the window of one pulley while the other stays.
pub fn window(tolerances: &Tolerances, side: Side, crank: CrankPulley) -> Window {
    let finder = Finder::new(tolerances, side, crank);
    let (sure_low, sure_high) = finder.edges(Count::Sure);
    let (possible_low, possible_high) = finder.edges(Count::Possible);
    Window {
        side,
        sure_low,
        sure_high,
        possible_low,
        possible_high,
    }
}

/// Whether the window has a sure part: less work than finding its edges.
pub(super) fn any_size_is_sure(tolerances: &Tolerances, side: Side, crank: CrankPulley) -> bool {
    let finder = Finder::new(tolerances, side, crank);
    if finder.droops() {
        let (low, high) = finder.edges(Count::Sure);
        return low.mm <= high.mm;
    }
    // Every phase does best at the size that just keeps the speed limits.
    let speed_is_low = side == Side::Alternator;
    let edge = finder.tightest(&finder.speed_gates(Count::Sure), Count::Sure, speed_is_low);
    (finder.smallest.mm..=finder.largest.mm).contains(&edge.mm)
        && finder
            .phase_gates()
            .into_iter()
            .all(|gate| finder.margin(gate, Count::Sure, Look::Whole, edge.mm) >= 0.0)
}

/// How a margin is counted at an edge: its spread taken off, or added.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Count {
    Sure,
    Possible,
}

/// How closely a margin's spread is looked at.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Look {
    /// Root sum of squares alone.
    Straight,
    /// As a verdict does, with draws near a kink.
    Whole,
}

/// One gate, as far as the window asks for it.
#[derive(Clone, Copy)]
enum Gate<'a> {
    Speed(GateId, f64),
    Phase(&'a PhaseModel),
}

impl Gate<'_> {
    fn limit(&self) -> EdgeLimit {
        EdgeLimit::Gate(match self {
            Self::Speed(id, _) => *id,
            Self::Phase(phase) => GateId::Phase(phase.place),
        })
    }
}

struct Finder<'a> {
    tolerances: &'a Tolerances,
    side: Side,
    crank: CrankPulley,
    smallest: Edge,
    largest: Edge,
    /// Whether a phase may hold in more than one run of sizes.
    walks: bool,
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
        let curve = &tolerances.nominal().machine.curve;
        let flat = curve.at(curve.lowest_known_rpm()) > FLAT_START * curve.peak_a();
        Self {
            tolerances,
            side,
            crank,
            smallest,
            largest,
            walks: flat || curve.droops(),
        }
    }

    /// Whether a phase may fall short at both ends of the sizes.
    fn droops(&self) -> bool {
        self.tolerances.nominal().machine.curve.droops()
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

    /// Margin of a gate at a size, its spread counted.
    fn margin(&self, gate: Gate, count: Count, look: Look, effective_mm: f64) -> f64 {
        let pulleys = self.pulleys(effective_mm);
        let answer = |state: &State| match gate {
            Gate::Speed(id, limit) => limit - judged_rpm(id, state, pulleys),
            Gate::Phase(phase) => worst_net(state, pulleys, phase).map_or(0.0, |(net, _)| net),
        };
        let (value, spread) = match look {
            Look::Straight => self.tolerances.straight(answer),
            Look::Whole => self.tolerances.sides(None, answer),
        };
        match count {
            Count::Sure => spread.least(value),
            Count::Possible => spread.most(value),
        }
    }

    fn speed_gates(&self, count: Count) -> Vec<Gate<'a>> {
        let rated = match self.side {
            Side::Crank => self.tolerances.resolved().fitted_rated_rpm,
            Side::Alternator => None,
        };
        speed_limits(self.tolerances, rated)
            .into_iter()
            .map(|(id, limit, generous)| match count {
                Count::Sure => Gate::Speed(id, limit),
                Count::Possible => Gate::Speed(id, generous),
            })
            .collect()
    }

    fn phase_gates(&self) -> Vec<Gate<'a>> {
        let phases = &self.tolerances.resolved().phases;
        phases
            .iter()
            .filter(|phase| phase.speed != PhaseSpeed::Off)
            .filter(|phase| !self.tolerances.nominal().draws_nothing(phase))
            .map(Gate::Phase)
            .collect()
    }

    /// Low and high edge.
    fn edges(&self, count: Count) -> (Edge, Edge) {
        // Speed gates hold for larger alternator pulleys and smaller crank pulleys.
        let speed_is_low = self.side == Side::Alternator;
        let speed = self.tightest(&self.speed_gates(count), count, speed_is_low);
        let phases = self.phase_gates();
        let phase = self.tightest(&phases, count, !speed_is_low);
        let (mut low, mut high) = if speed_is_low {
            (speed, phase)
        } else {
            (phase, speed)
        };
        if self.droops() {
            for gate in phases {
                if speed_is_low {
                    low = self.tighter(low, self.far_end(gate, count, high), true);
                } else {
                    high = self.tighter(high, self.far_end(gate, count, low), false);
                }
            }
        }
        (low, high)
    }

    /// The edge of several gates that all hold above it (`low`), or all below it.
    fn tightest(&self, gates: &[Gate], count: Count, low: bool) -> Edge {
        let none = if low { self.smallest } else { self.largest };
        let rough = |gate: &Gate, from: Edge| {
            let margin = |mm: f64| self.margin(*gate, count, Look::Straight, mm);
            if margin(from.mm) >= 0.0 {
                from
            } else {
                self.tighter(from, self.crossing(&margin, gate.limit(), low), low)
            }
        };
        let whole = |gate: &Gate, mm: f64| self.margin(*gate, count, Look::Whole, mm);
        // The gate that is tightest by the cheaper look comes first: then the others need
        // only be asked whether they hold there.
        let first = gates.iter().fold(none, |edge, gate| rough(gate, edge));
        let mut edge = none;
        let is_first = |gate: &&Gate| gate.limit() == first.limit;
        let others = gates.iter().filter(|gate| !is_first(gate));
        for gate in gates.iter().filter(is_first).chain(others) {
            let within = edge.mm.clamp(self.smallest.mm, self.largest.mm);
            // The first one is known not to hold at the far end.
            if !is_first(&gate) && whole(gate, within) >= 0.0 {
                continue;
            }
            let margin = |mm: f64| whole(gate, mm);
            let rough = rough(gate, none);
            let straight = |mm: f64| self.margin(*gate, count, Look::Straight, mm);
            let found = self.refined(&margin, &straight, rough, gate.limit(), low);
            edge = self.tighter(edge, found, low);
        }
        edge
    }

    /// Where a margin that rises (`low`) or falls with size crosses zero.
    fn crossing(&self, margin: &dyn Fn(f64) -> f64, limit: EdgeLimit, low: bool) -> Edge {
        let (from, to) = if low {
            (self.largest.mm, self.smallest.mm)
        } else {
            (self.smallest.mm, self.largest.mm)
        };
        if margin(to) >= 0.0 {
            return if low { self.smallest } else { self.largest };
        }
        let found = if self.walks {
            self.walked(margin, to, from)
        } else {
            root(margin, from, to, EDGE_MM)
        };
        found.map_or(nowhere(limit, low), |mm| Edge { mm, limit })
    }

    /// The first crossing on the way from one size to another.
    fn walked(&self, margin: &dyn Fn(f64) -> f64, from: f64, to: f64) -> Option<f64> {
        let at = |step: u32| from * (to / from).powf(f64::from(step) / f64::from(WALKED));
        let holds = margin(from) >= 0.0;
        let step = (1..=WALKED).find(|step| (margin(at(*step)) >= 0.0) != holds)?;
        root(margin, at(step - 1), at(step), EDGE_MM)
    }

    /// An edge found by the cheaper look, pinned down by the closer one.
    fn refined(
        &self,
        margin: &dyn Fn(f64) -> f64,
        straight: &dyn Fn(f64) -> f64,
        rough: Edge,
        limit: EdgeLimit,
        low: bool,
    ) -> Edge {
        let (smallest, largest) = (self.smallest.mm, self.largest.mm);
        let mut near = rough.mm.clamp(smallest, largest);
        let mut at_near = margin(near);
        let holds = at_near >= 0.0;
        // Towards failing if it holds there, else towards holding.
        let smaller = low == holds;
        // A little farther than the cheaper look's slope says: then the edge lies between.
        let slope = (straight(near * (1.0 + DRAWN_STEP)) - straight(near)) / DRAWN_STEP;
        let reach = 1.2 * (at_near / slope).abs();
        let mut step = if reach.is_finite() {
            reach.clamp(0.1 * DRAWN_STEP, 0.3)
        } else {
            DRAWN_STEP
        };
        loop {
            let next = near * if smaller { 1.0 - step } else { 1.0 + step };
            let next = next.clamp(smallest, largest);
            let at_next = margin(next);
            if (at_next >= 0.0) != holds {
                // Both ends are known: draws cost more than remembering.
                let known = |mm: f64| match mm {
                    _ if mm == near => at_near,
                    _ if mm == next => at_next,
                    _ => margin(mm),
                };
                return root(known, near, next, DRAWN_EDGE_MM)
                    .map_or(rough, |mm| Edge { mm, limit });
            }
            if next <= smallest || next >= largest {
                // It holds up to the end of the sizes, or nowhere.
                return match (holds, low) {
                    (true, true) => self.smallest,
                    (true, false) => self.largest,
                    (false, _) => nowhere(limit, low),
                };
            }
            (near, at_near) = (next, at_next);
            step = (2.0 * step).min(0.3);
        }
    }

    /// Where a gate that holds at `from` stops holding on the way to the other end of the
    /// sizes; that end where it does not.
    fn far_end(&self, gate: Gate, count: Count, from: Edge) -> Edge {
        let end = if self.side == Side::Alternator {
            self.smallest
        } else {
            self.largest
        };
        let straight = |mm: f64| self.margin(gate, count, Look::Straight, mm);
        // From just inside: at the edge itself the margin is zero.
        let inside = from.mm + 1e-3 * (end.mm - from.mm);
        if !(self.smallest.mm..=self.largest.mm).contains(&inside) || straight(inside) < 0.0 {
            return end;
        }
        self.walked(&straight, inside, end.mm).map_or(end, |mm| {
            let limit = gate.limit();
            let whole = |mm: f64| self.margin(gate, count, Look::Whole, mm);
            let low = self.side == Side::Alternator;
            self.refined(&whole, &straight, Edge { mm, limit }, limit, low)
        })
    }

    fn tighter(&self, a: Edge, b: Edge, low: bool) -> Edge {
        if (b.mm > a.mm) == low { b } else { a }
    }
}

/// The edge of a gate that holds at no size looked at.
fn nowhere(limit: EdgeLimit, low: bool) -> Edge {
    let mm = if low { f64::INFINITY } else { 0.0 };
    Edge { mm, limit }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
