//! Everything that diagnosis looks at, measured once.

use super::events::{self, Change};
use super::explain::{Explained, Fit, explain};
use super::work::Work;
use crate::log::analysis::Sampling;
use crate::log::bands::Bands;
use crate::log::figures::{Fade, Ragged, ragged};
use crate::log::joined::{Follower, Joined};
use crate::log::look::Look;
use crate::log::passes::{Pass, Span, USUAL_IDLE_RPM};
use crate::log::robust::median;
use crate::log::{Known, Missing, Recording, Seen, Signal};

/// How far around a pass its voltage is explained, s.
const AROUND_S: f64 = 20.0;
/// Over this it may be an overcharged 12 V system or a 16 V one, V.
const EITHER_V: f64 = 15.6;
/// A stretch has to be so long to be read, s.
const LEAST_S: f64 = 0.8;
/// Much lower than where charging was lost is under this part of the engine speed there, ...
const SLOW_PART: f64 = 0.6;
/// ... for so long, s.
const SLOW_S: f64 = 2.0;
/// A running engine never pulls its battery so far under "not charging", V of a 12 V system.
const FLICKER_V: f64 = 1.6;

/// What engine speed ranges the voltage was read in, V.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Read {
    /// Idling.
    pub idle: Option<f64>,
    /// Over idle, under half of the range.
    pub mid: Option<f64>,
    /// In the upper fifth of the range.
    pub high: Option<f64>,
    /// All of it: lowest 2 %, middle, best 5 %, highest 2 %.
    pub lowest: f64,
    /// The middle.
    pub typical: f64,
    /// What it reaches for at least a twentieth of the time.
    pub best: f64,
    /// Highest 2 %.
    pub highest: f64,
}

/// Other channels than voltage, low against high engine speed.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Beside {
    /// How far alternator speed falls behind at high engine speed, as a fraction.
    pub slip: Option<f64>,
    /// Current out of the alternator at low and at high engine speed, A.
    pub amps: Option<(f64, f64)>,
    /// Current into the battery while driven, A.
    pub battery_a: Option<f64>,
}

/// Everything that diagnosis looks at.
#[derive(Clone, Debug)]
pub struct Picture {
    /// Bands of the car.
    pub bands: Bands,
    /// Engine speed at idle and at the top, rpm.
    pub range: (f64, f64),
    /// Whether an idle was seen.
    pub has_idle: bool,
    /// Voltages.
    pub read: Read,
    /// Lowest 2 % over idle, V.
    pub driven_lowest_v: f64,
    /// Whether the car says what its battery is made of.
    pub chemistry_known: bool,
    /// Whether it may be a 12 V or a 16 V system.
    pub nominal_unknown: bool,
    /// Blocks in the upper fifth of the range.
    pub high_count: usize,
    /// With the engine off, V.
    pub off_v: Option<f64>,
    /// Time with the engine running and the battery over the start, s.
    pub running_s: f64,
    /// Time over the highest band, s.
    pub over_s: f64,
    /// Time in the good band or over it, s.
    pub good_s: f64,
    /// What explains the voltage.
    pub explained: Explained,
    /// Steps at constant engine speed.
    pub steps: Vec<Change>,
    /// How long for such steps was looked, s.
    pub steady_s: f64,
    /// Smallest step that would have been seen, V.
    pub least_step_v: f64,
    /// Ramps.
    pub ramps: Vec<Change>,
    /// Loss of all charging for good.
    pub lost: Option<Change>,
    /// Whether the voltage stayed down after it at much lower engine speed too.
    pub lost_when_slow: bool,
    /// Voltage that the regulator is said to hold, V.
    pub set_point_v: Option<f64>,
    /// Idle against what is over it, each time it changes.
    pub contrasts: Vec<Change>,
    /// How far it strays from what engine speed makes of it, V.
    pub strays_v: Option<f64>,
    /// How fast it sinks with the engine running, V a minute.
    pub sinks_v: Option<f64>,
    /// Wandering at constant engine speed, V.
    pub wander_v: Option<f64>,
    /// Raggedness.
    pub ragged: Seen<Ragged>,
    /// Fade.
    pub fade: Seen<Fade>,
    /// Single samples that no battery makes.
    pub flickers: u32,
    /// Voltage before the engine was first revved, and at the same idle later, V.
    pub revved: Option<(f64, f64)>,
    /// Other channels.
    pub beside: Beside,
    /// Smallest change worth a word, V.
    pub worth_v: f64,
    /// Highest alternator speed and the low end of its limit, rpm; whether it is assumed.
    pub limit: Option<(f64, f64, bool)>,
    /// Fall of voltage per 1000 rpm within gears: the middle of all gears, V.
    pub in_gears_v: Option<f64>,
}

