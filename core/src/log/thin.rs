//! Thinning for a picture: of every slice of time the first, the lowest, the highest and the
//! last sample stay, so that a dip of one sample is never lost.

use serde::{Deserialize, Serialize};

use super::{Signal, passes::Span};

/// Samples that are left: (s, value), in order of time.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Line {
    /// (s, value).
    pub points: Vec<(f64, f32)>,
}

/// Thins a stretch of a signal to at most four samples in each of `slices` slices, and the
/// samples just outside it, so that lines run to the edge.
pub fn thin(signal: &Signal, span: Span, slices: usize) -> Line {
    let (time, values) = (signal.time(), signal.values());
    let slices = slices.max(1);
    let first = time.partition_point(|&at| at < span.from_s);
    let end = time.partition_point(|&at| at <= span.to_s);
    let (from, to) = (first.saturating_sub(1), (end + 1).min(time.len()));
    let at = |place: usize| Some((*time.get(place)?, *values.get(place)?));
    if to.saturating_sub(from) <= 4 * slices {
        return Line {
            points: (from..to).filter_map(at).collect(),
        };
    }
    let mut points = Vec::with_capacity(4 * slices + 2);
    points.extend((from..first).filter_map(at));
    let width = (span.to_s - span.from_s) / slices as f64;
    let mut start = first;
    for slice in 1..=slices {
        let stop = if slice == slices {
            end
        } else {
            let until = span.from_s + width * slice as f64;
            start
                + time
                    .get(start..end)
                    .unwrap_or_default()
                    .partition_point(|&at| at < until)
        };
        let mut kept = [start; 4];
        for place in start..stop {
            let value = values.get(place).copied().unwrap_or_default();
            if value < values.get(kept[1]).copied().unwrap_or_default() {
                kept[1] = place;
            }
            if value > values.get(kept[2]).copied().unwrap_or_default() {
                kept[2] = place;
            }
            kept[3] = place;
        }
        if stop > start {
            kept.sort_unstable();
            let mut before = None;
            for place in kept {
                if before != Some(place) {
                    points.extend(at(place));
                }
                before = Some(place);
            }
        }
        start = stop;
    }
    points.extend((end..to).filter_map(at));
    Line { points }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn signal(count: usize, value: impl Fn(usize) -> f32) -> Signal {
        let time = (0..count).map(|at| at as f64 * 0.001).collect();
        Signal::new(time, (0..count).map(value).collect()).unwrap()
    }

    #[test]
    fn a_dip_of_one_sample_stays() {
        let dipped = signal(100_000, |at| if at == 61_234 { 9.5 } else { 13.8 });
        let span = Span {
            from_s: 0.0,
            to_s: 100.0,
        };
        let line = thin(&dipped, span, 300);
        assert!(line.points.len() <= 1_202);
        assert!(line.points.contains(&(61.234, 9.5)));
        assert_eq!(line.points.first(), Some(&(0.0, 13.8)));
        assert_eq!(line.points.last().map(|point| point.1), Some(13.8));
        assert!(line.points.windows(2).all(|two| two[0].0 <= two[1].0));
    }

    #[test]
    fn a_short_stretch_stays_whole_and_runs_to_the_edge() {
        let rising = signal(1_000, |at| at as f32);
        let span = Span {
            from_s: 0.1,
            to_s: 0.11,
        };
        let values: Vec<f32> = thin(&rising, span, 20)
            .points
            .iter()
            .map(|point| point.1)
            .collect();
        assert_eq!(values, (99..=111).map(|at| at as f32).collect::<Vec<_>>());
        assert_eq!(thin(&Signal::default(), span, 20), Line::default());
    }

    #[test]
    fn every_slice_keeps_its_extremes() {
        let wavy = signal(10_000, |at| ((at as f32) * 0.37).sin());
        let span = Span {
            from_s: 2.0,
            to_s: 7.0,
        };
        let line = thin(&wavy, span, 50);
        let highest = |from: f64, to: f64, of: &mut dyn Iterator<Item = (f64, f32)>| {
            of.filter(|point| (from..to).contains(&point.0))
                .map(|point| point.1)
                .fold(f32::MIN, f32::max)
        };
        for slice in 0..50 {
            let (from, to) = (2.0 + 0.1 * f64::from(slice), 2.1 + 0.1 * f64::from(slice));
            let whole = wavy
                .time()
                .iter()
                .copied()
                .zip(wavy.values().iter().copied());
            assert_eq!(
                highest(from, to, &mut line.points.iter().copied()),
                highest(from, to, &mut { whole })
            );
        }
    }
}
