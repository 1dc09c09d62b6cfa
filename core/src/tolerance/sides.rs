//! Changes of an answer by one input at a time, and what they add up to.

use super::Share;
use crate::finding::Spread;
use crate::resolve::InputId;

/// How much the slopes on both sides of an input may differ before it counts as a kink,
/// as a fraction of the larger.
const KINK: f64 = 0.5;

/// An input with a smaller share than this makes no kink.
const KINK_SHARE: f64 = 0.02;

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

    /// Whether the answer bends at the input's value.
    fn bends(&self) -> bool {
        let (below, above) = self.reach;
        if below <= 0.0 || above <= 0.0 {
            return false;
        }
        let slopes = (-self.change.0 / below, self.change.1 / above);
        let steepest = slopes.0.abs().max(slopes.1.abs());
        (slopes.0 - slopes.1).abs() > KINK * steepest
    }
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

/// Whether the answer bends at the value of an input that counts.
pub(super) fn kinked(changes: &[Change]) -> bool {
    let total: f64 = changes.iter().map(Change::squared).sum();
    changes
        .iter()
        .any(|change| change.squared() > KINK_SHARE * total && change.bends())
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
    shares.sort_by(|a, b| b.fraction.total_cmp(&a.fraction));
    shares
}