impl Picture {
    /// Looks at a span of a log; `None` with too few samples of a running engine.
    pub fn of(look: &Look, span: Span, passes: &[Pass]) -> Option<Self> {
        let (recording, joined, known) = (look.recording, look.joined, look.known);
        let (bands, sampling, speeds) = (look.bands, look.sampling, look.speeds);
        let work = look.work.within(span);
        if work.blocks.len() < 20 {
            return None;
        }
        let idle = speeds.idle.unwrap_or(USUAL_IDLE_RPM);
        let range = (idle, speeds.top.max(idle * 1.5));
        let part = |rpm: f64| (rpm - range.0) / (range.1 - range.0);
        let settled = |started: bool| !started;
        let in_range = |low: f64, high: f64| {
            let wanted = |block: &super::work::Block| {
                settled(block.started) && (low..high).contains(&part(block.rpm))
            };
            (work.seconds(wanted) >= LEAST_S).then(|| work.volts(0.5, wanted))?
        };
        let any = |block: &super::work::Block| settled(block.started);
        let has_settled = work.seconds(any) >= LEAST_S;
        let of_all = |quantile: f64| work.volts(quantile, |block| !has_settled || any(block));
        let read = Read {
            idle: in_range(-1.0, 0.07),
            mid: in_range(0.12, 0.5),
            high: in_range(0.8, 9.0),
            lowest: of_all(0.02)?,
            typical: of_all(0.5)?,
            best: of_all(0.95)?,
            highest: of_all(0.98)?,
        };
        let scale = bands.scale;
        let spans: Vec<Span> = passes.iter().map(|pass| pass.span).collect();
        let windows = windows(&spans, span);
        let throttle = recording.throttle.as_ref();
        let explained = explain(&work.blocks, &windows, &spans, range, &|at| {
            nearest(throttle?, at)
        });
        let least_step_v = events::least_step_v(&work, scale, sampling.step_v);
        let (steps, steady_s) = events::steps(&work, least_step_v);
        let over = |edge: f64| work.seconds(|block| any(block) && block.volts > edge);
        let around = Span::new(
            windows.first().map_or(span.from_s, |first| first.from_s),
            windows.last().map_or(span.to_s, |last| last.to_s),
        );
        let top_rpm = passes
            .iter()
            .map(|pass| pass.highest_rpm)
            .fold(0.0, f64::max);
        let lost = events::lost_for_good(
            &work,
            (bands.low_v, bands.not_charging_v + 0.25 * scale),
            range.0 + 0.5 * (range.1 - range.0),
        );
        let is_slow_after = |lost: &Change| {
            let is_slow = |block: &super::work::Block| {
                block.at_s > lost.at_s && block.rpm < SLOW_PART * lost.rpm
            };
            work.seconds(is_slow) >= SLOW_S
        };
        Some(Self {
            bands,
            range,
            has_idle: speeds.idle.is_some(),
            read,
            driven_lowest_v: work
                .volts(0.02, |block| any(block) && part(block.rpm) > 0.1)
                .unwrap_or(read.lowest),
            chemistry_known: known.chemistry.is_some(),
            nominal_unknown: is_nominal_unknown(known, work.off_v(), read.typical),
            high_count: (work.seconds(|block| part(block.rpm) >= 0.8) / work.block_s) as usize,
            off_v: work.off_v(),
            running_s: work.seconds(any),
            over_s: over(bands.high_v + bands.doubt_v),
            good_s: over(bands.low_v),
            explained,
            steps,
            steady_s,
            least_step_v,
            ramps: events::ramps(&work, scale),
            lost_when_slow: lost.as_ref().is_some_and(is_slow_after),
            lost,
            set_point_v: known.set_point_v,
            contrasts: events::idle_contrasts(&work, idle),
            strays_v: events::strays(&work, range.1),
            sinks_v: sinks(&work),
            wander_v: events::wander(&work).map(|(volts, _)| volts),
            ragged: ragged::ragged(joined, around, range, sampling),
            fade: longest_fade(joined, &spans, range, sampling),
            flickers: flickers(joined, span, bands.not_charging_v - FLICKER_V * scale),
            revved: revved(&work, range),
            beside: beside(recording, joined, span, range),
            worth_v: (0.25 * scale)
                .max(5.0 * work.noise_v)
                .max(1.5 * sampling.step_v),
            limit: known.ratio.filter(|_| top_rpm > 0.0).map(|ratio| {
                let limits = &known.limits;
                (top_rpm * ratio.value, limits.continuous.0, limits.assumed)
            }),
            in_gears_v: in_gears(joined, passes, sampling),
        })
    }

