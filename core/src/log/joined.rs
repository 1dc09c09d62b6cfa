//! Voltage with the engine speed of the same moment.

use super::cut::places;
use super::passes::Span;
use super::sampling::gap_s;
use super::{Recording, Signal};

/// Voltage samples with the engine speed of their moment, where that is known.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Joined {
    /// Voltage over time, V.
    pub volts: Signal,
    /// Engine speed at the same times, rpm.
    pub rpm: Signal,
}

impl Joined {
    /// Of a log.
    pub fn of(recording: &Recording) -> Self {
        let volts = &recording.volts;
        let mut time = Vec::with_capacity(volts.len());
        let mut kept = Vec::with_capacity(volts.len());
        let mut speeds = Vec::with_capacity(volts.len());
        let mut speed = Follower::new(&recording.rpm);
        for (&at, &value) in volts.time().iter().zip(volts.values()) {
            if let Some(rpm) = speed.at(at) {
                time.push(at);
                kept.push(value);
                speeds.push(rpm as f32);
            }
        }
        // Finite and in order, as they were in the recording.
        Self {
            volts: Signal::new(time.clone(), kept).unwrap_or_default(),
            rpm: Signal::new(time, speeds).unwrap_or_default(),
        }
    }

    /// Samples within a span: (s, rpm, V).
    pub fn samples(&self, span: Span) -> impl Iterator<Item = (f64, f64, f64)> + '_ {
        let (from, to) = places(&self.volts, span);
        (from..to).filter_map(|place| self.sample(place))
    }

    /// One sample: (s, rpm, V).
    pub fn sample(&self, place: usize) -> Option<(f64, f64, f64)> {
        Some((
            *self.volts.time().get(place)?,
            f64::from(*self.rpm.values().get(place)?),
            f64::from(*self.volts.values().get(place)?),
        ))
    }
}

/// Reads a signal at rising times, in straight lines between samples.
pub struct Follower<'a> {
    signal: &'a Signal,
    /// The first sample not before the last time asked for.
    place: usize,
    gap_s: f64,
}

impl<'a> Follower<'a> {
    /// Of a signal.
    pub fn new(signal: &'a Signal) -> Self {
        Self {
            signal,
            place: 0,
            gap_s: gap_s(signal),
        }
    }

    /// The value at a time not before the one asked for last; `None` outside its samples and
    /// in gaps.
    pub fn at(&mut self, at_s: f64) -> Option<f64> {
        let (time, values) = (self.signal.time(), self.signal.values());
        while time.get(self.place).is_some_and(|&at| at < at_s) {
            self.place += 1;
        }
        let near = self.gap_s / 2.0;
        let last = || {
            let place = self.place.checked_sub(1)?;
            Some((*time.get(place)?, f64::from(*values.get(place)?)))
        };
        let next = time.get(self.place).zip(values.get(self.place));
        match (last(), next) {
            (_, Some((&at, &value))) if at == at_s => Some(f64::from(value)),
            (Some(before), Some((&at, &value))) if at - before.0 <= self.gap_s => {
                let part = (at_s - before.0) / (at - before.0);
                Some(before.1 + part * (f64::from(value) - before.1))
            }
            // Channels rarely begin and end together.
            (Some(before), _) if at_s - before.0 <= near => Some(before.1),
            (_, Some((&at, &value))) if at - at_s <= near => Some(f64::from(value)),
            _ => None,
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn speeds_are_taken_between_samples_and_not_over_gaps() {
        let recording = Recording {
            rpm: Signal::new(
                vec![0.0, 0.1, 0.2, 5.0],
                vec![1_000.0, 2_000.0, 3_000.0, 900.0],
            )
            .unwrap(),
            volts: Signal::new(
                vec![0.05, 0.1, 0.15, 1.0, 5.0, 5.1],
                vec![12.0, 12.1, 12.2, 12.3, 12.4, 12.5],
            )
            .unwrap(),
            ..Recording::default()
        };
        let joined = Joined::of(&recording);
        let wanted = [1_500.0, 2_000.0, 2_500.0, 900.0, 900.0];
        for (rpm, wanted) in joined.rpm.values().iter().zip(wanted) {
            assert!((rpm - wanted).abs() < 0.01, "{joined:?}");
        }
        assert_eq!(joined.volts.len(), 5);
        assert_eq!(joined.samples(Span::new(0.1, 0.2)).count(), 2);
    }
}
