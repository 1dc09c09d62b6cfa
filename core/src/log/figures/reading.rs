//! Voltages read off stretches of a log.

use super::{Lowest, Read};
use crate::log::analysis::Sampling;
use crate::log::cut::{places, samples};
use crate::log::joined::Joined;
use crate::log::passes::{Pass, Span};
use crate::log::robust::{center, median};
use crate::log::{Seen, Within};

/// How much of idle is read: its end, s.
const IDLE_S: f64 = 10.0;
/// How much before a moment is read, s.
const BEFORE_S: f64 = 0.5;
/// From here on a single sample may be a disturbance, and a dip has more of them, Hz.
const DIPS_HZ: f64 = 100.0;
/// Samples closer than this go together, s: the battery smooths what is between.
const APART_S: f64 = 0.2;
/// The median scatters so much more than the mean.
const MEDIAN_OVER_MEAN: f64 = 1.25;

/// The voltage of a span; widened to the nearest sample where it holds none.
pub fn read(joined: &Joined, span: Span, sampling: &Sampling) -> Option<Read> {
    let interval = 1.0 / sampling.volts_hz.max(0.1);
    let mut volts: Vec<f64> = samples(&joined.volts, span)
        .map(|sample| sample.1)
        .collect();
    let mut span = span;
    if volts.is_empty() {
        span = Span::new(span.from_s - interval, span.to_s + interval / 2.0);
        volts = samples(&joined.volts, span)
            .map(|sample| sample.1)
            .collect();
    }
    let mut speeds: Vec<f64> = samples(&joined.rpm, span).map(|sample| sample.1).collect();
    let count = volts.len() as f64;
    let (middle, sigma) = center(&mut volts)?;
    let independent = count.min(1.0 + span.seconds() / APART_S.max(interval));
    let scatter = sigma.max(sampling.noise_v) * MEDIAN_OVER_MEAN / independent.sqrt();
    Some(Read {
        volts: Within {
            value: middle,
            half_width: (2.0 * scatter).hypot(sampling.step_v / 2.0),
        },
        rpm: median(&mut speeds)?,
        span,
    })
}

/// The end of idle before a pass.
pub fn idle(joined: &Joined, pass: &Pass, sampling: &Sampling) -> Seen<Read> {
    let end = |span: Span| Span::new(span.from_s.max(span.to_s - IDLE_S), span.to_s);
    Seen::moment(pass.idle.and_then(|span| read(joined, end(span), sampling)))
}

/// Low engine speed after a pass.
pub fn after(joined: &Joined, pass: &Pass, sampling: &Sampling) -> Seen<Read> {
    let end = |span: Span| Span::new(span.from_s.max(span.to_s - IDLE_S), span.to_s);
    Seen::moment(
        pass.after
            .and_then(|span| read(joined, end(span), sampling)),
    )
}

/// Just before a moment.
pub fn before(joined: &Joined, at_s: f64, sampling: &Sampling) -> Seen<Read> {
    Seen::moment(read(joined, Span::new(at_s - BEFORE_S, at_s), sampling))
}

/// The lowest voltage of a span.
pub fn lowest(joined: &Joined, span: Span, sampling: &Sampling) -> Seen<Lowest> {
    let (from, to) = places(&joined.volts, span);
    let at = |place: usize| joined.sample(place).map(|sample| sample.2);
    let calm = |place: usize| {
        let (a, b) = (at(place.max(from + 1) - 1)?, at(place)?);
        let c = at((place + 1).min(to - 1))?;
        Some(a.max(b).min(a.min(b).max(c)))
    };
    let is_fast = sampling.volts_hz >= DIPS_HZ;
    let found = (from..to)
        .filter_map(|place| Some((place, if is_fast { calm(place)? } else { at(place)? })))
        .min_by(|a, b| a.1.total_cmp(&b.1));
    Seen::moment(found.and_then(|(place, volts)| {
        let (at_s, rpm, _) = joined.sample(place)?;
        Some(Lowest { volts, at_s, rpm })
    }))
}
