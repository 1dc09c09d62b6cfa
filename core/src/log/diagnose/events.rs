//! Changes of voltage that engine speed does not make: steps, ramps, a loss for good,
//! wandering, flickers.

use super::work::{Block, Work};
use crate::log::robust::{median, quantile};

/// Voltage is compared over so long before and after a step, s.
const BESIDE_S: f64 = 0.8;
/// At least so many blocks on either side.
const BESIDE: usize = 3;
/// Engine speed counts as constant within this part.
const STEADY_PART: f64 = 0.06;
/// A step is at least this, V of a 12 V system: one lamp less is not worth a word.
const LEAST_STEP_V: f64 = 0.15;
/// Beside a step the voltage moves by less than this part of it: else it is a ramp.
const CALM_PART: f64 = 0.4;
/// Ramps between set-points take so long, s (from memory: 2 to 10).
const RAMP_S: (f64, f64) = (1.2, 12.0);
/// A ramp is at least this, V of a 12 V system.
const LEAST_RAMP_V: f64 = 0.3;
/// Engine speed at both ends of a ramp is alike within this part: else it may be what ramps.
const RAMP_SPEED_PART: f64 = 0.25;
/// Voltage counts as flat within this, V of a 12 V system, ...
const FLAT_V: f64 = 0.08;
/// ... over so long, s.
const FLAT_S: f64 = 1.6;
/// Part of a ramp that may happen within half a second; more is a step.
const SHARP_PART: f64 = 0.55;
/// A ramp has done this part of its way in half of its time.
const EVEN: (f64, f64) = (0.3, 0.7);
/// A loss counts after so long a charge, s, ...
const LOST_AFTER_S: f64 = 2.0;
/// ... when engine speed was up again for so long after it, s, ...
const REVVED_S: f64 = 2.0;
/// ... and when this part of it happened within half a second.
const LOST_PART: f64 = 0.3;
/// Idle and what is over it are compared over so long, s.
const CONTRAST_S: f64 = 6.0;
/// Straying is looked at over so long, s.
const STRAY_S: f64 = 4.0;

/// A change of voltage.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Change {
    /// When, s.
    pub at_s: f64,
    /// How much, V; negative down.
    pub volts: f64,
    /// How long it took, s.
    pub seconds: f64,
    /// Engine speed meanwhile, rpm.
    pub rpm: f64,
}

fn middle(blocks: &[Block]) -> f64 {
    let mut volts: Vec<f64> = blocks.iter().map(|block| block.volts).collect();
    median(&mut volts).unwrap_or(0.0)
}

fn speeds(blocks: &[Block]) -> (f64, f64) {
    let speeds = blocks.iter().map(|block| block.rpm);
    speeds.fold((f64::MAX, f64::MIN), |(low, high), rpm| {
        (low.min(rpm), high.max(rpm))
    })
}

fn spread(blocks: &[Block]) -> f64 {
    let volts = blocks.iter().map(|block| block.volts);
    let (low, high) = volts.fold((f64::MAX, f64::MIN), |(low, high), volts| {
        (low.min(volts), high.max(volts))
    });
    high - low
}

fn same_run(blocks: &[Block], most_s: f64) -> bool {
    match (blocks.first(), blocks.last()) {
        (Some(first), Some(last)) => {
            first.run == last.run && last.at_s - first.at_s <= most_s && !first.started
        }
        _ => false,
    }
}

/// Smallest step that this log can show, V.
pub fn least_step_v(work: &Work, scale: f64, step_v: f64) -> f64 {
    (LEAST_STEP_V * scale)
        .max(5.0 * work.noise_v)
        .max(1.5 * step_v)
}

/// Steps at constant engine speed, and how long that was looked at, s.
pub fn steps(work: &Work, least_v: f64) -> (Vec<Change>, f64) {
    let beside = ((BESIDE_S / work.block_s).round() as usize).max(BESIDE);
    let whole = 2 * beside + 1;
    let most_s = whole as f64 * work.block_s * 1.6 + 0.5;
    let mut found: Vec<Change> = Vec::new();
    let mut looked = 0usize;
    for window in work.blocks.windows(whole) {
        if !same_run(window, most_s) {
            continue;
        }
        let (low, high) = speeds(window);
        if high - low > STEADY_PART * high {
            continue;
        }
        looked += 1;
        let (before, after) = (&window[..beside], &window[beside + 1..]);
        let change = middle(after) - middle(before);
        let calm = spread(before).max(spread(after));
        if change.abs() < least_v || calm > CALM_PART * change.abs() {
            continue;
        }
        let at_s = window[beside].at_s;
        let step = Change {
            at_s,
            volts: change,
            seconds: work.block_s,
            rpm: (low + high) / 2.0,
        };
        match found.last_mut() {
            // Neighbors see the same step: the largest is nearest to it.
            Some(last) if at_s - last.at_s < BESIDE_S.max(beside as f64 * work.block_s) => {
                if change.abs() > last.volts.abs() {
                    *last = step;
                }
            }
            _ => found.push(step),
        }
    }
    (found, looked as f64 * work.block_s)
}

