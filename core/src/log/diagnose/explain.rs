//! What explains the course of the voltage: engine speed, the pass as a whole, the throttle,
//! or a moment from which on it is another.
//!
//! Each explanation is a signal; its voltage is fitted by least squares beside a constant for
//! each stretch of the log, and judged by how much of the scatter it takes away.

use super::work::Block;
use crate::log::passes::Span;

/// Time constants with which voltage may follow, s: logger, battery, machine.
const FOLLOWS_S: [f64; 5] = [0.0, 0.15, 0.4, 1.0, 2.5];
/// Where a fall may begin, between idle (0) and the top (1).
const KNEES: [f64; 9] = [0.0, 0.15, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9];
/// Where output may be lost, between idle and the top, ...
const LOST: [f64; 7] = [0.4, 0.5, 0.6, 0.7, 0.8, 0.88, 0.95];
/// ... and the part of that speed at which it comes back.
const BACK: [f64; 3] = [0.97, 0.88, 0.75];
/// Blocks that are looked at: enough, and quick.
const MOST_BLOCKS: usize = 3_000;

/// How well one explanation fits.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Fit {
    /// Part of the scatter that it takes away, 0 to 1.
    pub gain: f64,
    /// Change of voltage where it is strongest, V.
    pub volts: f64,
    /// Time constant with which voltage follows it, s.
    pub follows_s: f64,
    /// Engine speed from which on it works, rpm; 0 where that means nothing.
    pub from_rpm: f64,
}

/// Explanations of one log.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Explained {
    /// A fall with engine speed from a knee on.
    pub hinge: Fit,
    /// A loss over a speed, back under another.
    pub lost: Fit,
    /// Another voltage during passes.
    pub during: Fit,
    /// Another voltage with the throttle open.
    pub throttle: Fit,
    /// Another voltage from a moment on.
    pub since: Fit,
    /// That moment, s.
    pub since_s: f64,
    /// Scatter that was to be explained, V rms.
    pub scatter_v: f64,
    /// Times that engine speed came down again from the upper to the lower half.
    pub returns: usize,
}

/// Stretches of blocks that share a constant.
struct Pieces {
    blocks: Vec<Block>,
    /// First block of each piece, and the end.
    starts: Vec<usize>,
    mean_square: f64,
    volts: Vec<f64>,
}

impl Pieces {
    fn of(blocks: &[Block], windows: &[Span]) -> Self {
        let in_window = |block: &Block| windows.iter().position(|span| span.holds(block.at_s));
        let wanted: Vec<(usize, Block)> = blocks
            .iter()
            .filter_map(|block| Some((in_window(block)?, *block)))
            .collect();
        let stride = wanted.len().div_ceil(MOST_BLOCKS).max(1);
        let mut kept = Vec::new();
        let mut starts = Vec::new();
        let mut last = None;
        for (window, block) in wanted.into_iter().step_by(stride) {
            if last != Some((window, block.run)) {
                starts.push(kept.len());
                last = Some((window, block.run));
            }
            kept.push(block);
        }
        starts.push(kept.len());
        let mut pieces = Self {
            volts: kept.iter().map(|block| block.volts).collect(),
            blocks: kept,
            starts,
            mean_square: 0.0,
        };
        let mut volts = std::mem::take(&mut pieces.volts);
        pieces.center(&mut volts);
        let sum: f64 = volts.iter().map(|volts| volts * volts).sum();
        pieces.mean_square = sum / volts.len().max(1) as f64;
        pieces.volts = volts;
        pieces
    }

    /// Takes the mean of every piece out.
    fn center(&self, values: &mut [f64]) {
        for ends in self.starts.windows(2) {
            if let Some(piece) = values.get_mut(ends[0]..ends[1]) {
                let mean = piece.iter().sum::<f64>() / piece.len().max(1) as f64;
                for value in piece {
                    *value -= mean;
                }
            }
        }
    }

    /// How well a signal explains the voltage.
    fn fit(&self, mut signal: Vec<f64>) -> Fit {
        let strongest = signal.iter().copied().fold(0.0, f64::max);
        self.center(&mut signal);
        let (mut own, mut both) = (0.0, 0.0);
        for (value, volts) in signal.iter().zip(&self.volts) {
            own += value * value;
            both += value * volts;
        }
        let count = self.volts.len().max(1) as f64;
        let all = self.mean_square * count;
        if own <= 1e-9 * count || all <= 0.0 {
            return Fit::default();
        }
        Fit {
            gain: both * both / own / all,
            volts: both / own * strongest,
            ..Fit::default()
        }
    }

