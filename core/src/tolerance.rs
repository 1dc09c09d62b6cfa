//! How far an answer may be off, and which input that rests on.
//!
//! A range is a 95 % interval of a normal input, `u = half-width / 2` (JCGM 100:2008
//! "GUM" 5.1.2). Each input is moved to both ends of its range; an answer's upper side
//! takes `max(d+, d-, 0)` and its lower side `min(d+, d-, 0)` of each, as root sum of
//! squares. Where an answer has a kink (cut-in, the worst of several phases), moving one
//! input at a time misleads: there a fixed set of draws of all inputs at once is taken,
//! and its 2.5 and 97.5 percentiles (JCGM 101:2008).
//!
//! Corner cases:
//! - inputs that no answer depends on cost two evaluations and share nothing;
//! - the draws are the same for every study, so that an answer does not flicker.

use std::sync::OnceLock;

use crate::alternator::{Field, Machine};
use crate::finding::Spread;
use crate::resolve::{Input, InputId, Params, Resolved};

mod normal;

pub use normal::{quantile, stratified};

/// How many draws are taken at a kink.
const DRAWS: usize = 256;

/// How much the slopes on both sides of an input may differ before it counts as a kink,
/// as a fraction of the larger.
const KINK: f64 = 0.5;

/// An input with a smaller share than this makes no kink.
const KINK_SHARE: f64 = 0.02;

/// One complete set of numbers with the machine they make.
#[derive(Clone, Debug)]
pub struct State {
    /// The numbers.
    pub params: Params,
    /// The machine they make.
    pub machine: Machine,
    /// How the pulley to judge differs from its nominal size, mm: its own tolerance is
    /// no number of the car.
    pub own_mm: f64,
}

impl State {
    fn new(resolved: &Resolved, params: Params) -> Self {
        Self {
            machine: resolved.machine(&params),
            params,
            own_mm: 0.0,
        }
    }

    /// What scales the machine's curve in this state.
    pub fn field(&self) -> Field {
        Field {
            scale: self.params.output_scale,
            low_form: self.params.low_form,
            exponent: self.params.field_exponent,
        }
    }
}

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
    inputs: Vec<Input>,
    resolved: Resolved,
    draws: OnceLock<Vec<State>>,
}

#[derive(Debug)]
struct Moved {
    id: InputId,
    below: f64,
    above: f64,
    lowest: State,
    highest: State,
}

/// The own tolerance of a pulley that is no part of the car.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Own {
    /// Which input it is.
    pub id: InputId,
    /// 95 % half-width of its diameter, mm.
    pub half_width_mm: f64,
}

