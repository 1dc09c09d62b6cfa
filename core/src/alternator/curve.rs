//! Output current over alternator speed at the test voltage and temperature.
//!
//! Two rated points: the claw-pole machine with a bridge on a constant-voltage load,
//! `I(n) = I_inf sqrt(1 - (n0/n)^2)` (derived from the power equation of Perreault and
//! Caliskan, 2004). Three points or more: the monotone cubic of Fritsch and Butland with
//! Moler's end slopes. Below the first point the square-root form through the first two,
//! zero under its cut-in speed; above the last point its output is held. Never a
//! polynomial through all of them.
//!
//! Corner cases:
//! - a first point of zero amperes is the cut-in speed itself;
//! - the first two points must rise, or there is no cut-in speed to find;
//! - a fall of more than a tenth anywhere is refused: it is a typing error or a machine
//!   already past its limit.

use std::sync::Arc;

use crate::interpolate::MonotoneCubic;

/// How far a curve may fall from one of its points to the next ones, as a fraction.
const LARGEST_DROOP: f64 = 0.1;

/// Why a set of points is no output curve.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum CurveError {
    /// Fewer than two points.
    #[error("found {found} point(s), need at least 2")]
    TooFew {
        /// How many there are.
        found: usize,
    },
    /// More points than a data sheet has.
    #[error("found {found} points, at most 40 are read")]
    TooMany {
        /// How many there are.
        found: usize,
    },
    /// Speeds that do not rise from point to point.
    #[error("point {point} is not at a higher speed than the one before it")]
    NotRising {
        /// Which point, counted from 1.
        point: usize,
    },
    /// A fall of more than a tenth.
    #[error("point {point} lies more than a tenth below the highest point before it")]
    Falls {
        /// Which point, counted from 1.
        point: usize,
    },
    /// The first two points do not rise.
    #[error("the second point must give more than the first")]
    FlatStart,
    /// A number outside what an alternator can do.
    #[error("point {point} is outside 1 to 30,000 rpm or 0 to 1,000 A")]
    OutOfRange {
        /// Which point, counted from 1.
        point: usize,
    },
}

/// `I^2 = a - b / n^2`, zero where that is negative.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SquareRoot {
    a: f64,
    b: f64,
}

impl SquareRoot {
    /// The form through two points `(rpm, A)`; `None` unless both speed and current rise.
    ///
    /// ```
    /// use laneside_core::alternator::SquareRoot;
    ///
    /// let form = SquareRoot::through((1_500.0, 50.0), (6_000.0, 120.0)).unwrap();
    /// assert!((form.limit_a() - 123.26).abs() < 0.01);
    /// assert!((form.cut_in_rpm() - 1_371.0).abs() < 0.5);
    /// ```
    pub fn through(low: (f64, f64), high: (f64, f64)) -> Option<Self> {
        let ((n1, i1), (n2, i2)) = (low, high);
        let rises = 0.0 < n1 && n1 < n2 && 0.0 <= i1 && i1 < i2;
        if !rises {
            return None;
        }
        let b = (i2 * i2 - i1 * i1) / (1.0 / (n1 * n1) - 1.0 / (n2 * n2));
        Some(Self {
            a: i2 * i2 + b / (n2 * n2),
            b,
        })
    }

    /// The form with this current at infinite speed (A) and this cut-in speed (rpm).
    pub fn new(limit_a: f64, cut_in_rpm: f64) -> Self {
        let a = limit_a * limit_a;
        Self {
            a,
            b: a * cut_in_rpm * cut_in_rpm,
        }
    }

    /// Current at a speed, A.
    pub fn at(self, rpm: f64) -> f64 {
        (self.a - self.b / (rpm * rpm)).max(0.0).sqrt()
    }

    /// Current at infinite speed, A.
    pub fn limit_a(self) -> f64 {
        self.a.sqrt()
    }

    /// Speed at which output begins, rpm.
    pub fn cut_in_rpm(self) -> f64 {
        (self.b / self.a).sqrt()
    }
}

/// A curve through three measured points or more.
#[derive(Clone, Debug)]
pub struct PointCurve {
    head: SquareRoot,
    cubic: MonotoneCubic,
    first_rpm: f64,
    last: (f64, f64),
    peak_a: f64,
    droops: bool,
}

/// Output current over alternator speed at the test voltage.
#[derive(Clone, Debug)]
pub enum Curve {
    /// Two rated points.
    Pair {
        /// The form through them.
        form: SquareRoot,
        /// The lower point, rpm and A.
        low: (f64, f64),
        /// The upper point, rpm and A.
        high: (f64, f64),
    },
    /// Measured points.
    Points(Arc<PointCurve>),
}

impl Curve {
    /// The curve of a rating: `(rpm, A)` at low and at rated speed.
    ///
    /// # Errors
    /// [`CurveError`] when the points do not rise.
    pub fn pair(low: (f64, f64), high: (f64, f64)) -> Result<Self, CurveError> {
        let form = SquareRoot::through(low, high).ok_or(CurveError::FlatStart)?;
        Ok(Self::Pair { form, low, high })
    }

    /// The curve through measured points `(rpm, A)`, lowest speed first.
    ///
    /// # Errors
    /// [`CurveError`] names the first point that does not fit.
    pub fn points(points: &[(f64, f64)]) -> Result<Self, CurveError> {
        check_points(points)?;
        if let [low, high] = points {
            return Self::pair(*low, *high);
        }
        let head = SquareRoot::through(points[0], points[1]).ok_or(CurveError::FlatStart)?;
        let peak_a = points.iter().map(|point| point.1).fold(0.0, f64::max);
        let last = points[points.len() - 1];
        // The checks above are the interpolation's own; a failure here would be a flat start.
        let cubic = MonotoneCubic::new(points).map_err(|_| CurveError::FlatStart)?;
        Ok(Self::Points(Arc::new(PointCurve {
            head,
            cubic,
            first_rpm: points[0].0,
            last,
            peak_a,
            droops: last.1 < peak_a,
        })))
    }

