//! Mapping data to pixels and choosing ticks, both by plotters' coordinates.

use plotters::coord::CoordTranslate;
use plotters::coord::cartesian::Cartesian2d;
use plotters::coord::types::RangedCoordf64;

use super::place::Rect;

/// Fractions of a device pixel that plotters counts in. Its coordinates are whole numbers: at one
/// per device pixel a shallow line would show steps.
pub const SUB: i32 = 8;

/// One panel's plotting area with its coordinates.
pub struct Frame {
    /// The area in CSS pixels.
    pub rect: Rect,
    coord: Cartesian2d<RangedCoordf64, RangedCoordf64>,
    unit: f64,
}

impl Frame {
    /// Maps `x` and `y`, given as (min, max), onto an area; `unit` is plotters' units per CSS
    /// pixel.
    pub fn new(rect: Rect, x: (f64, f64), y: (f64, f64), unit: f64) -> Self {
        let whole = |at: f64| (at * unit).round() as i32;
        Self {
            rect,
            coord: Cartesian2d::new(
                x.0..x.1,
                y.0..y.1,
                (
                    whole(rect.x)..whole(rect.right()),
                    whole(rect.bottom())..whole(rect.y),
                ),
            ),
            unit,
        }
    }

    /// A point in plotters' units.
    pub fn map(&self, point: (f64, f64)) -> (i32, i32) {
        self.coord.translate(&point)
    }

    /// A point in CSS pixels.
    pub fn place(&self, point: (f64, f64)) -> (f64, f64) {
        let (x, y) = self.map(point);
        (f64::from(x) / self.unit, f64::from(y) / self.unit)
    }
}

/// Round values within a range (min, max), at most `most` of them: multiples of 1, 2 or 5 times a
/// power of ten.
///
/// Plotters has key points too, but brings logarithm and power for them, which are a kilobyte on
/// the phone's way.
pub fn ticks((min, max): (f64, f64), most: usize) -> Vec<f64> {
    let span = max - min;
    let mut step = 1e-9;
    // The factors lead from 1 to 2, 5 and 10.
    for factor in [2.0, 2.5, 2.0].iter().cycle().take(80) {
        if ((max / step).floor() - (min / step).ceil()) < most as f64 {
            break;
        }
        step *= factor;
    }
    let first = (min / step - 1e-9).ceil();
    let count = ((max - first * step) / step + 1e-9).floor();
    if span.is_finite() && count >= 0.0 && count < most as f64 {
        (0..=count as u32)
            .map(|index| (first + f64::from(index)) * step)
            .collect()
    } else {
        Vec::new()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ticks_are_round_and_few() {
        assert_eq!(
            ticks((0.0, 20_000.0), 5),
            [0.0, 5_000.0, 10_000.0, 15_000.0, 20_000.0]
        );
        assert_eq!(
            ticks((800.0, 8_000.0), 5),
            [2_000.0, 4_000.0, 6_000.0, 8_000.0]
        );
        assert_eq!(ticks((-30.0, 130.0), 5), [0.0, 50.0, 100.0]);
        assert_eq!(ticks((12.3, 14.9), 4), [13.0, 14.0]);
        let fine = ticks((0.0, 0.37), 4);
        assert_eq!(fine.len(), 4);
        assert!((fine[3] - 0.3).abs() < 1e-12);
    }

    #[test]
    fn ticks_are_never_more_than_asked_for() {
        for range in [
            (0.0, 1e-6),
            (0.0, 1e12),
            (-1e12, 1e12),
            (0.999e6, 1e6),
            (0.0, 1.0),
        ] {
            for most in 1..12 {
                let ticks = ticks(range, most);
                assert!(ticks.len() <= most, "{range:?} {most} {ticks:?}");
                assert!(ticks.iter().all(|t| *t >= range.0 - 1e-9 * range.1.abs()));
                assert!(ticks.iter().all(|t| *t <= range.1 + 1e-9 * range.1.abs()));
            }
            assert!(ticks(range, 5).len() >= 2, "{range:?}");
        }
        assert!(ticks((f64::NAN, 1.0), 5).is_empty());
    }

    #[test]
    fn the_corners_of_a_frame_are_the_ends_of_its_axes() {
        let rect = Rect {
            x: 50.0,
            y: 20.0,
            w: 200.0,
            h: 100.0,
        };
        let frame = Frame::new(rect, (1_000.0, 8_000.0), (0.0, 120.0), 24.0);
        assert_eq!(frame.place((1_000.0, 0.0)), (50.0, 120.0));
        assert_eq!(frame.place((8_000.0, 120.0)), (250.0, 20.0));
        assert_eq!(frame.place((4_500.0, 60.0)), (150.0, 70.0));
    }
}
