//! Running a day.

use super::extreme;
use super::passed::{Passed, Run, Sample};
use super::pieces::{self, Memory, Moment};
use super::slope::{ENERGIES, Piece, Role, UNKNOWNS, Unknowns, state};
use super::{Accuracy, Books, Segment, Start, Supplied};
use crate::bus::{Regime, Settled};
use crate::integrate::{self, Slope, Trial};

/// What an unknown may be off in one step: charge, V, K, K.
const ALLOWED: [f64; ENERGIES] = [1e-7, 1e-6, 1e-3, 1e-3];
/// What an energy may be off in one step, as a part of what moves in it, and J.
const ALLOWED_ENERGY: (f64, f64) = (1e-7, 1e-5);
/// How well the moment of a switch is known, s, where steps may be off by one unit.
const SWITCH_S: f64 = 1e-6;
/// Shortest step, s: a kink is stepped over with it.
const SHORTEST_S: f64 = 1e-4;
/// More switches than this in one piece are chatter, and stepped over ...
const MOST_SWITCHES: u32 = 40;
/// ... in steps of at least this part of the piece.
const CHATTER_PART: f64 = 2e-3;

/// Runs segments one after the other.
///
/// The alternator forgets that it turned on when the engine stops, and at each start.
pub fn simulate(
    supplied: &Supplied,
    start: Start,
    segments: &[Segment],
    accuracy: Accuracy,
) -> Run {
    let mut runner = Runner {
        supplied,
        accuracy,
        unknowns: unknowns(&start),
        at_s: 0.0,
        before: None,
        dead: None,
        steps: 0,
    };
    let mut memory = Memory::default();
    let passed = segments
        .iter()
        .map(|segment| runner.segment(segment, &mut memory))
        .collect();
    Run {
        segments: passed,
        end: Start {
            battery: state(&runner.unknowns),
            alternator_c: runner.unknowns[2],
        },
        steps: runner.steps,
    }
}

fn unknowns(start: &Start) -> Unknowns {
    let mut unknowns = [0.0; UNKNOWNS];
    unknowns[0] = start.battery.soc;
    unknowns[1] = start.battery.pair_v;
    unknowns[2] = start.alternator_c;
    unknowns[3] = start.battery.celsius;
    unknowns
}

/// A piece as it is run.
struct Stretch<'a> {
    piece: &'a Piece<'a>,
    spacing_s: f64,
    is_crank: bool,
}

struct Runner<'a> {
    supplied: &'a Supplied<'a>,
    accuracy: Accuracy,
    unknowns: Unknowns,
    at_s: f64,
    before: Option<Settled>,
    /// What the alternator did when the voltage went, if it is gone. It stays gone until
    /// something switches: what is left of the battery would only flicker.
    dead: Option<Role>,
    steps: u32,
}

impl<'a> Runner<'a> {
    fn segment(&mut self, segment: &'a Segment, memory: &mut Memory) -> Passed {
        for energy in &mut self.unknowns[ENERGIES..] {
            *energy = 0.0;
        }
        self.dead = None;
        let stored_before_j = self.stored_j();
        let mut passed = Passed {
            place: segment.place,
            round: segment.round,
            step: segment.step,
            engine_ran: segment.engine.is_some(),
            from_s: self.at_s,
            until_s: self.at_s,
            end_soc: 0.0,
            rest_v: 0.0,
            end_c: (0.0, 0.0),
            lowest: (self.at_s, f64::INFINITY),
            highest: (self.at_s, f64::NEG_INFINITY),
            crank_v: None,
            collapsed_s: 0.0,
            held_off_s: 0.0,
            waiting_s: 0.0,
            lost_s: 0.0,
            books: Books::default(),
            samples: Vec::new(),
        };
        // A segment of starts alone has pauses between them, and no time of its own.
        let whole_s = if segment.seconds > 0.0 {
            segment.seconds
        } else {
            1.0
        };
        let spacing_s = whole_s / f64::from(self.accuracy.samples.max(1));
        let supplied = self.supplied;
        pieces::each(supplied, segment, memory, |piece, seconds, moment| {
            if piece.engine.is_some() && piece.role == Role::Waiting {
                passed.waiting_s += seconds;
            }
            if matches!(moment, Moment::Run(memory) if memory.lost) {
                passed.lost_s += seconds;
            }
            let stretch = Stretch {
                piece,
                spacing_s,
                is_crank: moment == Moment::Crank,
            };
            self.piece(&stretch, seconds, &mut passed);
        });
        passed.until_s = self.at_s;
        let end = state(&self.unknowns);
        passed.end_soc = end.soc;
        passed.rest_v = supplied
            .battery
            .map_or(0.0, |battery| battery.rest_v(end.soc, end.celsius));
        passed.end_c = (self.unknowns[2], end.celsius);
        let [
            generated_j,
            loads_j,
            path_j,
            ohmic_j,
            pair_j,
            unstored_j,
            warming_j,
        ] = <[f64; UNKNOWNS - ENERGIES]>::try_from(&self.unknowns[ENERGIES..]).unwrap_or_default();
        passed.books = Books {
            generated_j,
            loads_j,
            path_j,
            ohmic_j,
            pair_j,
            unstored_j,
            warming_j,
            stored_j: self.stored_j() - stored_before_j,
        };
        passed
    }

