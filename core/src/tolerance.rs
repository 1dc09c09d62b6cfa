//! How far an answer may be off, and which input that rests on.
//!
//! A range is a 95 % interval of a normal input, `u = half-width / 2` (JCGM 100:2008
//! "GUM" 5.1.2). Each input is moved to both ends of its range; an answer's upper side
//! takes `max(d+, d-, 0)` and its lower side `min(d+, d-, 0)` of each, as root sum of
//! squares.
//!
//! Where an answer has a kink (cut-in, the worst of several phases), moving one input at
//! a time misleads. Such an answer is found out by moving all inputs together, each as
//! far as its part of the root sum of squares: a straight answer then changes by just
//! that sum. (This is the first step of the advanced mean value method: Wu, Millwater and
//! Cruse, AIAA Journal 28, 1990, 1663-1669.) There a fixed set of draws of all inputs at
//! once is taken, and its 2.5 and 97.5 percentiles (JCGM 101:2008). Between straight and
//! bent the two are mixed, so that a spread has no step.
//!
//! Corner cases:
//! - inputs that no answer depends on cost two evaluations and share nothing;
//! - the draws are the same for every study, so that an answer does not flicker.

use std::sync::{Mutex, OnceLock, PoisonError};

use crate::finding::Spread;
use crate::resolve::{Input, InputId, Params, Resolved};

mod normal;
mod sides;
mod state;
mod sweep;

pub use normal::{DRAWS, drawn, quantile};
pub use state::State;
pub use sweep::Sweep;

use sides::{Change, Side};

/// How far all inputs together miss the root sum of squares, as a fraction of it, where an
/// answer begins to count as bent and where it does in full.
const BENT: (f64, f64) = (0.04, 0.07);

/// Place of the 2.5 percentile among the sorted draws; the 97.5 percentile is as far from
/// the other end.
const PERCENTILE: usize = DRAWS / 40;

/// How much of an answer's spread rests on one input.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Share {
    /// The input.
    pub input: InputId,
    /// Its part of the variance, 0 to 1.
    pub fraction: f64,
}

/// An answer with its spread.
#[derive(Clone, Debug, PartialEq)]
pub struct Spread95 {
    /// The answer with every input at its nominal value.
    pub value: f64,
    /// 95 % half-widths.
    pub spread: Spread,
    /// What the spread rests on, largest share first; inputs without a share left out.
    pub shares: Vec<Share>,
}

/// All inputs of a car moved one at a time, prepared once and used for every answer.
#[derive(Debug)]
pub struct Tolerances {
    nominal: State,
    moved: Vec<Moved>,
    resolved: Resolved,
    draws: OnceLock<Mutex<Vec<Drawn>>>,
}

#[derive(Debug)]
struct Moved {
    input: Input,
    lowest: State,
    highest: State,
}

/// All inputs drawn at once.
#[derive(Debug)]
struct Drawn {
    state: State,
    /// The draw of the pulley to judge, in its half-widths.
    own: f64,
}

/// The own tolerance of a pulley that is no part of the car.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Own {
    /// Which input it is.
    pub id: InputId,
    /// 95 % half-width of its diameter, mm.
    pub half_width_mm: f64,
}

/// What is asked of a state.
type Answer<'a> = &'a dyn Fn(&State) -> f64;

impl Tolerances {
    /// Prepares the moved states of a car.
    pub fn new(resolved: Resolved) -> Self {
        let base = &resolved.params;
        let with = |input: &Input, value| State::new(&resolved, base.with(input.id, value));
        let moved = resolved
            .inputs
            .iter()
            .filter(|input| input.lowest < input.highest)
            .map(|input| Moved {
                lowest: with(input, input.lowest),
                highest: with(input, input.highest),
                input: input.clone(),
            })
            .collect();
        Self {
            nominal: State::new(&resolved, base.clone()),
            moved,
            resolved,
            draws: OnceLock::new(),
        }
    }

    /// Every input at its nominal value.
    pub fn nominal(&self) -> &State {
        &self.nominal
    }

    /// The car that this was prepared from.
    pub fn resolved(&self) -> &Resolved {
        &self.resolved
    }

    /// An answer with its spread and what that rests on; `own` adds the tolerance of a
    /// pulley that is not on the car.
    pub fn of(&self, own: Option<Own>, answer: impl Fn(&State) -> f64) -> Spread95 {
        let (value, changes) = self.changes(own, &answer);
        Spread95 {
            value,
            spread: self.spread(own, value, &changes, &answer),
            shares: sides::shares(&changes),
        }
    }

    /// An answer with its spread alone: for edges and chart bands, where it is asked for
    /// at many places.
    pub fn sides(&self, own: Option<Own>, answer: impl Fn(&State) -> f64) -> (f64, Spread) {
        let (value, changes) = self.changes(own, &answer);
        (value, self.spread(own, value, &changes, &answer))
    }

    /// An answer with the root sum of squares alone, also where it is bent: for a first
    /// look.
    pub fn straight(&self, answer: impl Fn(&State) -> f64) -> (f64, Spread) {
        let (value, changes) = self.changes(None, &answer);
        (value, sides::spread(&changes))
    }