    /// The better explanation of a fall with engine speed.
    pub fn fall(&self) -> Fit {
        let Explained { hinge, lost, .. } = self.explained;
        if lost.gain > hinge.gain { lost } else { hinge }
    }
}

/// Whether nothing says if it is a 12 V or a 16 V system: nothing entered, no battery at rest,
/// and a voltage that an overcharged one and a discharged one may both have.
fn is_nominal_unknown(known: &Known, off_v: Option<f64>, typical_v: f64) -> bool {
    let is_entered = known.chemistry.is_some() || known.set_point_v.is_some();
    !is_entered && off_v.is_none() && typical_v > EITHER_V
}

/// Where voltage is explained: around the passes, or all of it.
fn windows(passes: &[Span], whole: Span) -> Vec<Span> {
    if passes.is_empty() {
        return vec![whole];
    }
    let mut found: Vec<Span> = Vec::new();
    for pass in passes {
        let wide = Span::new(pass.from_s - AROUND_S, pass.to_s + AROUND_S);
        match found.last_mut() {
            Some(last) if wide.from_s <= last.to_s => last.to_s = wide.to_s,
            _ => found.push(wide),
        }
    }
    found
}

/// The sample nearest before a time.
fn nearest(signal: &Signal, at_s: f64) -> Option<f64> {
    let after = signal.time().partition_point(|&at| at <= at_s);
    let value = signal.values().get(after.checked_sub(1)?)?;
    Some(f64::from(*value))
}

/// The fade of the longest pass; of passes that are short, between the first and the last.
fn longest_fade(
    joined: &Joined,
    passes: &[Span],
    range: (f64, f64),
    sampling: &Sampling,
) -> Seen<Fade> {
    let longest = passes
        .iter()
        .max_by(|a, b| a.seconds().total_cmp(&b.seconds()));
    let whole = passes
        .first()
        .zip(passes.last())
        .map(|(first, last)| Span::new(first.from_s, last.to_s));
    let least_rpm = range.0 + 0.2 * (range.1 - range.0);
    for span in [longest.copied(), whole].into_iter().flatten() {
        if let Seen::Found(fade) = ragged::fade(joined, span, least_rpm, sampling) {
            return Seen::Found(fade);
        }
    }
    Seen::Missing(Missing::Short)
}

/// Single samples under a voltage between two that are well over it.
fn flickers(joined: &Joined, span: Span, under_v: f64) -> u32 {
    let (from, to) = crate::log::cut::places(&joined.volts, span);
    let volts = joined.volts.values().get(from..to).unwrap_or_default();
    let speeds = joined.rpm.values().get(from..to).unwrap_or_default();
    let low = |value: f32| f64::from(value) < under_v;
    let runs = |rpm: f32| rpm > 500.0;
    volts
        .windows(3)
        .zip(speeds.windows(3))
        .filter(|(volts, speeds)| {
            low(volts[1]) && !low(volts[0]) && !low(volts[2]) && speeds.iter().all(|rpm| runs(*rpm))
        })
        .count() as u32
}