/// Ramps between flat stretches, whatever engine speed does.
pub fn ramps(work: &Work, scale: f64) -> Vec<Change> {
    let flat = ((FLAT_S / work.block_s).round() as usize).max(3);
    let allowed = (FLAT_V * scale).max(4.0 * work.noise_v);
    let blocks = &work.blocks;
    // Where a flat stretch begins, and its level.
    let flats: Vec<Option<f64>> = blocks
        .windows(flat)
        .map(|window| {
            let calm =
                same_run(window, flat as f64 * work.block_s * 1.6) && spread(window) <= allowed;
            calm.then(|| middle(window))
        })
        .collect();
    let mut found = Vec::new();
    let mut place = 0;
    while place < flats.len() {
        let Some(level) = flats[place] else {
            place += 1;
            continue;
        };
        // The end of this flat stretch, then the next one.
        let mut last = place;
        while flats
            .get(last + 1)
            .copied()
            .flatten()
            .is_some_and(|next| (next - level).abs() < 2.0 * allowed)
        {
            last += 1;
        }
        let from = last + flat - 1;
        let next = (from + 1..flats.len()).find(|at| flats[*at].is_some());
        let Some(next) = next else { break };
        let (begun, done) = (&blocks[from], &blocks[next]);
        let seconds = done.at_s - begun.at_s;
        let change = flats[next].unwrap_or(level) - level;
        let is_ramp = (RAMP_S.0..=RAMP_S.1).contains(&seconds)
            && change.abs() >= (LEAST_RAMP_V * scale).max(8.0 * work.noise_v)
            && begun.run == done.run
            && (begun.rpm - done.rpm).abs() < RAMP_SPEED_PART * begun.rpm.max(done.rpm)
            && sharpest(&blocks[from..=next], work.block_s) < SHARP_PART * change.abs()
            && straying(&blocks[from..=next], change) < 0.35
            && is_even(&blocks[from..=next]);
        if is_ramp {
            found.push(Change {
                at_s: begun.at_s,
                volts: change,
                seconds,
                rpm: begun.rpm,
            });
        }
        place = next;
    }
    found
}

/// Largest change within half a second, V.
fn sharpest(blocks: &[Block], block_s: f64) -> f64 {
    let lag = ((0.5 / block_s).round() as usize).max(1);
    let pairs = blocks.iter().zip(blocks.iter().skip(lag));
    pairs
        .map(|(one, other)| (other.volts - one.volts).abs())
        .fold(0.0, f64::max)
}

/// Whether half of the way is done in about half of the time: a battery that follows a change of
/// current does most of it at once.
fn is_even(blocks: &[Block]) -> bool {
    let (Some(first), Some(last)) = (blocks.first(), blocks.last()) else {
        return false;
    };
    let mid_s = (first.at_s + last.at_s) / 2.0;
    let half = blocks.iter().find(|block| block.at_s >= mid_s);
    let done = half.map_or(0.0, |block| {
        (block.volts - first.volts) / (last.volts - first.volts)
    });
    (EVEN.0..EVEN.1).contains(&done)
}

/// How much of the way is gone back and forth, over the change.
fn straying(blocks: &[Block], change: f64) -> f64 {
    let back = blocks.windows(2).map(|two| two[1].volts - two[0].volts);
    let back: f64 = back.filter(|step| step * change < 0.0).map(f64::abs).sum();
    back / change.abs().max(1e-9)
}

/// A loss of all charging that stays until the engine stops or the log ends, though engine
/// speed rises again (over `revved_rpm`): mostly over `charging_v` before, never after, and in
/// the end under `lost_v`. It begins sharply; what is left in the battery's plates hides the
/// rest for some seconds.
pub fn lost_for_good(
    work: &Work,
    (charging_v, lost_v): (f64, f64),
    revved_rpm: f64,
) -> Option<Change> {
    let blocks = &work.blocks;
    let mut end = blocks.len();
    while end > 0 {
        let run = blocks[end - 1].run;
        let begin = blocks[..end]
            .iter()
            .rposition(|block| block.run != run)
            .map_or(0, |at| at + 1);
        let found = lost_in(
            &blocks[begin..end],
            work.block_s,
            (charging_v, lost_v),
            revved_rpm,
        );
        if found.is_some() {
            return found;
        }
        end = begin;
    }
    None
}

fn lost_in(
    run: &[Block],
    block_s: f64,
    (charging_v, lost_v): (f64, f64),
    revved_rpm: f64,
) -> Option<Change> {
    let last = run.iter().rposition(|block| block.volts > charging_v)?;
    let (before, after) = run.split_at(last + 1);
    let charged = before
        .iter()
        .filter(|block| block.volts > charging_v)
        .count();
    let revved = after.iter().filter(|block| block.rpm > revved_rpm).count();
    let is_long = charged as f64 * block_s > LOST_AFTER_S && charged * 2 > before.len();
    if !is_long || (revved as f64) * block_s < REVVED_S {
        return None;
    }
    let settled = middle(after.get(after.len() / 2..)?);
    // The sharpest half second around the end of charging.
    let around = last.saturating_sub((2.0 / block_s) as usize + 1);
    let until = (last + (2.0 / block_s) as usize + 2).min(run.len());
    let sharp = sharpest(run.get(around..until)?, block_s);
    let from = middle(before.get(around.saturating_sub(before.len() / 4)..around.max(1))?);
    let fallen = from - settled;
    (settled < lost_v && fallen > 0.0 && sharp > LOST_PART * fallen).then(|| Change {
        at_s: run[last].at_s,
        volts: -fallen,
        seconds: block_s,
        rpm: run[last].rpm,
    })
}