    /// The answer, and what each input changes it by.
    fn changes(&self, own: Option<Own>, answer: Answer) -> (f64, Vec<Change>) {
        let value = answer(&self.nominal);
        let mut changes = Vec::with_capacity(self.moved.len() + 1);
        for moved in &self.moved {
            let input = &moved.input;
            changes.push(Change {
                input: input.id,
                reach: (input.value - input.lowest, input.highest - input.value),
                change: (
                    answer(&moved.lowest) - value,
                    answer(&moved.highest) - value,
                ),
            });
        }
        if let Some(own) = own {
            let half = own.half_width_mm;
            let at = |own_mm: f64| answer(&self.nominal.with_own(own_mm)) - value;
            changes.push(Change {
                input: own.id,
                reach: (half, half),
                change: (at(-half), at(half)),
            });
        }
        (value, changes)
    }

    fn spread(&self, own: Option<Own>, value: f64, changes: &[Change], answer: Answer) -> Spread {
        let straight = sides::spread(changes);
        let missed = |side: Side, sum: f64| {
            if sum <= 0.0 {
                return 0.0;
            }
            let together = (answer(&self.together(own, changes, side, sum)) - value).abs();
            sides::ramp((together - sum).abs() / sum, BENT)
        };
        let bent = sides::kink(changes)
            .max(missed(Side::Down, straight.down))
            .max(missed(Side::Up, straight.up));
        if bent <= 0.0 {
            return straight;
        }
        let drawn = self.drawn(own, value, answer);
        let mixed = |straight: f64, drawn: f64| straight + bent * (drawn - straight);
        Spread {
            down: mixed(straight.down, drawn.down),
            up: mixed(straight.up, drawn.up),
        }
    }

    /// All inputs moved to one side of the answer, each as far as its part of the root sum
    /// of squares.
    fn together(&self, own: Option<Own>, changes: &[Change], side: Side, sum: f64) -> State {
        let mut params: Params = self.resolved.params.clone();
        let part = |change: &Change| {
            let (most, high) = change.towards(side);
            let part = most / sum;
            if high {
                part * change.reach.1
            } else {
                -part * change.reach.0
            }
        };
        for (moved, change) in self.moved.iter().zip(changes) {
            if let Some(slot) = params.slot(moved.input.id) {
                *slot = moved.input.value + part(change);
            }
        }
        let mut state = State::new(&self.resolved, params);
        if own.is_some() {
            state.own_mm = changes.last().map_or(0.0, part);
        }
        state
    }

    fn drawn(&self, own: Option<Own>, value: f64, answer: Answer) -> Spread {
        let draws = self.draws.get_or_init(|| Mutex::new(self.draw()));
        let mut draws = draws.lock().unwrap_or_else(PoisonError::into_inner);
        let half_mm = own.map_or(0.0, |own| own.half_width_mm);
        let mut answers: Vec<f64> = draws
            .iter_mut()
            .map(|drawn| {
                drawn.state.own_mm = drawn.own * half_mm;
                answer(&drawn.state)
            })
            .collect();
        let (_, low, above) = answers.select_nth_unstable_by(PERCENTILE, f64::total_cmp);
        let place = above.len() - 1 - PERCENTILE;
        let (_, high, _) = above.select_nth_unstable_by(place, f64::total_cmp);
        Spread {
            down: (value - *low).max(0.0),
            up: (*high - value).max(0.0),
        }
    }

    fn draw(&self) -> Vec<Drawn> {
        (0..DRAWS)
            .map(|row| {
                let mut z = drawn(row);
                let mut params = self.resolved.params.clone();
                // The pulley to judge takes the first of them in every study.
                let own = z.next().map_or(0.0, |z| z / 2.0);
                for (moved, z) in self.moved.iter().zip(z) {
                    if let Some(slot) = params.slot(moved.input.id) {
                        *slot = moved.input.value + off(&moved.input, z);
                    }
                }
                Drawn {
                    state: State::new(&self.resolved, params),
                    own,
                }
            })
            .collect()
    }
}

/// How far an input lies off its value at a standard normal draw: `u` is half of the
/// half-width on that side.
fn off(input: &Input, z: f64) -> f64 {
    let side = if z < 0.0 {
        input.value - input.lowest
    } else {
        input.highest - input.value
    };
    z * side / 2.0
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::car::demo;

    const OWN: Own = Own {
        id: InputId::TriedPulley,
        half_width_mm: 2.0,
    };

    fn tolerances() -> Tolerances {
        Tolerances::new(Resolved::new(&demo::nettle()).unwrap())
    }

    #[test]
    fn a_straight_answer_moves_by_its_slope() {
        let (value, spread) = tolerances().sides(Some(OWN), |state| 7.0 + 3.0 * state.own_mm);
        assert_eq!(value, 7.0);
        assert!((spread.up - 6.0).abs() < 1e-9 && (spread.down - 6.0).abs() < 1e-9);
    }

    /// Verification: half a half-width is a standard deviation, and of a normal number's size 2.5 % lie over 2.2414 of those.
    #[test]
    fn an_answer_with_a_kink_is_drawn() {
        let tolerances = tolerances();
        let bent = |state: &State| state.own_mm.abs();
        let (value, spread) = tolerances.sides(Some(OWN), bent);
        assert_eq!((value, spread.down), (0.0, 0.0));
        assert!((spread.up - 2.2414).abs() < 0.05, "{spread:?}");
        assert_eq!(tolerances.of(Some(OWN), bent).spread, spread);
        // Of a pulley that has none, nothing is drawn.
        let none = Own {
            half_width_mm: 0.0,
            ..OWN
        };
        assert_eq!(tolerances.sides(Some(none), bent), (0.0, Spread::default()));
    }
}
