//! Passes and sessions in a log, and the moments of each.

use serde::{Deserialize, Serialize};

use super::cut::{samples, within};
use super::moments;
use super::sampling::gap_s;
use super::shifts;
use super::{Recording, Seen, Signal};

/// What counts as a pass. What is absent is found from the log itself.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Rules {
    /// Engine speed over which the car is on a pass, rpm.
    pub high_rpm: Option<f64>,
    /// Shortest time that counts, s.
    pub least_s: f64,
    /// Longest time under that speed within one pass, s.
    pub pause_s: f64,
    /// Passes that begin or end elsewhere than the log says.
    #[serde(default)]
    pub moved: Vec<Moved>,
}

/// A pass whose ends the person knows better.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Moved {
    /// Its place among the passes of the log.
    pub place: usize,
    /// Its launch, s.
    pub from_s: Option<f64>,
    /// Its stripe, s.
    pub to_s: Option<f64>,
}

/// A stretch of time.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Span {
    /// Its start, s.
    pub from_s: f64,
    /// Its end, s.
    pub to_s: f64,
}

/// What was driven.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum PassKind {
    /// From a standing start to the stripe.
    Drag,
    /// Laps.
    Session,
}

/// An upshift: a sharp drop of engine speed.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Shift {
    /// When the drop begins, s.
    pub at_s: f64,
    /// When it is over, s.
    pub done_s: f64,
    /// Engine speed before, rpm.
    pub from_rpm: f64,
    /// Engine speed after, rpm.
    pub to_rpm: f64,
}

/// A pass or a session.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Pass {
    /// What was driven.
    pub kind: PassKind,
    /// From the launch (or the first high speed of a session) to the stripe (or the last).
    pub span: Span,
    /// Highest engine speed, rpm.
    pub highest_rpm: f64,
    /// Upshifts in their order.
    pub shifts: Seen<Vec<Shift>>,
    /// Stretches of rising engine speed between shifts: the gears of a pass.
    pub gears: Vec<Span>,
    /// Idling before it.
    pub idle: Option<Span>,
    /// Low engine speed after it, the engine still running.
    pub after: Option<Span>,
    /// When the engine was switched off after it, s.
    pub shutdown_s: Option<f64>,
}

/// Why a stretch of high engine speed is no pass.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Aside {
    /// Too short: a blip.
    Short,
    /// Shortly before a pass and no climb through the gears: a burnout.
    Burnout,
    /// The car did not move.
    Standing,
}

/// What a log was found to hold.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Found {
    /// The speed that was used, rpm.
    pub high_rpm: f64,
    /// Idle as the log shows it, rpm.
    pub idle_rpm: Option<f64>,
    /// Passes in their order.
    pub passes: Vec<Pass>,
    /// Stretches of high engine speed that are no pass.
    pub aside: Vec<(Span, Aside)>,
}

/// Width of a bin of the engine-speed histogram, rpm.
const BIN_RPM: f64 = 100.0;
/// Under this the engine does not run by itself, rpm: starters turn it at 150 to 300.
pub(super) const RUNS_RPM: f64 = 400.0;
/// Idle is looked for under this, rpm.
const IDLE_UNDER_RPM: f64 = 2_200.0;
/// An idle that nobody sees is taken as this, rpm.
pub(super) const USUAL_IDLE_RPM: f64 = 900.0;
/// The highest speed counts once it was held for so long in all, s: a spike is none.
const TOP_HELD_S: f64 = 0.3;
/// A log has a pass when its engine turned so much faster than at idle.
const TOP_OVER_IDLE: f64 = 2.2;
/// The speed of a pass between idle (0) and the top (1).
const HIGH_PART: f64 = 0.55;
/// Between idle (0) and the top (1): an engine in gear on a course stays over it, one that
/// stages falls under it.
const DRIVEN_PART: f64 = 0.2;
/// A shift never takes longer than this, s.
const SHIFT_PAUSE_S: f64 = 2.0;
/// From here on it is a session, s: no drag pass takes as long.
const SESSION_S: f64 = 40.0;
/// A burnout comes at most so long before its pass, s: no two passes are as close, since the
/// car has to come back first.
const BURNOUT_S: f64 = 40.0;
/// A car that was never faster on a stretch stood, m/s.
const STOOD_MPS: f64 = 4.0;
/// How long idle or cruise has to last to be read, s.
const STEADY_S: f64 = 0.8;
/// How far around a pass idle is looked for, s.
const AROUND_S: f64 = 90.0;