/// What engine speed at idle and over it make of the voltage, each time it changes between
/// them: idle less over it, V; and how often it rose again.
pub fn idle_contrasts(work: &Work, idle_rpm: f64) -> Vec<Change> {
    let (slow, fast) = (idle_rpm * 1.35, idle_rpm * 1.7);
    let near = (CONTRAST_S / work.block_s).round() as usize + 1;
    let blocks = &work.blocks;
    let mut found: Vec<Change> = Vec::new();
    let mut was_slow: Option<(bool, usize)> = None;
    for (place, block) in blocks.iter().enumerate() {
        let is_slow = if block.rpm < slow {
            true
        } else if block.rpm > fast {
            false
        } else {
            continue;
        };
        if let Some((before, last)) = was_slow
            && before != is_slow
            && blocks[last].run == block.run
            && block.at_s - blocks[last].at_s < CONTRAST_S
        {
            let side = |blocks: &[Block], slow_side: bool| {
                let of = blocks.iter().filter(|block| {
                    let in_band = if slow_side {
                        block.rpm < slow
                    } else {
                        block.rpm > fast
                    };
                    in_band && !block.started
                });
                let mut volts: Vec<f64> = of.map(|block| block.volts).collect();
                (volts.len() >= 3).then(|| median(&mut volts))?
            };
            let before = side(&blocks[last.saturating_sub(near)..=last], !is_slow);
            let after = side(&blocks[place..(place + near).min(blocks.len())], is_slow);
            if let (Some(before), Some(after)) = (before, after) {
                found.push(Change {
                    at_s: block.at_s,
                    volts: if is_slow {
                        after - before
                    } else {
                        before - after
                    },
                    seconds: if is_slow { -1.0 } else { 1.0 },
                    rpm: block.rpm,
                });
            }
        }
        was_slow = Some((is_slow, place));
    }
    found
}

/// How far the voltage strays from what engine speed makes of it, over some seconds each: the
/// distance of its 10 and 90 percentiles, V.
pub fn strays(work: &Work, top_rpm: f64) -> Option<f64> {
    const BINS: usize = 12;
    let bin = |block: &Block| ((block.rpm / top_rpm * BINS as f64) as usize).min(BINS - 1);
    let mut bins = vec![Vec::new(); BINS];
    for block in work.blocks.iter().filter(|block| !block.started) {
        bins[bin(block)].push(block.volts);
    }
    let levels: Vec<Option<f64>> = bins.iter_mut().map(|volts| median(volts)).collect();
    let piece = ((STRAY_S / work.block_s).round() as usize).max(3);
    let mut off: Vec<f64> = work
        .blocks
        .chunks(piece)
        .filter_map(|blocks| {
            let mut off: Vec<f64> = blocks
                .iter()
                .filter(|block| !block.started)
                .filter_map(|block| Some(block.volts - levels[bin(block)]?))
                .collect();
            median(&mut off)
        })
        .collect();
    if off.len() < 8 {
        return None;
    }
    Some(quantile(&mut off.clone(), 0.9)? - quantile(&mut off, 0.1)?)
}

/// How much the voltage wanders at constant engine speed: the middle of its standard
/// deviations over pieces of some seconds, V; and how long that was looked at, s.
pub fn wander(work: &Work) -> Option<(f64, f64)> {
    let piece = ((3.0 / work.block_s).round() as usize).max(6);
    let mut found = Vec::new();
    for window in work.blocks.chunks(piece) {
        let (low, high) = speeds(window);
        let is_whole = window.len() == piece && same_run(window, piece as f64 * work.block_s * 1.6);
        if !is_whole || high - low > STEADY_PART * high {
            continue;
        }
        // Differences of neighbors leave slow changes out; of every second one, noise.
        let count = window.len() as f64;
        let mean = window.iter().map(|block| block.volts).sum::<f64>() / count;
        let mid_s = window.iter().map(|block| block.at_s).sum::<f64>() / count;
        let (mut own, mut both) = (0.0, 0.0);
        for block in window {
            own += (block.at_s - mid_s).powi(2);
            both += (block.at_s - mid_s) * (block.volts - mean);
        }
        let slope = both / own.max(1e-9);
        let sum: f64 = window
            .iter()
            .map(|block| (block.volts - mean - slope * (block.at_s - mid_s)).powi(2))
            .sum();
        found.push((sum / count).sqrt());
    }
    let seconds = found.len() as f64 * piece as f64 * work.block_s;
    Some((median(&mut found)?, seconds))
}
