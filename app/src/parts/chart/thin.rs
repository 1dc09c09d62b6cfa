//! Long recordings on few pixels: of each column the lowest and the highest sample, so that no dip
//! is lost, however short.

/// Samples in a block whose lowest and highest are kept at hand.
const BLOCK: usize = 256;

/// Of each block of a recorded line the places of its lowest and its highest sample, found once.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Blocks(Vec<(usize, usize)>);

impl Blocks {
    /// The blocks of these samples.
    pub fn new(values: &[f32]) -> Self {
        let line = Trace {
            time: &[],
            values,
            blocks: &[],
        };
        let starts = (0..values.len()).step_by(BLOCK);
        Self(
            starts
                .map(|start| line.ends(start, (start + BLOCK).min(values.len())))
                .collect(),
        )
    }
}

/// A recorded line, ready to be thinned for any stretch of it.
#[derive(Clone, Copy, Debug)]
pub struct Trace<'a> {
    time: &'a [f64],
    values: &'a [f32],
    blocks: &'a [(usize, usize)],
}

impl<'a> Trace<'a> {
    /// A line of samples with their blocks; times never fall. Beyond the shorter of the two nothing counts.
    pub fn new(time: &'a [f64], values: &'a [f32], blocks: &'a Blocks) -> Self {
        let count = time.len().min(values.len());
        Self {
            time: &time[..count],
            values: &values[..count],
            blocks: &blocks.0,
        }
    }

    /// First and last time; none without samples.
    pub fn span(&self) -> Option<(f64, f64)> {
        Some((*self.time.first()?, *self.time.last()?))
    }

    /// Lowest and highest value of all; none without samples.
    pub fn range(&self) -> Option<(f64, f64)> {
        let (low, high) = self.lowest_and_highest(0, self.values.len())?;
        Some((self.value(low), self.value(high)))
    }

    /// The value at a time, between samples on the straight line; none outside.
    pub fn at(&self, time: f64) -> Option<f64> {
        let after = self.time.partition_point(|at| *at < time);
        let next = *self.time.get(after)?;
        if next == time {
            return Some(self.value(after));
        }
        let before = after.checked_sub(1)?;
        let part = (time - self.time[before]) / (next - self.time[before]);
        Some(self.value(before) + part * (self.value(after) - self.value(before)))
    }

    /// Lowest and highest sample within two times; none where there is no sample.
    pub fn between(&self, from: f64, to: f64) -> Option<(f64, f64)> {
        let (start, end) = self.places(from, to);
        let (low, high) = self.lowest_and_highest(start, end)?;
        Some((self.value(low), self.value(high)))
    }

    /// The line from one time to another on so many columns of pixels: every sample where there are few,
    /// else the lowest and highest of each column in their order. The samples next to the stretch are in
    /// it, so that the line goes on to its ends.
    pub fn thinned(&self, from: f64, to: f64, columns: usize) -> Vec<(f64, f64)> {
        let (start, end) = self.places(from, to);
        let point = |place: usize| (self.time[place], self.value(place));
        let mut points = Vec::new();
        if let Some(before) = start.checked_sub(1) {
            points.push(point(before));
        }
        if end - start <= 2 * columns || columns == 0 {
            points.extend((start..end).map(point));
        } else {
            let mut at = start;
            for column in 1..=columns {
                let edge = from + (to - from) * column as f64 / columns as f64;
                let next = if column == columns {
                    end
                } else {
                    at + self.time[at..end].partition_point(|time| *time <= edge)
                };
                if let Some((low, high)) = self.lowest_and_highest(at, next) {
                    points.push(point(low.min(high)));
                    if low != high {
                        points.push(point(low.max(high)));
                    }
                }
                at = next;
            }
        }
        if end < self.time.len() {
            points.push(point(end));
        }
        points
    }

    fn value(&self, place: usize) -> f64 {
        f64::from(self.values[place])
    }

    /// Places of the samples within two times.
    fn places(&self, from: f64, to: f64) -> (usize, usize) {
        let start = self.time.partition_point(|at| *at < from);
        let end = self.time.partition_point(|at| *at <= to);
        (start, end.max(start))
    }

    /// Places of the lowest and the highest sample, by the blocks where whole ones lie between.
    fn lowest_and_highest(&self, start: usize, end: usize) -> Option<(usize, usize)> {
        if start >= end {
            return None;
        }
        let (first, last) = (start.div_ceil(BLOCK), end / BLOCK);
        if first >= last {
            return Some(self.ends(start, end));
        }
        let mut found = self.ends(start, first * BLOCK);
        for &(low, high) in &self.blocks[first..last] {
            self.reach(&mut found, low, high);
        }
        for place in last * BLOCK..end {
            self.reach(&mut found, place, place);
        }
        Some(found)
    }