    fn stored_j(&self) -> f64 {
        self.supplied
            .battery
            .map_or(0.0, |battery| battery.stored_j(&state(&self.unknowns)))
    }

    fn piece(&mut self, stretch: &Stretch, seconds: f64, passed: &mut Passed) {
        let mut piece = *stretch.piece;
        self.dead = self
            .dead
            .filter(|role| *role == piece.role && !stretch.is_crank);
        piece.is_dead = self.dead.is_some();
        let gone = Piece {
            is_dead: true,
            ..piece
        };
        let mut now = piece.slope(0.0, &self.unknowns, self.before.as_ref());
        self.sample(stretch, 0.0, &now, passed);
        let (mut at_s, mut width, mut switches, mut is_landing) = (0.0, seconds, 0, false);
        while at_s < seconds {
            let left = seconds - at_s;
            // No crumb is left at the end.
            let is_last = width >= left * (1.0 - 1e-9);
            let step_s = if is_last { left } else { width };
            let from = self.unknowns;
            let before = now.extra;
            // From one evaluation to the next, so that what fell off an edge stays below it.
            let mut last = before;
            let mut slope = |time: f64, y: &Unknowns| {
                let here = if last.regime == Regime::Collapsed {
                    gone
                } else {
                    piece
                };
                let slope = here.slope(time, y, Some(&last));
                last = slope.extra;
                slope
            };
            let trial = integrate::step(&mut slope, at_s, &from, &now, step_s);
            let has_switched = kind(&trial.slope.extra) != kind(&before);
            if has_switched && !is_landing && switches < MOST_SWITCHES {
                switches += 1;
                is_landing = true;
                width = self.switches_after(&piece, at_s, &now, &trial, step_s);
                continue;
            }
            is_landing = false;
            let mut trial = trial;
            let off = self.off(&from, &trial);
            let wider = if off > 0.0 {
                (0.9 * off.powf(-0.2)).clamp(0.2, 5.0)
            } else {
                5.0
            };
            // Where it chatters between two states, steps go over it.
            let shortest_s = if switches < MOST_SWITCHES {
                SHORTEST_S
            } else {
                SHORTEST_S.max(CHATTER_PART * seconds)
            };
            if off > 1.0 && step_s > shortest_s {
                width = (step_s * wider).max(shortest_s);
                continue;
            }
            if off > 1.0 {
                // The voltage falls off an edge within the step: over it by the slope before it.
                trial.after = std::array::from_fn(|place| from[place] + step_s * now.by[place]);
                trial.slope = piece.slope(at_s + step_s, &trial.after, Some(&before));
                switches += 1;
            }
            self.fill(stretch, (at_s, step_s), &now, &trial, passed);
            self.steps += 1;
            self.unknowns = trial.after;
            self.unknowns[0] = self.unknowns[0].clamp(0.0, 1.0);
            self.at_s += step_s;
            if now.extra.regime == Regime::Collapsed {
                passed.collapsed_s += step_s;
            }
            if trial.slope.extra.regime == Regime::Collapsed && !stretch.is_crank {
                self.dead = Some(piece.role);
                piece.is_dead = true;
            }
            if now.extra.held_off && piece.role == Role::Charging {
                passed.held_off_s += step_s;
            }
            at_s = if is_last { seconds } else { at_s + step_s };
            now = trial.slope;
            width = step_s * wider;
            self.before = Some(now.extra);
            self.sample(stretch, at_s, &now, passed);
        }
    }

    /// How far a step is off, in units of what is allowed.
    fn off(&self, from: &Unknowns, trial: &Trial<UNKNOWNS, Settled>) -> f64 {
        // Far too wide a step over an edge can leave all numbers.
        if !trial
            .after
            .iter()
            .chain(&trial.error)
            .all(|y| y.is_finite())
        {
            return f64::INFINITY;
        }
        let mut off: f64 = 0.0;
        for (error, allowed) in trial.error.iter().zip(ALLOWED) {
            off = off.max(error.abs() / allowed);
        }
        let energies = ENERGIES..UNKNOWNS;
        let moved = energies
            .clone()
            .map(|place| (trial.after[place] - from[place]).abs())
            .fold(0.0, f64::max);
        let allowed = ALLOWED_ENERGY.0 * moved + ALLOWED_ENERGY.1;
        for place in energies {
            off = off.max(trial.error[place].abs() / allowed);
        }
        off / self.accuracy.allowed
    }

