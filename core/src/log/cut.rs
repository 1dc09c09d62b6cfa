//! Stretches of signals.

use super::Signal;
use super::passes::Span;
use super::robust::{center, median};

impl Span {
    /// How long it is, s.
    pub fn seconds(self) -> f64 {
        self.to_s - self.from_s
    }

    /// A span from here to there.
    pub fn new(from_s: f64, to_s: f64) -> Self {
        Self { from_s, to_s }
    }

    /// Whether a time (s) lies in it.
    pub fn holds(self, at_s: f64) -> bool {
        at_s >= self.from_s && at_s <= self.to_s
    }
}

/// Places of the samples within a span: first, and one past the last.
pub fn places(signal: &Signal, span: Span) -> (usize, usize) {
    let time = signal.time();
    (
        time.partition_point(|&at| at < span.from_s),
        time.partition_point(|&at| at <= span.to_s),
    )
}

/// The samples within a span.
pub fn within(signal: &Signal, span: Span) -> (&[f64], &[f32]) {
    let (from, to) = places(signal, span);
    (
        signal.time().get(from..to).unwrap_or_default(),
        signal.values().get(from..to).unwrap_or_default(),
    )
}

/// The samples within a span, (s, value).
pub fn samples(signal: &Signal, span: Span) -> impl Iterator<Item = (f64, f64)> + Clone + '_ {
    let (time, values) = within(signal, span);
    time.iter()
        .zip(values)
        .map(|(&at, &value)| (at, f64::from(value)))
}

/// The middle value within a span.
pub fn median_of(signal: &Signal, span: Span) -> Option<f64> {
    let mut values: Vec<f64> = samples(signal, span).map(|sample| sample.1).collect();
    median(&mut values)
}

/// The middle value within a span, its scatter, and how many samples there are.
pub fn center_of(signal: &Signal, span: Span) -> Option<(f64, f64, usize)> {
    let mut values: Vec<f64> = samples(signal, span).map(|sample| sample.1).collect();
    let (middle, sigma) = center(&mut values)?;
    Some((middle, sigma, values.len()))
}
