//! Launch and stripe of a pass.

use super::cut::{samples, within};
use super::passes::{Span, Speeds};
use super::robust;
use super::shifts;
use super::{Recording, Signal};

/// Moving, m/s.
const MOVES_MPS: f64 = 1.0;
/// How far before the high speed a launch may lie, s.
const LAUNCH_BEFORE_S: f64 = 8.0;
/// Time over which a rate of engine speed is taken, s.
const RATE_S: f64 = 0.3;
/// A climb is this part of the top each second; slower is holding.
const CLIMB_PART: f64 = 0.09;
/// A level before the launch is looked at over so long, s, ...
const HELD_S: f64 = 2.0;
/// ... and the climb after it over this part of its way.
const HALF_WAY: f64 = 0.5;
/// Samples that its corner is looked for among.
const CORNER_SAMPLES: usize = 60;
/// Engine speed falls off for good once it is this part under its last peak.
const LIFT_PART: f64 = 0.025;
/// Open throttle, of the widest of the pass.
const OPEN_PART: f64 = 0.5;

/// When a pass begins, s.
pub fn launch_s(recording: &Recording, high: Span, speeds: Speeds) -> f64 {
    let rpm = &recording.rpm;
    if let Some(speed) = &recording.speed {
        // It stood within the time before: the last moment that it did.
        let around = Span::new(
            high.from_s - LAUNCH_BEFORE_S,
            high.from_s + high.seconds() / 2.0,
        );
        let stood = samples(speed, around)
            .filter(|sample| sample.1 < MOVES_MPS)
            .last();
        if let Some((at, _)) = stood {
            return at;
        }
    }
    // The first climb: backwards from where most of it is done to where it began.
    let around = Span::new(high.from_s - LAUNCH_BEFORE_S, high.to_s);
    let (time, values) = within(rpm, around);
    let climbed = speeds
        .part(0.8)
        .min(f64::from(values.iter().copied().fold(0.0, f32::max)) * 0.9);
    let Some(mut place) =
        (0..time.len()).find(|at| time[*at] >= high.from_s && f64::from(values[*at]) >= climbed)
    else {
        return high.from_s;
    };
    let least = CLIMB_PART * speeds.top;
    let mut back = place;
    while place > 0 {
        while back > 0 && time[place] - time[back] < RATE_S {
            back -= 1;
        }
        let seconds = time[place] - time[back];
        let rate = f64::from(values[place] - values[back]) / seconds.max(1e-9);
        if seconds >= RATE_S * 0.5 && rate < least {
            break;
        }
        place -= 1;
        back = back.min(place);
    }
    // A clutch that bites pulls the engine down for a moment: the launch is before that.
    let dipped = time[place];
    let before = Span::new(dipped - 0.6, dipped);
    let highest = samples(rpm, before).fold((dipped, f64::from(values[place])), |best, sample| {
        if sample.1 >= best.1 * 1.005 {
            sample
        } else {
            best
        }
    });
    if highest.1 > f64::from(values[place]) * 1.06 {
        return highest.0;
    }
    let first = shifts::drops(rpm, high).first().map(|shift| shift.from_rpm);
    let peak = first.unwrap_or_else(|| f64::from(values.iter().copied().fold(0.0, f32::max)));
    left_s(rpm, dipped, 0.95 * peak).unwrap_or(dipped)
}

/// When engine speed leaves the level that it was held at before `rough_s`, on its way to
/// `climbed` rpm: the corner of the level and the straight line that fit it best.
fn left_s(rpm: &Signal, rough_s: f64, climbed: f64) -> Option<f64> {
    let before = Span::new(rough_s - 0.3, rough_s);
    let rough = samples(rpm, before)
        .map(|sample| sample.1)
        .fold(f64::MAX, f64::min);
    let held = Span::new(rough_s - HELD_S, rough_s);
    let rise = samples(rpm, held)
        .filter(|sample| sample.1 < 0.8 * rough)
        .last();
    let from_s = rise.map_or(held.from_s, |sample| sample.0 + 0.1);
    let half = rough + HALF_WAY * (climbed - rough);
    let after = Span::new(rough_s, rough_s + LAUNCH_BEFORE_S);
    let to_s = samples(rpm, after).find(|sample| sample.1 >= half)?.0;
    let whole = Span::new(from_s, to_s);
    let stride = samples(rpm, whole).count().div_ceil(CORNER_SAMPLES).max(1);
    let seen: Vec<(f64, f64)> = samples(rpm, whole).step_by(stride).collect();
    let off = |corner: f64| {
        let bent: Vec<(f64, f64)> = seen
            .iter()
            .map(|(at, rpm)| ((at - corner).max(0.0), *rpm))
            .collect();
        let line = robust::line(&bent, 0.0, 0.0)?;
        let left = bent
            .iter()
            .map(|(x, rpm)| rpm - line.at_zero - line.slope * x);
        Some(left.map(|off| off * off).sum::<f64>())
    };
    let corners = seen.iter().skip(2).map(|sample| sample.0);
    let best = corners
        .filter_map(|corner| Some((corner, off(corner)?)))
        .min_by(|a, b| a.1.total_cmp(&b.1))?;
    (seen.len() >= 6).then_some(best.0)
}

/// When the throttle closes for good, or engine speed falls off for good, s.
pub fn lift_s(recording: &Recording, high: Span) -> Option<f64> {
    if let Some(throttle) = &recording.throttle {
        let around = Span::new(high.from_s, high.to_s + 1.0);
        let widest = samples(throttle, around)
            .map(|sample| sample.1)
            .fold(0.0, f64::max);
        let open = samples(throttle, around).filter(|sample| sample.1 > OPEN_PART * widest);
        if let Some((at, _)) = open.last().filter(|_| widest > 0.0) {
            return Some(at.min(high.to_s));
        }
    }
    let rpm = &recording.rpm;
    let last = Span::new((high.to_s - 3.0).max(high.from_s), high.to_s);
    let peak = samples(rpm, last)
        .map(|sample| sample.1)
        .fold(0.0, f64::max);
    samples(rpm, last)
        .filter(|sample| sample.1 >= peak * (1.0 - LIFT_PART))
        .last()
        .map(|sample| sample.0)
}