/// Idle voltage before the first time the engine was revved, and at the same idle after it.
fn revved(work: &Work, (idle, top): (f64, f64)) -> Option<(f64, f64)> {
    let slow = idle * 1.35;
    let first = work
        .blocks
        .iter()
        .position(|block| block.rpm > idle + 0.2 * (top - idle))?;
    let middle = |blocks: &[super::work::Block]| {
        let idling = blocks.iter().filter(|block| block.rpm < slow);
        let mut volts: Vec<f64> = idling.map(|block| block.volts).collect();
        (volts.len() as f64 * work.block_s >= 1.5).then(|| median(&mut volts))?
    };
    Some((
        middle(&work.blocks[..first])?,
        middle(&work.blocks[first..])?,
    ))
}

/// The other channels at low and at high engine speed.
fn beside(recording: &Recording, joined: &Joined, span: Span, range: (f64, f64)) -> Beside {
    let part = |rpm: f64| (rpm - range.0) / (range.1 - range.0);
    let ends = |signal: &Signal, per_rpm: bool, low: (f64, f64), high: (f64, f64)| {
        let mut follower = Follower::new(signal);
        let (mut slow, mut fast) = (Vec::new(), Vec::new());
        for (at, rpm, _) in joined.samples(span) {
            let (Some(value), part) = (follower.at(at), part(rpm)) else {
                continue;
            };
            let value = if per_rpm { value / rpm.max(1.0) } else { value };
            if (low.0..low.1).contains(&part) {
                slow.push(value);
            } else if (high.0..high.1).contains(&part) {
                fast.push(value);
            }
        }
        let is_seen = slow.len() >= 5 && fast.len() >= 5;
        is_seen.then(|| Some((median(&mut slow)?, median(&mut fast)?)))?
    };
    let turns = recording.alternator_rpm.as_ref();
    let slip = turns.and_then(|turns| ends(turns, true, (0.05, 0.5), (0.75, 9.0)));
    let amps = recording.alternator_amps.as_ref();
    let battery = recording.battery_amps.as_ref();
    Beside {
        slip: slip.map(|(slow, fast)| 1.0 - fast / slow.max(1e-9)),
        amps: amps.and_then(|amps| ends(amps, false, (0.2, 0.6), (0.75, 9.0))),
        battery_a: battery
            .and_then(|amps| ends(amps, false, (-1.0, 0.1), (0.6, 9.0)))
            .map(|(_, fast)| fast),
    }
}

/// The middle slope of voltage over engine speed within the gears of all passes, V per 1000 rpm.
fn in_gears(joined: &Joined, passes: &[Pass], sampling: &Sampling) -> Option<f64> {
    let mut slopes: Vec<f64> = passes
        .iter()
        .flat_map(|pass| &pass.gears)
        .filter_map(|gear| {
            let points: Vec<(f64, f64)> = joined
                .samples(Span::new(gear.from_s + 0.15, gear.to_s))
                .map(|(_, rpm, volts)| (rpm / 1_000.0, volts))
                .collect();
            let points = crate::log::figures::gears::averaged(&points, 100);
            let is_enough = points.len() >= crate::log::figures::gears::LEAST_SAMPLES;
            is_enough.then(|| crate::log::robust::line(&points, sampling.step_v, 0.0))?
        })
        .map(|line| line.slope)
        .collect();
    median(&mut slopes)
}

/// How fast the voltage sinks over all of the running engine, V a minute; negative when it
/// rises.
fn sinks(work: &Work) -> Option<f64> {
    let points: Vec<(f64, f64)> = work
        .blocks
        .iter()
        .filter(|block| !block.started)
        .map(|block| (block.at_s / 60.0, block.volts))
        .collect();
    let points = crate::log::figures::gears::averaged(&points, 300);
    crate::log::robust::line(&points, 0.0, 0.0).map(|line| -line.slope)
}
