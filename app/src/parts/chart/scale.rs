//! Mapping data to pixels and choosing ticks, both by plotters' coordinates.

use plotters::coord::CoordTranslate;
use plotters::coord::cartesian::Cartesian2d;
use plotters::coord::ranged1d::Ranged;
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

/// Round values within a range (min, max), at most `most` of them.
pub fn ticks(range: (f64, f64), most: usize) -> Vec<f64> {
    RangedCoordf64::from(range.0..range.1).key_points(most)
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
        assert_eq!(ticks((0.0, 0.37), 4), [0.0, 0.1, 0.2, 0.30000000000000004]);
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