    /// A signal that follows another one with a time constant.
    fn follow(&self, values: &[f64], follows_s: f64) -> Vec<f64> {
        if follows_s <= 0.0 {
            return values.to_vec();
        }
        let mut followed = Vec::with_capacity(values.len());
        let mut now = 0.0;
        let mut last_s = f64::MIN;
        for (place, (value, block)) in values.iter().zip(&self.blocks).enumerate() {
            let passed = block.at_s - last_s;
            now = if self.starts.contains(&place) || passed > 60.0 {
                *value
            } else {
                now + (value - now) * (1.0 - (-passed / follows_s).exp())
            };
            last_s = block.at_s;
            followed.push(now);
        }
        followed
    }

    /// The best of a kind of explanation: signals with the speed they begin at. Only what
    /// lowers the voltage counts.
    fn best(&self, kinds: impl Iterator<Item = (Vec<f64>, f64)>) -> Fit {
        let mut best = Fit::default();
        for (signal, from_rpm) in kinds {
            for follows_s in FOLLOWS_S {
                let fit = self.fit(self.follow(&signal, follows_s));
                if fit.volts < 0.0 && fit.gain > best.gain {
                    best = Fit {
                        follows_s,
                        from_rpm,
                        ..fit
                    };
                }
            }
        }
        best
    }

    fn signal(&self, of: impl FnMut(&Block) -> f64) -> Vec<f64> {
        self.blocks.iter().map(of).collect()
    }
}

/// What explains the voltage in these windows; `idle_rpm` to `top_rpm` is the engine's range,
/// `throttle` how far it is open over time.
pub fn explain(
    blocks: &[Block],
    windows: &[Span],
    passes: &[Span],
    (idle_rpm, top_rpm): (f64, f64),
    throttle: &dyn Fn(f64) -> Option<f64>,
) -> Explained {
    let pieces = Pieces::of(blocks, windows);
    let at_part = |part: f64| idle_rpm + part * (top_rpm - idle_rpm);
    let hinges = KNEES.iter().map(|part| {
        let knee = at_part(*part);
        (pieces.signal(|block| (block.rpm - knee).max(0.0)), knee)
    });
    let losses = LOST
        .iter()
        .flat_map(|part| BACK.iter().map(move |back| (*part, *back)));
    let losses = losses.map(|(part, back)| {
        let (lose, back) = (at_part(part), at_part(part) * back);
        let mut is_lost = false;
        let signal = pieces.signal(|block| {
            is_lost = block.rpm > lose || (is_lost && block.rpm > back);
            f64::from(u8::from(is_lost))
        });
        (signal, lose)
    });
    let during = pieces.signal(|block| {
        let is_driven = passes.iter().any(|pass| pass.holds(block.at_s));
        f64::from(u8::from(is_driven))
    });
    let open = pieces.signal(|block| throttle(block.at_s).unwrap_or(0.0));
    let (since, since_s) = since(&pieces);
    Explained {
        hinge: pieces.best(hinges),
        lost: pieces.best(losses),
        during: pieces.best(std::iter::once((during, 0.0))),
        throttle: pieces.best(std::iter::once((open, 0.0))),
        since,
        since_s,
        scatter_v: pieces.mean_square.sqrt(),
        returns: returns(&pieces, at_part(0.65), at_part(0.4)),
    }
}

/// Times that engine speed came down from over `high` to under `low`, rpm.
fn returns(pieces: &Pieces, high: f64, low: f64) -> usize {
    let mut is_high = false;
    let mut count = 0;
    for block in &pieces.blocks {
        if block.rpm > high {
            is_high = true;
        } else if block.rpm < low && is_high {
            (is_high, count) = (false, count + 1);
        }
    }
    count
}

/// The best moment from which on the voltage is lower, within one piece, and how well that
/// explains it.
fn since(pieces: &Pieces) -> (Fit, f64) {
    let mut best = (Fit::default(), 0.0);
    let all = pieces.mean_square * pieces.volts.len().max(1) as f64;
    for ends in pieces.starts.windows(2) {
        let (from, to) = (ends[0], ends[1]);
        let count = (to - from) as f64;
        let mut sum = 0.0;
        for place in from..to.saturating_sub(1) {
            // The mean of a piece is zero: what is before sums to the opposite of what is after.
            sum += pieces.volts[place];
            let before = (place + 1 - from) as f64;
            let after = count - before;
            let gain = sum * sum / before + sum * sum / after;
            if sum > 0.0 && before >= 5.0 && after >= 5.0 && all > 0.0 && gain / all > best.0.gain {
                best = (
                    Fit {
                        gain: gain / all,
                        volts: -sum / before - sum / after,
                        ..Fit::default()
                    },
                    pieces.blocks[place].at_s,
                );
            }
        }
    }
    best
}