    fn reach(&self, found: &mut (usize, usize), low: usize, high: usize) {
        if self.values[low] < self.values[found.0] {
            found.0 = low;
        }
        if self.values[high] > self.values[found.1] {
            found.1 = high;
        }
    }

    /// Places of the lowest and the highest sample, one by one; the start itself counts always.
    fn ends(&self, start: usize, end: usize) -> (usize, usize) {
        let mut found = (start, start);
        for place in start..end {
            self.reach(&mut found, place, place);
        }
        found
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A kilohertz for a minute, with noise that repeats.
    fn noisy(count: usize) -> Vec<f32> {
        (0..count)
            .map(|place| 14.0 + ((place * 7_919) % 101) as f32 / 1_000.0)
            .collect()
    }

    /// A line of samples at a kilohertz.
    struct Line(Vec<f64>, Vec<f32>, Blocks);

    impl Line {
        fn new(values: Vec<f32>) -> Self {
            let time = (0..values.len()).map(|place| place as f64 / 1_000.0);
            let blocks = Blocks::new(&values);
            Self(time.collect(), values, blocks)
        }

        fn trace(&self) -> Trace<'_> {
            Trace::new(&self.0, &self.1, &self.2)
        }
    }

    #[test]
    fn a_dip_of_one_sample_is_in_every_picture() {
        for place in [0, 1, 255, 256, 30_000, 59_743, 59_999] {
            let mut values = noisy(60_000);
            values[place] = 9.5;
            let line = Line::new(values);
            let trace = line.trace();
            for columns in [1, 7, 240, 1_000] {
                let points = trace.thinned(0.0, 60.0, columns);
                let lowest = points.iter().map(|point| point.1).fold(99.0, f64::min);
                assert_eq!(lowest, 9.5, "{place} {columns}");
                assert!(points.len() <= 2 * columns + 2, "{}", points.len());
                assert!(points.windows(2).all(|pair| pair[0].0 <= pair[1].0));
            }
        }
    }

    /// A dip of 20 ms in a log of a kilohertz, at whatever zoom it is in sight.
    #[test]
    fn a_dip_of_20_ms_is_in_every_stretch_that_holds_it() {
        let mut values = noisy(60_000);
        values[31_417..31_437].fill(9.5);
        let line = Line::new(values);
        let trace = line.trace();
        let mut span = 60.0;
        while span > 0.1 {
            for part in [0.02, 0.3, 0.5, 0.97] {
                let from = 31.417 - part * span;
                let points = trace.thinned(from, from + span, 360);
                let lowest = points.iter().map(|point| point.1).fold(99.0, f64::min);
                assert_eq!(lowest, 9.5, "{span} s from {from}");
            }
            span *= 0.83;
        }
    }

    #[test]
    fn blocks_and_samples_agree() {
        let line = Line::new(noisy(3_000));
        let trace = line.trace();
        for start in (0..2_990).step_by(37) {
            for end in [start + 1, start + 5, start + 300, 2_560, 2_561, 3_000] {
                if end <= start || end > 3_000 {
                    continue;
                }
                let slow = trace.ends(start, end);
                let fast = trace.lowest_and_highest(start, end);
                let values = |(low, high): (usize, usize)| (trace.values[low], trace.values[high]);
                assert_eq!(fast.map(values), Some(values(slow)), "{start} {end}");
                let inside = |place: usize| (start..end).contains(&place);
                assert!(fast.is_some_and(|(low, high)| inside(low) && inside(high)));
            }
        }
    }

    #[test]
    fn few_samples_stay_as_they_are_and_the_line_reaches_its_ends() {
        let line = Line::new(vec![1.0, 2.0, 3.0, 4.0, 5.0]);
        let trace = line.trace();
        let points = trace.thinned(0.001, 0.002, 100);
        let values: Vec<f64> = points.iter().map(|point| point.1).collect();
        assert_eq!(values, [1.0, 2.0, 3.0, 4.0]);
    }

    #[test]
    fn values_between_samples_lie_on_the_line() {
        let values = [10.0, 12.0, 13.0, 15.0];
        let blocks = Blocks::new(&values);
        let trace = Trace::new(&[0.0, 1.0, 1.0, 3.0], &values, &blocks);
        assert_eq!(trace.at(0.5), Some(11.0));
        assert_eq!(trace.at(2.0), Some(14.0));
        assert_eq!(trace.at(3.5), None);
        assert_eq!(trace.at(-0.5), None);
        assert_eq!(trace.range(), Some((10.0, 15.0)));
        assert_eq!(trace.between(0.5, 1.0), Some((12.0, 13.0)));
        let none = Trace::new(&[], &[], &blocks);
        assert_eq!(none.between(0.0, 1.0), None);
        assert!(none.thinned(0.0, 1.0, 10).is_empty());
    }
}
