//! A curve through measured points that never overshoots them.
//!
//! Piecewise cubic Hermite interpolation that keeps the shape of the data: where the points rise the curve rises, where
//! they are level it is level, and it is never above the highest point nor below the lowest.
//!
//! - Slopes inside: the weighted harmonic mean of the two neighboring secants, zero where they differ in sign or one is
//!   zero: F. N. Fritsch and J. Butland, "A method for constructing local monotone piecewise cubic interpolants", SIAM
//!   Journal on Scientific and Statistical Computing 5(2), 1984, 300-304.
//! - Slopes at the ends: the one-sided three-point formula, clamped to keep the shape: C. Moler, "Numerical Computing
//!   with MATLAB", SIAM, 2004, section 3.6.
//!
//! The result is the one that SciPy's `PchipInterpolator` gives, to the last few digits.
//!
//! Corner cases: two points give the straight line; fewer are refused, as are points that are not finite, do not rise
//! in x, or are so steep that their slope is not finite.

use thiserror::Error;

/// Why a set of points is no curve.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum CurveError {
    /// Fewer than two points.
    #[error("found {found} points, need at least 2")]
    TooFew {
        /// How many points there were.
        found: usize,
    },
    /// A coordinate is infinite or not a number.
    #[error("point {index} is not finite")]
    NotFinite {
        /// Position of the point, from zero.
        index: usize,
    },
    /// A point does not lie to the right of the one before it.
    #[error("point {index} is at {found}, need more than {previous}")]
    NotRising {
        /// Position of the point, from zero.
        index: usize,
        /// Its x.
        found: f64,
        /// The x of the point before it.
        previous: f64,
    },
    /// The slope between two points is beyond what a floating-point number holds.
    #[error("the slope up to point {index} is too steep")]
    TooSteep {
        /// Position of the right-hand point, from zero.
        index: usize,
    },
}

/// One cubic, in powers of the distance from its left end.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Piece {
    x: f64,
    /// Coefficients from the constant up to the cube.
    c: [f64; 4],
}

/// A monotone cubic through points that rise in x. See the [module](self) for the method and its sources.
///
/// ```
/// use laneside_core::interpolate::MonotoneCubic;
///
/// let output = MonotoneCubic::new(&[(1_500.0, 50.0), (3_000.0, 95.0), (6_000.0, 120.0)])?;
/// assert_eq!(output.at(3_000.0), 95.0);
/// assert_eq!(output.at(9_000.0), 120.0); // held beyond the last point
/// # Ok::<(), laneside_core::interpolate::CurveError>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct MonotoneCubic {
    pieces: Vec<Piece>,
    first: (f64, f64),
    last: (f64, f64),
}

impl MonotoneCubic {
    /// Lays the curve through `points`, each an (x, y) pair.
    ///
    /// # Errors
    /// [`CurveError`] when there are fewer than two points, one is not finite, x does not strictly rise, or a slope is
    /// not finite.
    pub fn new(points: &[(f64, f64)]) -> Result<Self, CurveError> {
        let &[first, .., last] = points else {
            return Err(CurveError::TooFew {
                found: points.len(),
            });
        };
        if let Some(index) = points
            .iter()
            .position(|(x, y)| !x.is_finite() || !y.is_finite())
        {
            return Err(CurveError::NotFinite { index });
        }
        for (at, pair) in points.windows(2).enumerate() {
            let (previous, found) = (pair[0].0, pair[1].0);
            if found <= previous {
                return Err(CurveError::NotRising {
                    index: at + 1,
                    found,
                    previous,
                });
            }
        }

        let secants: Vec<Secant> = points
            .windows(2)
            .map(|pair| Secant::between(pair[0], pair[1]))
            .collect();
        let slopes = slopes_at_points(&secants);
        let mut pieces = Vec::with_capacity(secants.len());
        for (at, secant) in secants.iter().enumerate() {
            let (x, y) = points[at];
            let bend = (slopes[at] + slopes[at + 1] - 2.0 * secant.slope) / secant.width;
            let c = [
                y,
                slopes[at],
                (secant.slope - slopes[at]) / secant.width - bend,
                bend / secant.width,
            ];
            if c.iter().any(|coefficient| !coefficient.is_finite()) {
                return Err(CurveError::TooSteep { index: at + 1 });
            }
            pieces.push(Piece { x, c });
        }
        Ok(Self {
            pieces,
            first,
            last,
        })
    }

    /// The curve's y at `x`. Left of the first point it is the first y, right of the last point the last y: a caller
    /// that knows better asks [`covers`](Self::covers) first. Not-a-number gives not-a-number.
    #[must_use]
    pub fn at(&self, x: f64) -> f64 {
        if x <= self.first.0 {
            return self.first.1;
        }
        if x >= self.last.0 {
            return self.last.1;
        }
        let piece = self.pieces[self
            .pieces
            .partition_point(|piece| piece.x <= x)
            .saturating_sub(1)];
        let s = x - piece.x;
        let [c0, c1, c2, c3] = piece.c;
        c0 + s * (c1 + s * (c2 + s * c3))
    }

    /// Whether `x` lies within the points, ends included.
    #[must_use]
    pub fn covers(&self, x: f64) -> bool {
        self.first.0 <= x && x <= self.last.0
    }

    /// The leftmost point.
    #[must_use]
    pub fn first(&self) -> (f64, f64) {
        self.first
    }