    /// How long after its start a tried step switches, s.
    fn switches_after(
        &self,
        piece: &Piece,
        at_s: f64,
        now: &Slope<UNKNOWNS, Settled>,
        trial: &Trial<UNKNOWNS, Settled>,
        step_s: f64,
    ) -> f64 {
        let before = kind(&now.extra);
        let (mut low, mut high) = (0.0, 1.0);
        while (high - low) * step_s > SWITCH_S * self.accuracy.allowed && high - low > 1e-12 {
            let middle = 0.5 * (low + high);
            let y = integrate::between(
                (&self.unknowns, &now.by),
                (&trial.after, &trial.slope.by),
                step_s,
                middle,
            );
            let settled = piece.settle(at_s + middle * step_s, &y, Some(&now.extra));
            if kind(&settled) == before {
                low = middle;
            } else {
                high = middle;
            }
        }
        high * step_s
    }

    /// Samples within a step of (from s, seconds).
    fn fill(
        &self,
        stretch: &Stretch,
        (at_s, step_s): (f64, f64),
        now: &Slope<UNKNOWNS, Settled>,
        trial: &Trial<UNKNOWNS, Settled>,
        passed: &mut Passed,
    ) {
        if self.accuracy.samples == 0 || stretch.is_crank {
            return;
        }
        let look = |part: f64| {
            let y = integrate::between(
                (&self.unknowns, &now.by),
                (&trial.after, &trial.slope.by),
                step_s,
                part,
            );
            let time = at_s + part * step_s;
            let settled = stretch.piece.settle(time, &y, Some(&now.extra));
            (y, settled)
        };
        let parts = (step_s / stretch.spacing_s).floor() as u32 + 1;
        let part = |place: u32| f64::from(place) / f64::from(parts);
        let mut inner: Vec<_> = (1..parts).map(part).map(|at| (at, look(at))).collect();
        let shown_v = |settled: &Settled| self.supplied.shown_v(settled);
        let mut known = vec![(0.0, shown_v(&now.extra))];
        known.extend(
            inner
                .iter()
                .map(|(at, (_, settled))| (*at, shown_v(settled))),
        );
        known.push((1.0, shown_v(&trial.slope.extra)));
        let volts = |at| shown_v(&look(at).1);
        let lowest = extreme::lower(&known, passed.lowest.1, volts);
        for point in &mut known {
            point.1 = -point.1;
        }
        let highest = extreme::lower(&known, -passed.highest.1, |at| -volts(at));
        inner.extend(
            [lowest, highest]
                .into_iter()
                .flatten()
                .map(|at| (at, look(at))),
        );
        inner.sort_by(|one, other| one.0.total_cmp(&other.0));
        for (part, (y, settled)) in inner {
            let times = (at_s + part * step_s, self.at_s + part * step_s);
            self.keep(stretch.piece, times, &y, settled, passed);
        }
    }

    fn sample(
        &self,
        stretch: &Stretch,
        at_s: f64,
        now: &Slope<UNKNOWNS, Settled>,
        passed: &mut Passed,
    ) {
        if stretch.is_crank {
            let volts = now.extra.node_v;
            passed.crank_v = Some(passed.crank_v.map_or(volts, |least| least.min(volts)));
            return;
        }
        let times = (at_s, self.at_s);
        self.keep(stretch.piece, times, &self.unknowns, now.extra, passed);
    }

    fn keep(
        &self,
        piece: &Piece,
        (at_s, day_s): (f64, f64),
        y: &Unknowns,
        settled: Settled,
        passed: &mut Passed,
    ) {
        let volts = self.supplied.shown_v(&settled);
        // Between two starts the engine stands: that is no voltage of a running engine.
        let counts = piece.engine.is_some() || !passed.engine_ran;
        if counts && volts < passed.lowest.1 {
            passed.lowest = (day_s, volts);
        }
        if counts && volts > passed.highest.1 {
            passed.highest = (day_s, volts);
        }
        if self.accuracy.samples > 0 {
            passed.samples.push(Sample {
                at_s: day_s,
                engine_rpm: piece.engine_rpm(at_s),
                settled,
                soc: y[0].clamp(0.0, 1.0),
                alternator_c: y[2],
            });
        }
    }
}

/// What a switch is a change of.
fn kind(settled: &Settled) -> (Regime, bool) {
    (settled.regime, settled.held_off)
}