impl Default for Rules {
    fn default() -> Self {
        Self {
            high_rpm: None,
            least_s: 2.5,
            pause_s: 12.0,
            moved: Vec::new(),
        }
    }
}

/// What the engine speeds of a log are: idle and top.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Speeds {
    /// Idle, where there is one.
    pub idle: Option<f64>,
    /// Highest that was held.
    pub top: f64,
}

impl Speeds {
    pub fn of(rpm: &Signal) -> Self {
        let gap = gap_s(rpm);
        let mut held: Vec<f64> = Vec::new();
        for (two, value) in rpm.time().windows(2).zip(rpm.values()) {
            let seconds = two[1] - two[0];
            if seconds > 0.0 && seconds <= gap && f64::from(*value) > RUNS_RPM {
                let bin = (f64::from(*value) / BIN_RPM) as usize;
                if held.len() <= bin {
                    held.resize(bin + 1, 0.0);
                }
                held[bin] += seconds;
            }
        }
        let mut left = 0.0;
        let top = (0..held.len()).rev().find(|bin| {
            left += held[*bin];
            left >= TOP_HELD_S
        });
        let slow = held.iter().take((IDLE_UNDER_RPM / BIN_RPM) as usize);
        let idle = slow
            .enumerate()
            .max_by(|a, b| a.1.total_cmp(b.1))
            .filter(|(_, seconds)| **seconds >= STEADY_S);
        Self {
            idle: idle.map(|(bin, _)| (bin as f64 + 0.5) * BIN_RPM),
            top: top.map_or(0.0, |bin| (bin + 1) as f64 * BIN_RPM),
        }
    }

    /// Speed at a part of the way from idle (0) to the top (1), rpm.
    pub fn part(self, part: f64) -> f64 {
        let idle = self.idle.unwrap_or(USUAL_IDLE_RPM);
        idle + part * (self.top - idle)
    }
}

/// Finds the passes of a log.
pub(super) fn find(recording: &Recording, rules: &Rules, speeds: Speeds, rpm_hz: f64) -> Found {
    let rpm = &recording.rpm;
    let high_rpm = rules.high_rpm.unwrap_or_else(|| speeds.part(HIGH_PART));
    let mut found = Found {
        high_rpm,
        idle_rpm: speeds.idle,
        passes: Vec::new(),
        aside: Vec::new(),
    };
    let is_driven = speeds.top >= TOP_OVER_IDLE * speeds.idle.unwrap_or(USUAL_IDLE_RPM);
    if !is_driven && rules.high_rpm.is_none() {
        return found;
    }
    let mut stretches = Vec::new();
    for span in high_stretches(rpm, high_rpm, speeds.part(DRIVEN_PART), rules) {
        match set_aside(recording, span, rules) {
            Some(why) => found.aside.push((span, why)),
            None => stretches.push(span),
        }
    }
    let shifted: Vec<(Span, usize)> = stretches
        .into_iter()
        .map(|span| (span, shifts::drops(rpm, span).len()))
        .collect();
    for (place, &(span, shifts)) in shifted.iter().enumerate() {
        let weight = |span: Span, shifts: usize| span.seconds() * (1.0 + shifts as f64);
        let own = weight(span, shifts);
        let outdone = |other: Option<&(Span, usize)>, apart: fn(Span, Span) -> f64| {
            other.is_some_and(|other| {
                let close = apart(span, other.0) < BURNOUT_S;
                close && other.0.seconds() < SESSION_S && weight(other.0, other.1) > own
            })
        };
        let is_short = span.seconds() < SESSION_S;
        let before = place.checked_sub(1).and_then(|at| shifted.get(at));
        if is_short && outdone(shifted.get(place + 1), |own, next| next.from_s - own.to_s) {
            found.aside.push((span, Aside::Burnout));
        } else if is_short && outdone(before, |own, last| own.from_s - last.to_s) {
            found.aside.push((span, Aside::Short));
        } else {
            let whole = pass(recording, span, speeds, rpm_hz);
            found.passes.push(whole);
        }
    }
    for moved in &rules.moved {
        if let Some(pass) = found.passes.get_mut(moved.place) {
            let (from_s, to_s) = (pass.span.from_s, pass.span.to_s);
            let span = Span::new(moved.from_s.unwrap_or(from_s), moved.to_s.unwrap_or(to_s));
            // Turned round, or outside the log, it stays as it was found.
            if span.from_s < span.to_s && samples(rpm, span).count() > 1 {
                *pass = around(recording, span, pass.kind, speeds, rpm_hz);
            }
        }
    }
    found
}

