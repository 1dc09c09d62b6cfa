//! Upshifts as sharp drops of engine speed, and the gears between them.

use super::cut::within;
use super::passes::{PassKind, Shift, Span};
use super::sampling::interval_s;
use super::{Seen, Signal};

/// Engine speeds a second that it takes to tell a shift from a lift.
pub const NEEDS_HZ: f64 = 20.0;
/// A log written at 20 Hz has a little less here and there.
const NEARLY: f64 = 0.93;
/// A shift loses at least this part of engine speed: the closest gears of a six-speed box
/// are 12 to 15 % apart, a limiter takes some percent.
const LEAST_DROP: f64 = 0.08;
/// And at most this part: over it the engine was let fall.
const MOST_DROP: f64 = 0.62;
/// A drop is over once engine speed is up again by this part.
const TURNS_UP: f64 = 0.018;
/// Most of a drop takes no longer, s: an automatic takes 0.3 s, a lift a second.
const LONGEST_S: f64 = 0.42;
/// What of a drop counts as most of it: between these parts of the way.
const MOST_OF_IT: (f64, f64) = (0.15, 0.85);
/// Half of a drop is not made up for in less, s: a blip of the throttle is.
const BLIP_S: f64 = 0.2;
/// A gear is at least so long, s.
const LEAST_GEAR_S: f64 = 0.35;

/// Engine speed with single wild samples taken out: the middle one of three.
fn calm(values: &[f32]) -> Vec<f64> {
    let last = values.len().saturating_sub(1);
    (0..values.len())
        .map(|at| {
            let (a, b) = (values[at.saturating_sub(1)], values[at]);
            let c = values[(at + 1).min(last)];
            f64::from(a.max(b).min(a.min(b).max(c)))
        })
        .collect()
}

/// Every sharp drop of a stretch.
pub fn drops(rpm: &Signal, span: Span) -> Vec<Shift> {
    let (time, values) = within(rpm, span);
    let values = calm(values);
    let interval = interval_s(rpm).unwrap_or(0.0);
    let longest = LONGEST_S + 2.0 * interval;
    let mut found = Vec::new();
    let (mut peak, mut trough): (usize, Option<usize>) = (0, None);
    for at in 0..values.len() {
        let value = values[at];
        match trough {
            None if value >= values[peak] * 0.999 => peak = at,
            None if value < values[peak] * (1.0 - LEAST_DROP) => trough = Some(at),
            None => {}
            Some(low) if value < values[low] => trough = Some(at),
            Some(low) if value > values[low] + TURNS_UP * values[peak] => {
                if let Some(shift) = judged(time, &values, (peak, low), longest) {
                    found.push(shift);
                }
                (peak, trough) = (at, None);
            }
            Some(_) => {}
        }
    }
    found
}

/// The shift between a peak and a trough, if it is one.
fn judged(
    time: &[f64],
    values: &[f64],
    (peak, low): (usize, usize),
    longest: f64,
) -> Option<Shift> {
    let (from, to) = (values[peak], values[low]);
    let fallen = (from - to) / from;
    if !(LEAST_DROP..=MOST_DROP).contains(&fallen) {
        return None;
    }
    let at_part = |part: f64| from - part * (from - to);
    let begun = (peak..=low)
        .rev()
        .find(|at| values[*at] >= at_part(MOST_OF_IT.0))?;
    let done = (begun..=low).find(|at| values[*at] <= at_part(MOST_OF_IT.1))?;
    // A gap within it hides how long it took.
    let hidden = (begun..done)
        .filter_map(|at| Some(time.get(at + 1)? - time.get(at)?))
        .fold(0.0, f64::max);
    if time[done] - time[begun] > longest.max(hidden + LONGEST_S) {
        return None;
    }
    let half = at_part(0.5);
    let again = (low..values.len()).find(|at| values[*at] >= half);
    if again.is_some_and(|again| time[again] - time[low] < BLIP_S) {
        return None;
    }
    Some(Shift {
        at_s: time[begun],
        done_s: time[done],
        from_rpm: from,
        to_rpm: to,
    })
}

/// Shifts of a pass, and its gears. At a slow rate the gears are what lies between drops of
/// any kind, since only their ends are uncertain.
pub fn shifts_and_gears(
    rpm: &Signal,
    span: Span,
    kind: PassKind,
    rpm_hz: f64,
) -> (Seen<Vec<Shift>>, Vec<Span>) {
    let is_slow = rpm_hz < NEARLY * NEEDS_HZ;
    let found = drops(rpm, span);
    let gears = match kind {
        PassKind::Drag => between(&found, span),
        PassKind::Session => climbs(rpm, span),
    };
    let shifts = if is_slow {
        Seen::TooSlow {
            hz: rpm_hz,
            needs_hz: NEEDS_HZ,
        }
    } else {
        Seen::Found(found)
    };
    (shifts, gears)
}

fn between(shifts: &[Shift], span: Span) -> Vec<Span> {
    let mut gears = Vec::new();
    let mut from_s = span.from_s;
    for shift in shifts {
        gears.push(Span::new(from_s, shift.at_s));
        from_s = shift.done_s;
    }
    gears.push(Span::new(from_s, span.to_s));
    gears.retain(|gear| gear.seconds() >= LEAST_GEAR_S);
    gears
}

/// Stretches of a session on which engine speed rises by a tenth or more without falling
/// back by a twentieth.
fn climbs(rpm: &Signal, span: Span) -> Vec<Span> {
    let (time, values) = within(rpm, span);
    let values = calm(values);
    let mut found = Vec::new();
    let (mut low, mut high) = (0, 0);
    for at in 0..values.len() {
        if values[at] > values[high] {
            high = at;
        }
        let fallen = values[at] < values[high] * 0.95;
        if fallen || at + 1 == values.len() {
            if values[high] > values[low] * 1.1 && time[high] - time[low] >= LEAST_GEAR_S {
                found.push(Span::new(time[low], time[high]));
            }
            (low, high) = (at, at);
        } else if values[at] < values[low] {
            (low, high) = (at, at);
        }
    }
    found
}