    /// Output at an alternator speed (rpm), A.
    pub fn at(&self, rpm: f64) -> f64 {
        if rpm <= 0.0 {
            return 0.0;
        }
        match self {
            Self::Pair { form, high, .. } if rpm < high.0 => form.at(rpm),
            Self::Pair { high, .. } => high.1,
            Self::Points(curve) if rpm < curve.first_rpm => curve.head.at(rpm),
            Self::Points(curve) if rpm < curve.last.0 => curve.cubic.at(rpm),
            Self::Points(curve) => curve.last.1,
        }
    }

    /// Speed at which output begins, rpm.
    pub fn cut_in_rpm(&self) -> f64 {
        match self {
            Self::Pair { form, .. } => form.cut_in_rpm(),
            Self::Points(curve) => curve.head.cut_in_rpm(),
        }
    }

    /// The lowest speed that was rated or measured, rpm: below it the curve is a form.
    pub fn lowest_known_rpm(&self) -> f64 {
        match self {
            Self::Pair { low, .. } => low.0,
            Self::Points(curve) => curve.first_rpm,
        }
    }

    /// The highest speed that was rated or measured, rpm: above it output is held.
    pub fn highest_known_rpm(&self) -> f64 {
        match self {
            Self::Pair { high, .. } => high.0,
            Self::Points(curve) => curve.last.0,
        }
    }

    /// The highest output of any point, A.
    pub fn peak_a(&self) -> f64 {
        match self {
            Self::Pair { high, .. } => high.1,
            Self::Points(curve) => curve.peak_a,
        }
    }

    /// Whether the curve falls (by up to a tenth) towards its top.
    pub fn droops(&self) -> bool {
        match self {
            Self::Pair { .. } => false,
            Self::Points(curve) => curve.droops,
        }
    }
}

fn check_points(points: &[(f64, f64)]) -> Result<(), CurveError> {
    let found = points.len();
    if found < 2 {
        return Err(CurveError::TooFew { found });
    }
    if found > 40 {
        return Err(CurveError::TooMany { found });
    }
    let mut peak = 0.0_f64;
    for (index, &(rpm, amps)) in points.iter().enumerate() {
        let point = index + 1;
        if !((1.0..=30_000.0).contains(&rpm) && (0.0..=1_000.0).contains(&amps)) {
            return Err(CurveError::OutOfRange { point });
        }
        if index > 0 && rpm <= points[index - 1].0 {
            return Err(CurveError::NotRising { point });
        }
        if amps < peak * (1.0 - LARGEST_DROOP) {
            return Err(CurveError::Falls { point });
        }
        peak = peak.max(amps);
    }
    if points[1].1 <= points[0].1 {
        return Err(CurveError::FlatStart);
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    const LOW: (f64, f64) = (1_500.0, 50.0);
    const HIGH: (f64, f64) = (6_000.0, 120.0);

    #[test]
    fn pair_passes_through_its_points_and_is_held_above() {
        let curve = Curve::pair(LOW, HIGH).unwrap();
        assert!((curve.at(1_500.0) - 50.0).abs() < 1e-9);
        assert!((curve.at(6_000.0) - 120.0).abs() < 1e-9);
        assert_eq!(curve.at(18_000.0), 120.0);
        assert_eq!(curve.at(1_370.0), 0.0);
        assert_eq!(curve.at(0.0), 0.0);
    }

    #[test]
    fn points_are_met_and_joined_to_the_form_below() {
        let points = [
            (1_500.0, 40.0),
            (2_000.0, 70.0),
            (4_000.0, 110.0),
            (8_000.0, 105.0),
        ];
        let curve = Curve::points(&points).unwrap();
        for (rpm, amps) in points {
            assert!((curve.at(rpm) - amps).abs() < 1e-9, "{rpm}");
        }
        assert!((curve.at(1_499.999) - 40.0).abs() < 0.01);
        assert!(curve.droops());
        assert_eq!(curve.at(20_000.0), 105.0);
    }

    #[test]
    fn each_fault_names_its_point() {
        let falls = [(1_000.0, 10.0), (2_000.0, 100.0), (3_000.0, 89.0)];
        assert_eq!(
            Curve::points(&falls).unwrap_err(),
            CurveError::Falls { point: 3 }
        );
        let unsorted = [(1_000.0, 10.0), (3_000.0, 90.0), (2_000.0, 95.0)];
        assert_eq!(
            Curve::points(&unsorted).unwrap_err(),
            CurveError::NotRising { point: 3 }
        );
        let flat = [(1_000.0, 50.0), (2_000.0, 50.0), (3_000.0, 60.0)];
        assert_eq!(Curve::points(&flat).unwrap_err(), CurveError::FlatStart);
        assert_eq!(
            Curve::points(&[LOW]).unwrap_err(),
            CurveError::TooFew { found: 1 }
        );
        let absurd = [LOW, (f64::NAN, 120.0)];
        assert_eq!(
            Curve::points(&absurd).unwrap_err(),
            CurveError::OutOfRange { point: 2 }
        );
    }

    #[test]
    fn a_first_point_of_zero_is_the_cut_in_speed() {
        let curve = Curve::points(&[(900.0, 0.0), (2_000.0, 60.0), (6_000.0, 100.0)]).unwrap();
        assert!((curve.cut_in_rpm() - 900.0).abs() < 1e-9);
    }
}
