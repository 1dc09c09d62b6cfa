//! What is left of the voltage beside its smooth course, and how it changes over a pass.

use super::{Fade, Ragged};
use crate::log::analysis::Sampling;
use crate::log::joined::Joined;
use crate::log::passes::Span;
use crate::log::robust::{median, quantile};
use crate::log::{Missing, Seen, Within};

/// Samples a second under which raggedness is not looked for.
pub const NEEDS_HZ: f64 = 8.0;
/// A piece of voltage is looked at over this long, s ...
const PIECE_S: f64 = 0.6;
/// ... or over this many samples where they are slow.
const PIECE_SAMPLES: usize = 8;
/// Engine speed may change by this part within a piece; more is a shift.
const STEADY_PART: f64 = 0.12;
/// Low and high engine speed, between idle (0) and the highest (1).
const LOW_HIGH: (f64, f64) = (0.5, 0.75);
/// Pieces that it takes on either side.
const LEAST_PIECES: usize = 3;
/// Fade is looked for from here on, s: machines warm in minutes.
const FADE_S: f64 = 60.0;
/// Engine speed bins in which early and late are compared.
const FADE_BINS: usize = 8;

/// Scatter of the voltage about straight lines over pieces of time: (mid engine speed, V rms).
pub fn pieces(joined: &Joined, span: Span, sampling: &Sampling) -> Vec<(f64, f64)> {
    let mut found = Vec::new();
    let mut piece: Vec<(f64, f64, f64)> = Vec::new();
    let long = PIECE_S.max(PIECE_SAMPLES as f64 / sampling.volts_hz.max(0.1));
    for sample in joined.samples(span) {
        if piece.first().is_some_and(|first| sample.0 - first.0 > long) {
            found.extend(scatter(&piece));
            piece.clear();
        }
        piece.push(sample);
    }
    found.extend(scatter(&piece));
    found
}

fn scatter(piece: &[(f64, f64, f64)]) -> Option<(f64, f64)> {
    let count = piece.len() as f64;
    if piece.len() + 2 < PIECE_SAMPLES {
        return None;
    }
    let speeds = piece.iter().map(|sample| sample.1);
    let (low, high) = speeds.fold((f64::MAX, f64::MIN), |(low, high), rpm| {
        (low.min(rpm), high.max(rpm))
    });
    if high - low > STEADY_PART * high {
        return None;
    }
    let mean = |read: fn(&(f64, f64, f64)) -> f64| piece.iter().map(read).sum::<f64>() / count;
    let (mid_s, mid_v) = (mean(|sample| sample.0), mean(|sample| sample.2));
    let (mut spread, mut both) = (0.0, 0.0);
    for (at, _, volts) in piece {
        spread += (at - mid_s) * (at - mid_s);
        both += (at - mid_s) * (volts - mid_v);
    }
    let slope = if spread > 0.0 { both / spread } else { 0.0 };
    let sum: f64 = piece
        .iter()
        .map(|(at, _, volts)| volts - mid_v - slope * (at - mid_s))
        .map(|off| off * off)
        .sum();
    Some(((low + high) / 2.0, (sum / (count - 2.0)).sqrt()))
}

/// Raggedness of a pass at low and high engine speed; `idle_rpm` to `top_rpm` is its range.
pub fn ragged(
    joined: &Joined,
    span: Span,
    (idle_rpm, top_rpm): (f64, f64),
    sampling: &Sampling,
) -> Seen<Ragged> {
    if sampling.volts_hz < NEEDS_HZ {
        return Seen::TooSlow {
            hz: sampling.volts_hz,
            needs_hz: NEEDS_HZ,
        };
    }
    let part = |rpm: f64| (rpm - idle_rpm) / (top_rpm - idle_rpm).max(1.0);
    let pieces = pieces(joined, span, sampling);
    let side = |wanted: &dyn Fn(f64) -> bool| {
        let mut scatters: Vec<f64> = pieces
            .iter()
            .filter(|piece| wanted(part(piece.0)))
            .map(|piece| piece.1)
            .collect();
        (scatters.len() >= LEAST_PIECES).then(|| median(&mut scatters))?
    };
    let low = side(&|part| part < LOW_HIGH.0);
    let high = side(&|part| part > LOW_HIGH.1);
    match (low, high) {
        (Some(low_v), Some(high_v)) => Seen::Found(Ragged {
            low_v,
            high_v,
            logger_v: sampling.step_v / 12.0f64.sqrt(),
        }),
        _ => Seen::Missing(Missing::Samples),
    }
}

/// Change of voltage at the same engine speed, over `least_rpm`, from the first to the last
/// third of a span.
pub fn fade(joined: &Joined, span: Span, least_rpm: f64, sampling: &Sampling) -> Seen<Fade> {
    if span.seconds() < FADE_S {
        return Seen::Missing(Missing::Short);
    }
    let third = span.seconds() / 3.0;
    let driven = |rpm: &f64| *rpm > least_rpm;
    let speeds = joined.samples(span).map(|sample| sample.1);
    let mut speeds: Vec<f64> = speeds.filter(driven).collect();
    let (Some(low), Some(high)) = (quantile(&mut speeds, 0.02), quantile(&mut speeds, 0.98)) else {
        return Seen::Missing(Missing::Samples);
    };
    let width = ((high - low) / FADE_BINS as f64).max(1.0);
    let mut bins = vec![(Vec::new(), Vec::new()); FADE_BINS];
    for (at, rpm, volts) in joined.samples(span) {
        let bin = ((rpm - low) / width).floor();
        if !(0.0..FADE_BINS as f64).contains(&bin) {
            continue;
        }
        let (early, late) = &mut bins[bin as usize];
        if at < span.from_s + third {
            early.push(volts);
        } else if at > span.to_s - third {
            late.push(volts);
        }
    }
    let mut changes: Vec<f64> = bins
        .iter_mut()
        .filter(|(early, late)| early.len() >= 8 && late.len() >= 8)
        .filter_map(|(early, late)| Some(median(late)? - median(early)?))
        .collect();
    if changes.len() < 2 {
        return Seen::Missing(Missing::Samples);
    }
    let count = changes.len() as f64;
    let Some((middle, sigma)) = crate::log::robust::center(&mut changes) else {
        return Seen::Missing(Missing::Samples);
    };
    Seen::Found(Fade {
        volts: Within {
            value: middle,
            half_width: (2.5 * sigma / count.sqrt()).hypot(sampling.step_v / 2.0),
        },
        over_s: 2.0 * third,
    })
}
