//! What diagnosis works on: the running engine in short blocks of time.

use crate::log::analysis::Sampling;
use crate::log::joined::Joined;
use crate::log::passes::{RUNS_RPM, Span};
use crate::log::robust::{median, quantile};

/// Length of a block where the log is fast, s: shorter than anything that is looked for, long
/// enough that single disturbances do not show.
const BLOCK_S: f64 = 0.1;
/// Under this the engine stands, rpm.
const STANDS_RPM: f64 = 40.0;
/// For so long after a start the battery takes what it gave, s.
const STARTED_S: f64 = 20.0;
/// For so long after the engine stopped the battery comes to rest, s.
const RESTS_S: f64 = 3.0;
/// Samples that the voltage of an engine that is off takes.
const LEAST_OFF: usize = 3;
/// A stop of the record this long begins a new run, s.
const NEW_RUN_S: f64 = 5.0;

/// A block of time with the engine running.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Block {
    /// Its middle, s.
    pub at_s: f64,
    /// Engine speed: mean, rpm.
    pub rpm: f64,
    /// Voltage: median, V.
    pub volts: f64,
    /// Which run of the engine it belongs to.
    pub run: usize,
    /// Whether the battery still takes what the start cost it.
    pub started: bool,
}

/// The running engine in blocks.
#[derive(Clone, Debug, Default)]
pub struct Work {
    /// Blocks in their order.
    pub blocks: Vec<Block>,
    /// Length of a block, s.
    pub block_s: f64,
    /// How far a block's voltage scatters by noise and steps of the logger, V.
    pub noise_v: f64,
    /// Voltage with the engine off, a sample in each block's time: (s, V).
    off: Vec<(f64, f64)>,
}

impl Work {
    /// Of a whole log.
    pub fn of(joined: &Joined, sampling: &Sampling) -> Self {
        let block_s = BLOCK_S.max(1.0 / sampling.volts_hz.max(0.1));
        let mut work = Self {
            block_s,
            ..Self::default()
        };
        let mut open = Open::default();
        let mut engine = Engine::default();
        let mut sizes = Vec::new();
        for (at, rpm, value) in joined.samples(sampling.span) {
            let runs = rpm >= RUNS_RPM;
            if !runs || at - open.from_s > block_s * 1.0001 || engine.is_new_run(at) {
                work.close(&mut open, &engine, &mut sizes);
                open.from_s = at;
            }
            if rpm < STANDS_RPM && at - engine.ran_s > RESTS_S {
                let last_s = work.off.last().map_or(f64::MIN, |sample| sample.0);
                if at - last_s >= block_s {
                    work.off.push((at, value));
                }
            }
            engine.follow(at, rpm);
            if runs {
                open.volts.push(value);
                open.speeds += rpm;
            }
        }
        work.close(&mut open, &engine, &mut sizes);
        let size = median(&mut sizes).unwrap_or(1.0).max(1.0);
        // A block of a steady reading may still be a step off.
        work.noise_v =
            (1.25 * sampling.noise_v / size.sqrt()).max(sampling.step_v / 12.0f64.sqrt());
        work
    }

    /// A part of it.
    pub fn within(&self, span: Span) -> Self {
        let in_span = |at: f64| span.holds(at);
        let blocks = self.blocks.iter().filter(|block| in_span(block.at_s));
        let off = self.off.iter().filter(|sample| in_span(sample.0));
        Self {
            blocks: blocks.copied().collect(),
            off: off.copied().collect(),
            ..*self
        }
    }

    /// Voltage with the engine off: median, V.
    pub fn off_v(&self) -> Option<f64> {
        let mut volts: Vec<f64> = self.off.iter().map(|sample| sample.1).collect();
        (volts.len() >= LEAST_OFF).then(|| median(&mut volts))?
    }

    /// A quantile of the voltage of the blocks that are wanted.
    pub fn volts(&self, part: f64, wanted: impl Fn(&Block) -> bool) -> Option<f64> {
        let mut volts: Vec<f64> = self
            .blocks
            .iter()
            .filter(|block| wanted(block))
            .map(|block| block.volts)
            .collect();
        quantile(&mut volts, part)
    }

    /// How long the blocks that are wanted last, s.
    pub fn seconds(&self, wanted: impl Fn(&Block) -> bool) -> f64 {
        self.blocks.iter().filter(|block| wanted(block)).count() as f64 * self.block_s
    }
}

/// A block being gathered.
#[derive(Default)]
struct Open {
    from_s: f64,
    volts: Vec<f64>,
    speeds: f64,
}

/// What the engine did up to now.
struct Engine {
    run: usize,
    stands: bool,
    /// When it was last seen to run, s.
    ran_s: f64,
    /// When this run was seen to begin, s.
    begun_s: f64,
}

impl Default for Engine {
    fn default() -> Self {
        Self {
            run: 0,
            stands: false,
            ran_s: f64::MIN,
            begun_s: f64::MIN,
        }
    }
}

impl Engine {
    /// Whether a running engine at a time (s) is another run than the one before.
    fn is_new_run(&self, at_s: f64) -> bool {
        self.stands || (self.ran_s > f64::MIN && at_s - self.ran_s > NEW_RUN_S)
    }

    fn follow(&mut self, at_s: f64, rpm: f64) {
        if rpm >= RUNS_RPM {
            if self.is_new_run(at_s) {
                self.run += 1;
                self.begun_s = if self.stands { at_s } else { f64::MIN };
            }
            self.stands = false;
            self.ran_s = at_s;
        } else if rpm < STANDS_RPM {
            self.stands = true;
        }
    }
}

impl Work {
    /// Closes the block that was gathered; `sizes` gets how many samples it has.
    fn close(&mut self, open: &mut Open, engine: &Engine, sizes: &mut Vec<f64>) {
        let count = open.volts.len() as f64;
        let Some(volts) = median(&mut open.volts) else {
            return;
        };
        let at_s = open.from_s + self.block_s / 2.0;
        self.blocks.push(Block {
            at_s,
            rpm: open.speeds / count,
            volts,
            run: engine.run,
            started: at_s - engine.begun_s < STARTED_S,
        });
        sizes.push(count);
        open.volts.clear();
        open.speeds = 0.0;
    }
}