impl Tolerances {
    /// Prepares the moved states of a car.
    pub fn new(resolved: Resolved) -> Self {
        let base = &resolved.params;
        let moved = resolved
            .inputs
            .iter()
            .filter(|input| input.lowest < input.highest)
            .map(|input| Moved {
                id: input.id,
                below: input.value - input.lowest,
                above: input.highest - input.value,
                lowest: State::new(&resolved, base.with(input.id, input.lowest)),
                highest: State::new(&resolved, base.with(input.id, input.highest)),
            })
            .collect();
        Self {
            nominal: State::new(&resolved, base.clone()),
            moved,
            inputs: resolved.inputs.clone(),
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

    /// An answer with its spread; `own` adds the tolerance of a pulley that is not on the
    /// car.
    pub fn of(&self, own: Option<Own>, answer: impl Fn(&State) -> f64) -> Spread95 {
        let value = answer(&self.nominal);
        let mut found = Sides::default();
        for moved in &self.moved {
            let lowest = answer(&moved.lowest) - value;
            let highest = answer(&moved.highest) - value;
            found.add(moved.id, lowest, highest, moved.below, moved.above);
        }
        if let Some(own) = own {
            let at = |own_mm: f64| {
                answer(&State {
                    own_mm,
                    ..self.nominal.clone()
                }) - value
            };
            let half = own.half_width_mm;
            found.add(own.id, at(-half), at(half), half, half);
        }
        let mut spread = found.spread();
        if found.kinked() {
            spread = self.drawn(own, value, &answer);
        }
        Spread95 {
            value,
            spread,
            shares: found.shares(),
        }
    }

    /// The spread alone of a smooth answer, without the shares: for edges and chart bands,
    /// where it is asked for at many places.
    pub fn sides(&self, answer: impl Fn(&State) -> f64) -> (f64, Spread) {
        let value = answer(&self.nominal);
        let (mut up, mut down) = (0.0, 0.0);
        for moved in &self.moved {
            let lowest = answer(&moved.lowest) - value;
            let highest = answer(&moved.highest) - value;
            let (above, below) = (lowest.max(highest).max(0.0), lowest.min(highest).min(0.0));
            up += above * above;
            down += below * below;
        }
        (
            value,
            Spread {
                down: f64::sqrt(down),
                up: f64::sqrt(up),
            },
        )
    }

    fn drawn(&self, own: Option<Own>, value: f64, answer: &impl Fn(&State) -> f64) -> Spread {
        let draws = self.draws.get_or_init(|| self.draw());
        let mut answers: Vec<f64> = match own {
            None => draws.iter().map(answer).collect(),
            Some(own) => draws
                .iter()
                .map(|state| {
                    // The last dimension of the draws is the pulley's own, in units of its half-width.
                    let own_mm = state.own_mm * own.half_width_mm;
                    answer(&State {
                        own_mm,
                        ..state.clone()
                    })
                })
                .collect(),
        };
        answers.sort_by(f64::total_cmp);
        Spread {
            down: (value - percentile(&answers, 0.025)).max(0.0),
            up: (percentile(&answers, 0.975) - value).max(0.0),
        }
    }

    fn draw(&self) -> Vec<State> {
        let columns: Vec<Vec<f64>> = (0..=self.inputs.len())
            .map(|column| stratified(DRAWS, column as u64))
            .collect();
        (0..DRAWS)
            .map(|row| {
                let mut params = self.resolved.params.clone();
                for (input, column) in self.inputs.iter().zip(&columns) {
                    if let Some(slot) = params.slot(input.id) {
                        *slot = input.value + half_normal(input, column[row]);
                    }
                }
                let own_mm = columns[self.inputs.len()][row] / 2.0;
                State {
                    own_mm,
                    ..State::new(&self.resolved, params)
                }
            })
            .collect()
    }
}

/// How far an input lies off its value at a standard normal draw: `u` is half of the
/// half-width on that side.
fn half_normal(input: &Input, z: f64) -> f64 {
    let side = if z < 0.0 {
        input.value - input.lowest
    } else {
        input.highest - input.value
    };
    z * side / 2.0
}

/// A percentile of sorted numbers, straight between its neighbors.
fn percentile(sorted: &[f64], p: f64) -> f64 {
    let Some(last) = sorted.len().checked_sub(1) else {
        return 0.0;
    };
    let place = p * last as f64;
    let below = place.floor() as usize;
    let above = (below + 1).min(last);
    let part = place - below as f64;
    sorted[below] + part * (sorted[above] - sorted[below])
}

#[derive(Default)]
struct Sides {
    up: f64,
    down: f64,
    each: Vec<(Share, bool)>,
}

impl Sides {
    fn add(&mut self, input: InputId, lowest: f64, highest: f64, below: f64, above: f64) {
        let up = lowest.max(highest).max(0.0);
        let down = lowest.min(highest).min(0.0);
        self.up += up * up;
        self.down += down * down;
        let fraction = up * up + down * down;
        let (slope_below, slope_above) = (-lowest / below, highest / above);
        let steepest = slope_below.abs().max(slope_above.abs());
        let bent =
            below > 0.0 && above > 0.0 && (slope_below - slope_above).abs() > KINK * steepest;
        if fraction > 0.0 {
            self.each.push((Share { input, fraction }, bent));
        }
    }

    fn spread(&self) -> Spread {
        Spread {
            down: self.down.sqrt(),
            up: self.up.sqrt(),
        }
    }

    fn kinked(&self) -> bool {
        let total = self.up + self.down;
        self.each
            .iter()
            .any(|(share, bent)| *bent && share.fraction > KINK_SHARE * total)
    }

    fn shares(self) -> Vec<Share> {
        let total = self.up + self.down;
        let mut shares: Vec<Share> = self
            .each
            .into_iter()
            .map(|(share, _)| Share {
                fraction: share.fraction / total,
                ..share
            })
            .collect();
        shares.sort_by(|a, b| b.fraction.total_cmp(&a.fraction));
        shares
    }
}