/// Stretches of high engine speed; short pauses, and longer ones in gear, count as part.
fn high_stretches(rpm: &Signal, high_rpm: f64, driven_rpm: f64, rules: &Rules) -> Vec<Span> {
    let mut found: Vec<Span> = Vec::new();
    let mut low = f64::MAX;
    let mut open: Option<Span> = None;
    for (&at, &value) in rpm.time().iter().zip(rpm.values()) {
        let value = f64::from(value);
        if value < high_rpm {
            low = low.min(value);
            if let Some(span) = open.take() {
                found.push(span);
            }
            continue;
        }
        if let Some(span) = &mut open {
            span.to_s = at;
            continue;
        }
        let joined = found.last().copied().filter(|last| {
            let pause = at - last.to_s;
            pause <= SHIFT_PAUSE_S || (pause <= rules.pause_s && low > driven_rpm)
        });
        open = Some(match joined {
            Some(last) => {
                found.pop();
                Span::new(last.from_s, at)
            }
            None => Span::new(at, at),
        });
        low = f64::MAX;
    }
    found.extend(open);
    found
}

/// Why a stretch is no pass.
fn set_aside(recording: &Recording, span: Span, rules: &Rules) -> Option<Aside> {
    if span.seconds() < rules.least_s {
        return Some(Aside::Short);
    }
    let speed = recording.speed.as_ref()?;
    let (_, speeds) = within(speed, span);
    let fastest = speeds.iter().copied().fold(f32::MIN, f32::max);
    (!speeds.is_empty() && f64::from(fastest) < STOOD_MPS).then_some(Aside::Standing)
}

/// The moments of a pass around a stretch of high engine speed.
fn pass(recording: &Recording, high: Span, speeds: Speeds, rpm_hz: f64) -> Pass {
    let rpm = &recording.rpm;
    let kind = if high.seconds() < SESSION_S {
        PassKind::Drag
    } else {
        PassKind::Session
    };
    let span = match kind {
        PassKind::Drag => {
            let begins_s = rpm.time().first().copied().unwrap_or(high.from_s);
            let from_s = moments::launch_s(recording, high, speeds).clamp(begins_s, high.to_s);
            let to_s = moments::lift_s(recording, high).unwrap_or(high.to_s);
            Span::new(from_s, to_s.max(from_s))
        }
        PassKind::Session => high,
    };
    around(recording, span, kind, speeds, rpm_hz)
}

/// The moments of a pass of which the ends are known.
fn around(recording: &Recording, span: Span, kind: PassKind, speeds: Speeds, rpm_hz: f64) -> Pass {
    let rpm = &recording.rpm;
    let (shifts, gears) = shifts::shifts_and_gears(rpm, span, kind, rpm_hz);
    let highest = samples(rpm, span)
        .map(|sample| sample.1)
        .fold(0.0, f64::max);
    let slow = speeds
        .part(0.1)
        .max(speeds.idle.unwrap_or(USUAL_IDLE_RPM) * 1.3);
    let before = Span::new(span.from_s - AROUND_S, span.from_s);
    let after = Span::new(span.to_s, span.to_s + AROUND_S);
    Pass {
        kind,
        span,
        highest_rpm: highest,
        shifts,
        gears,
        idle: last_steady(rpm, before, slow),
        after: last_steady(rpm, after, speeds.part(DRIVEN_PART)),
        shutdown_s: shutdown_s(rpm, after),
    }
}

/// The last stretch under a speed (rpm) with the engine running, at least [`STEADY_S`] long,
/// within a span.
fn last_steady(rpm: &Signal, within: Span, under_rpm: f64) -> Option<Span> {
    let mut best: Option<Span> = None;
    let mut open: Option<Span> = None;
    let gap = gap_s(rpm).max(STEADY_S);
    for (at, value) in samples(rpm, within) {
        let is_slow = value > RUNS_RPM && value < under_rpm;
        open = match open {
            Some(span) if is_slow && at - span.to_s <= gap => Some(Span::new(span.from_s, at)),
            _ if is_slow => Some(Span::new(at, at)),
            _ => None,
        };
        if let Some(span) = open
            && span.seconds() >= STEADY_S
        {
            best = Some(span);
        }
    }
    best
}

/// When the engine stops within a span, s.
fn shutdown_s(rpm: &Signal, within: Span) -> Option<f64> {
    let mut ran = None;
    for (at, value) in samples(rpm, within) {
        if value > RUNS_RPM {
            ran = Some(at);
        } else if value < RUNS_RPM / 4.0 && ran.is_some() {
            return ran;
        }
    }
    None
}
