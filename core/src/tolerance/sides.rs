//! Changes of an answer by one input at a time, and what they add up to.

use super::Share;
use crate::finding::Spread;
use crate::resolve::InputId;
use crate::sort::sort_short;

/// How much the slopes on both sides of an input differ, as a fraction of the larger, where
/// that begins to count as a kink and where it counts in full.
const KINK: (f64, f64) = (0.4, 0.6);

/// Share of an input from which its kink begins to count and counts in full.
const KINK_SHARE: (f64, f64) = (0.01, 0.03);

/// Which way an answer may be off.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Side {
    Down,
    Up,
}

/// What one input changes.
#[derive(Clone, Copy, Debug)]
pub(super) struct Change {
    pub(super) input: InputId,
    /// Distance of the low and the high end of its range from its value.
    pub(super) reach: (f64, f64),
    /// Change of the answer at the low and at the high end.
    pub(super) change: (f64, f64),
}

impl Change {
    /// The most that the answer moves to a side, as a distance, and whether it does so at
    /// the high end of the input.
    pub(super) fn towards(&self, side: Side) -> (f64, bool) {
        let (low, high) = match side {
            Side::Up => self.change,
            Side::Down => (-self.change.0, -self.change.1),
        };
        if high >= low {
            (high.max(0.0), true)
        } else {
            (low.max(0.0), false)
        }
    }

    fn squared(&self) -> f64 {
        let square = |side| self.towards(side).0.powi(2);
        square(Side::Down) + square(Side::Up)
    }

    /// How much the answer bends at the input's value: the difference of the slopes on its
    /// sides, as a fraction of the larger.
    fn bend(&self) -> f64 {
        let (below, above) = self.reach;
        if below <= 0.0 || above <= 0.0 {
            return 0.0;
        }
        let slopes = (-self.change.0 / below, self.change.1 / above);
        let steepest = slopes.0.abs().max(slopes.1.abs());
        if steepest > 0.0 {
            (slopes.0 - slopes.1).abs() / steepest
        } else {
            0.0
        }
    }
}

/// From 0 to 1 while a number goes from one to another.
pub(super) fn ramp(number: f64, (from, to): (f64, f64)) -> f64 {
    ((number - from) / (to - from)).clamp(0.0, 1.0)
}

/// Root sum of squares of a side.
pub(super) fn side(changes: &[Change], side: Side) -> f64 {
    let square = |change: &Change| change.towards(side).0.powi(2);
    changes.iter().map(square).sum::<f64>().sqrt()
}

/// Root sum of squares of both sides.
pub(super) fn spread(changes: &[Change]) -> Spread {
    Spread {
        down: side(changes, Side::Down),
        up: side(changes, Side::Up),
    }
}

/// How much the answer bends at the value of an input that counts, 0 to 1.
pub(super) fn kink(changes: &[Change]) -> f64 {
    let total: f64 = changes.iter().map(Change::squared).sum();
    if total <= 0.0 {
        return 0.0;
    }
    changes
        .iter()
        .map(|change| ramp(change.squared() / total, KINK_SHARE) * ramp(change.bend(), KINK))
        .fold(0.0, f64::max)
}

/// The part of the variance of each input that has one, largest first.
pub(super) fn shares(changes: &[Change]) -> Vec<Share> {
    let total: f64 = changes.iter().map(Change::squared).sum();
    let mut shares: Vec<Share> = changes
        .iter()
        .map(|change| Share {
            input: change.input,
            fraction: change.squared() / total,
        })
        .filter(|share| share.fraction > 0.0)
        .collect();
    sort_short(&mut shares, |a, b| b.fraction.total_cmp(&a.fraction));
    shares
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bend_is_the_difference_of_both_slopes() {
        let bend = |reach, change| {
            Change {
                input: InputId::LoadsScale,
                reach,
                change,
            }
            .bend()
        };
        assert_eq!(bend((1.0, 2.0), (-3.0, 6.0)), 0.0);
        assert_eq!(bend((1.0, 2.0), (-3.0, 3.0)), 0.5);
        assert_eq!(bend((1.0, 1.0), (2.0, 2.0)), 2.0);
        assert_eq!(bend((1.0, 1.0), (0.0, 0.0)), 0.0);
        // Nothing bends at the end of a range.
        assert_eq!(bend((0.0, 1.0), (0.0, 2.0)), 0.0);
        assert_eq!(bend((1.0, 0.0), (2.0, 0.0)), 0.0);
    }
}
