//! A segment cut where something switches.

use super::slope::{Piece, Role, Stretch};
use super::{Driven, Segment, Supplied};
use crate::bus::Loads;
use crate::loads::LoadKind;
use crate::trace::Trace;

/// Between two starts the starter rests so long, s.
const BETWEEN_STARTS_S: f64 = 5.0;
/// A bend of the trace up to this part of the steeper side is no end of a piece: steps find
/// their own way over it.
const BEND: f64 = 0.35;

/// What the alternator remembers of its field and its brushes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Memory {
    pub turned_on: bool,
    pub lost: bool,
}

/// What a piece is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Moment {
    /// The starter turns.
    Crank,
    /// Anything else.
    Run(Memory),
}

impl Memory {
    fn role(self, is_running: bool, alternator: Option<&Driven>) -> Role {
        match (is_running, alternator) {
            (true, Some(_)) if !self.turned_on => Role::Waiting,
            (true, Some(_)) if !self.lost => Role::Charging,
            _ => Role::Idle,
        }
    }

    /// What it is after a moment at this alternator speed (rpm).
    fn at(self, rpm: f64, driven: &Driven) -> Self {
        let turned_on = if self.turned_on {
            rpm >= driven.hold_rpm.min(driven.turn_on_rpm)
        } else {
            rpm >= driven.turn_on_rpm
        };
        let lost = driven.loss.is_some_and(|loss| {
            if self.lost {
                rpm >= loss.recover_rpm.min(loss.lose_rpm)
            } else {
                rpm > loss.lose_rpm
            }
        });
        Self { turned_on, lost }
    }
}

/// Calls `visit` with each piece of a segment and how long it lasts (s).
pub(super) fn each<'a>(
    supplied: &'a Supplied<'a>,
    segment: &'a Segment,
    memory: &mut Memory,
    mut visit: impl FnMut(&Piece<'a>, f64, Moment),
) {
    let quiet = Piece {
        supplied,
        steady: segment.steady,
        at_limiter: segment.at_limiter,
        engine: None,
        limiter_rpm: segment.limiter_rpm,
        charger: segment.charger,
        role: Role::Idle,
        is_dead: false,
    };
    if let Some(starter) = segment.starter {
        *memory = Memory::default();
        let mut turning = Piece {
            charger: None,
            ..quiet
        };
        // No part of what fades: its current is what it is.
        let mut current = Loads::default();
        current.add(starter.amps, 1.0, LoadKind::Pump);
        turning.steady.add_part(&current, 1.0);
        for time in 0..starter.times {
            if time > 0 {
                visit(&quiet, BETWEEN_STARTS_S, Moment::Run(*memory));
            }
            visit(&turning, starter.seconds, Moment::Crank);
        }
    }
    let Some(trace) = &segment.engine else {
        *memory = Memory::default();
        visit(&quiet, segment.seconds, Moment::Run(*memory));
        return;
    };
    memory.turned_on |= segment.revved;
    let end_s = segment.seconds;
    let bends = trace.bends(BEND).into_iter();
    let ends = bends.filter(|at| *at > 0.0 && *at < end_s).chain([end_s]);
    let mut at_s = 0.0;
    for until_s in ends {
        while at_s < until_s {
            let next_s = match &supplied.alternator {
                Some(driven) => {
                    *memory = memory.at(just_after(trace, at_s, until_s) * driven.ratio, driven);
                    crossing(*memory, driven, trace, at_s, until_s)
                }
                None => until_s,
            };
            let stretch = Stretch {
                trace,
                from_s: at_s,
                until_s: next_s,
            };
            let piece = Piece {
                engine: Some(stretch),
                charger: None,
                role: memory.role(true, supplied.alternator.as_ref()),
                ..quiet
            };
            visit(&piece, next_s - at_s, Moment::Run(*memory));
            at_s = next_s;
        }
    }
}

/// Engine speed just after a time, so that a speed that is just being crossed is passed, rpm.
fn just_after(trace: &Trace, at_s: f64, until_s: f64) -> f64 {
    let ahead = 1e-6 * (until_s - at_s);
    let (here, there) = (trace.at(at_s), trace.at(at_s + ahead));
    here + (there - here) + (there - here).signum() * 1e-9 * here
}

/// When the alternator's speed next reaches what switches it, or the end, s.
fn crossing(memory: Memory, driven: &Driven, trace: &Trace, at_s: f64, until_s: f64) -> f64 {
    let mut soonest = until_s;
    let mut look = |target_rpm: f64, rising: bool| {
        let engine_rpm = target_rpm / driven.ratio;
        // What was just crossed lies a hair behind.
        let from_s = at_s + 1e-9 * (until_s - at_s);
        if let Some(reached) = trace.reaches(engine_rpm, rising, from_s, until_s) {
            soonest = soonest.min(reached);
        }
    };
    if memory.turned_on {
        look(driven.hold_rpm.min(driven.turn_on_rpm), false);
    } else {
        look(driven.turn_on_rpm, true);
    }
    if let Some(loss) = driven.loss {
        if memory.lost {
            look(loss.recover_rpm.min(loss.lose_rpm), false);
        } else {
            look(loss.lose_rpm, true);
        }
    }
    if soonest > at_s { soonest } else { until_s }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    /// However short what is left of a stretch, just after is a millionth of it.
    #[test]
    fn just_after_is_a_hair_on() {
        for seconds in [1e-3, 1.0, 3_600.0] {
            let up = Trace::new(vec![(0.0, 1_000.0), (seconds, 5_000.0)]).unwrap();
            let found = just_after(&up, 0.0, seconds);
            assert!(found > 1_000.0 && found < 1_000.1, "{found}");
            let down = Trace::new(vec![(0.0, 5_000.0), (seconds, 1_000.0)]).unwrap();
            let found = just_after(&down, 0.0, seconds);
            assert!(found < 5_000.0 && found > 4_999.9, "{found}");
            // So slowly that a millionth of it is less than the hair.
            let hardly = Trace::new(vec![(0.0, 5_000.0), (seconds, 4_999.5)]).unwrap();
            let found = just_after(&hardly, 0.0, seconds);
            assert!(found < 5_000.0 - 4e-6, "{found}");
        }
    }
}