    /// The rightmost point.
    #[must_use]
    pub fn last(&self) -> (f64, f64) {
        self.last
    }
}

/// The straight line between two neighboring points.
#[derive(Debug, Clone, Copy)]
struct Secant {
    width: f64,
    slope: f64,
}

impl Secant {
    fn between(left: (f64, f64), right: (f64, f64)) -> Self {
        let width = right.0 - left.0;
        Self {
            width,
            slope: (right.1 - left.1) / width,
        }
    }
}

fn slopes_at_points(secants: &[Secant]) -> Vec<f64> {
    let &[first, .., last] = secants else {
        return secants.iter().flat_map(|only| [only.slope; 2]).collect();
    };
    let mut slopes = Vec::with_capacity(secants.len() + 1);
    slopes.push(end_slope(first, secants[1]));
    slopes.extend(secants.windows(2).map(|pair| inner_slope(pair[0], pair[1])));
    slopes.push(end_slope(last, secants[secants.len() - 2]));
    slopes
}

/// Fritsch and Butland's slope at the point between two secants.
fn inner_slope(left: Secant, right: Secant) -> f64 {
    if sign(left.slope) * sign(right.slope) <= 0.0 {
        return 0.0;
    }
    let of_left = 2.0 * right.width + left.width;
    let of_right = right.width + 2.0 * left.width;
    (of_left + of_right) / (of_left / left.slope + of_right / right.slope)
}

/// Moler's slope at an end point, from the secant that touches it and the next one inward.
fn end_slope(outer: Secant, inner: Secant) -> f64 {
    let slope = ((2.0 * outer.width + inner.width) * outer.slope - outer.width * inner.slope)
        / (outer.width + inner.width);
    if sign(slope) != sign(outer.slope) {
        0.0
    } else if slope.abs() > 3.0 * outer.slope.abs() {
        // Moler asks for this only where the two secants differ in sign; where they agree the slope is under twice.
        3.0 * outer.slope
    } else {
        slope
    }
}

/// -1, 0 or 1; unlike `signum`, zero has no sign.
fn sign(value: f64) -> f64 {
    if value > 0.0 {
        1.0
    } else if value < 0.0 {
        -1.0
    } else {
        0.0
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn bad_points_are_refused_by_cause() {
        let error = |points: &[(f64, f64)]| MonotoneCubic::new(points).err();
        assert_eq!(error(&[]), Some(CurveError::TooFew { found: 0 }));
        assert_eq!(error(&[(1.0, 2.0)]), Some(CurveError::TooFew { found: 1 }));
        assert_eq!(
            error(&[(0.0, 1.0), (1.0, f64::NAN)]),
            Some(CurveError::NotFinite { index: 1 })
        );
        assert_eq!(
            error(&[(f64::INFINITY, 1.0), (1.0, 2.0)]),
            Some(CurveError::NotFinite { index: 0 })
        );
        assert_eq!(
            error(&[(0.0, 1.0), (2.0, 2.0), (2.0, 3.0)]),
            Some(CurveError::NotRising {
                index: 2,
                found: 2.0,
                previous: 2.0
            })
        );
        assert_eq!(
            error(&[(0.0, 1.0), (-1.0, 2.0)]),
            Some(CurveError::NotRising {
                index: 1,
                found: -1.0,
                previous: 0.0
            })
        );
        assert_eq!(
            error(&[(0.0, 0.0), (1e-300, 1e300)]),
            Some(CurveError::TooSteep { index: 1 })
        );
    }

    #[test]
    fn two_points_are_a_line_held_beyond_its_ends() {
        let line = MonotoneCubic::new(&[(1.0, 10.0), (3.0, 20.0)]).unwrap();
        assert_eq!(line.at(2.0), 15.0);
        assert_eq!((line.at(-5.0), line.at(9.0)), (10.0, 20.0));
        assert_eq!(
            (line.at(f64::NEG_INFINITY), line.at(f64::INFINITY)),
            (10.0, 20.0)
        );
        assert!(line.at(f64::NAN).is_nan());
        assert_eq!((line.first(), line.last()), ((1.0, 10.0), (3.0, 20.0)));
        assert!(line.covers(1.0) && line.covers(3.0) && !line.covers(0.99) && !line.covers(3.01));
    }

    /// Points with x rising by a tenth to a hundred at a time.
    fn points() -> impl Strategy<Value = Vec<(f64, f64)>> {
        prop::collection::vec((0.1..100.0, -50.0..50.0), 2..12).prop_map(|steps| {
            let mut x = 0.0;
            steps
                .into_iter()
                .map(|(step, y)| {
                    x += step;
                    (x, y)
                })
                .collect()
        })
    }

    proptest! {
        /// Verification: between two points the curve never leaves the span of their values, and never turns.
        #[test]
        fn stays_between_its_points_and_never_turns(points in points()) {
            let curve = MonotoneCubic::new(&points).unwrap();
            for pair in points.windows(2) {
                let ((x0, y0), (x1, y1)) = (pair[0], pair[1]);
                prop_assert_eq!(curve.at(x0), y0);
                let mut previous = y0;
                for step in 1..=40 {
                    let y = curve.at(x0 + (x1 - x0) * f64::from(step) / 40.0);
                    prop_assert!(y >= y0.min(y1) - 1e-10 && y <= y0.max(y1) + 1e-10);
                    prop_assert!((y - previous) * (y1 - y0) >= -1e-10);
                    previous = y;
                }
            }
        }
    }
}
