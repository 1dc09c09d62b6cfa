//! Statistics that a few bad samples do not move.

/// Standard deviation of a normal distribution over its median absolute deviation.
const MAD_TO_SIGMA: f64 = 1.4826;
/// Huber's constant: 95 % as efficient as least squares on normal noise (Huber, Robust
/// Statistics, 1981, from memory).
const HUBER: f64 = 1.345;
/// Rounds of reweighting: each at least halves what an outlier still pulls.
const ROUNDS: usize = 12;
/// 97.5 percentile of the standard normal distribution.
const Z_95: f64 = 1.96;
/// Highest correlation of neighbors that is reckoned with: over it nothing is known.
const HIGHEST_CORRELATION: f64 = 0.9;

/// The value below which a part (0 to 1) of the values lies; the values are put in disorder.
pub fn quantile(values: &mut [f64], part: f64) -> Option<f64> {
    let last = values.len().checked_sub(1)?;
    let place = ((last as f64) * part.clamp(0.0, 1.0)).round() as usize;
    let (_, at, _) = values.select_nth_unstable_by(place, f64::total_cmp);
    Some(*at)
}

/// The middle value; the values are put in disorder.
pub fn median(values: &mut [f64]) -> Option<f64> {
    quantile(values, 0.5)
}

/// Median and standard deviation by the median absolute deviation.
pub fn center(values: &mut [f64]) -> Option<(f64, f64)> {
    let middle = median(values)?;
    for value in values.iter_mut() {
        *value = (*value - middle).abs();
    }
    Some((middle, MAD_TO_SIGMA * median(values)?))
}

/// A straight line through points.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Line {
    /// Value at `x = 0`.
    pub at_zero: f64,
    /// Slope.
    pub slope: f64,
    /// Its 95 % half-width.
    pub half_width: f64,
    /// Scatter about the line.
    pub sigma: f64,
}

/// Half-width of a 95 % interval in standard errors with so many degrees of freedom:
/// Student's t by the first terms of its expansion about the normal distribution
/// (Abramowitz and Stegun 26.7.5).
pub fn student_95(degrees: f64) -> f64 {
    let z = Z_95;
    let first = (z.powi(3) + z) / 4.0;
    let second = (5.0 * z.powi(5) + 16.0 * z.powi(3) + 3.0 * z) / 96.0;
    z + first / degrees + second / (degrees * degrees)
}

/// Robust straight line through points (x, y), whose y was written in steps of `step` and is known
/// to scatter by `noise` (a standard deviation; zero where nothing is known): least squares with
/// Huber's weights. Neighbors that go together count for less.
///
/// Of five points three often lie in a line by chance. By the median of what is left the other two
/// then look like outliers, and the interval gets far too narrow: what is within `noise` is none.
pub fn line(points: &[(f64, f64)], step: f64, noise: f64) -> Option<Line> {
    let count = points.len();
    if count < 3 {
        return None;
    }
    let mut weights = vec![1.0; count];
    let mut fitted = (0.0, 0.0, 0.0);
    let floor = step / 12.0f64.sqrt();
    let mut sigma = floor;
    for _ in 0..ROUNDS {
        fitted = weighted(points, &weights)?;
        let (at_zero, slope, _) = fitted;
        let mut off: Vec<f64> = points
            .iter()
            .map(|(x, y)| (y - at_zero - slope * x).abs())
            .collect();
        sigma = (MAD_TO_SIGMA * median(&mut off)?)
            .max(floor)
            .max(noise)
            .max(1e-9);
        for (weight, (x, y)) in weights.iter_mut().zip(points) {
            let off = (y - at_zero - slope * x).abs() / sigma;
            *weight = if off <= HUBER { 1.0 } else { HUBER / off };
        }
    }
    let (at_zero, slope, spread) = fitted;
    let left: Vec<f64> = points
        .iter()
        .map(|(x, y)| y - at_zero - slope * x)
        .map(|off| off.clamp(-3.0 * sigma, 3.0 * sigma))
        .collect();
    let sum: f64 = left.iter().map(|off| off * off).sum();
    let degrees = (count - 2) as f64;
    let scatter = (sum / degrees).sqrt().max(floor);
    let together: f64 = left.windows(2).map(|two| two[0] * two[1]).sum();
    let correlation = if sum > 0.0 {
        (together / sum).clamp(0.0, HIGHEST_CORRELATION)
    } else {
        0.0
    };
    let fewer = (1.0 + correlation) / (1.0 - correlation);
    let degrees = (count as f64 / fewer - 2.0).max(1.0);
    Some(Line {
        at_zero,
        slope,
        half_width: student_95(degrees) * scatter * (fewer / spread).sqrt(),
        sigma: scatter,
    })
}

/// Weighted least squares: value at zero, slope, and the weighted spread of x.
fn weighted(points: &[(f64, f64)], weights: &[f64]) -> Option<(f64, f64, f64)> {
    let total: f64 = weights.iter().sum();
    let mean = |read: fn(&(f64, f64)) -> f64| {
        let sum: f64 = points
            .iter()
            .zip(weights)
            .map(|(point, weight)| weight * read(point))
            .sum();
        sum / total
    };
    let (mean_x, mean_y) = (mean(|point| point.0), mean(|point| point.1));
    let (mut spread, mut both) = (0.0, 0.0);
    for ((x, y), weight) in points.iter().zip(weights) {
        spread += weight * (x - mean_x) * (x - mean_x);
        both += weight * (x - mean_x) * (y - mean_y);
    }
    let slope = both / spread;
    (spread > 0.0 && slope.is_finite()).then_some((mean_y - slope * mean_x, slope, spread))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    /// Validation: Abramowitz and Stegun, table 26.10: t at 97.5 % for 5, 10 and 30 degrees
    /// of freedom (from memory).
    #[test]
    fn student_is_that_of_the_table() {
        for (degrees, wanted) in [(5.0, 2.571), (10.0, 2.228), (30.0, 2.042)] {
            assert!((student_95(degrees) - wanted).abs() < 0.03, "{degrees}");
        }
    }

    #[test]
    fn a_fifth_of_bad_samples_hardly_moves_the_line() {
        let points: Vec<(f64, f64)> = (0..100)
            .map(|at| {
                let x = f64::from(at) * 0.1;
                let noise = (f64::from(at) * 12.9898).sin() * 0.02;
                let bad = if at % 5 == 0 { -3.0 } else { 0.0 };
                (x, 14.0 - 0.1 * x + noise + bad)
            })
            .collect();
        let found = line(&points, 0.0, 0.0).unwrap();
        assert!((found.slope + 0.1).abs() < 0.02, "{found:?}");
        assert!(line(&points[..2], 0.0, 0.0).is_none());
        assert!(line(&[(1.0, 2.0); 5], 0.0, 0.0).is_none());
    }

    /// Five samples of 14.2 V with a noise of 0.03 V, of which four lie in a line by chance: taken by
    /// themselves they rise, by five times the half-width.
    #[test]
    fn few_points_in_a_line_by_chance_are_none() {
        let volts = [14.14, 14.17, 14.28, 14.22, 14.25];
        let points: Vec<(f64, f64)> = [3.0, 3.75, 4.5, 5.25, 6.0].into_iter().zip(volts).collect();
        let alone = line(&points, 0.01, 0.0).unwrap();
        assert!(alone.slope > 4.0 * alone.half_width, "{alone:?}");
        let known = line(&points, 0.01, 0.03).unwrap();
        assert!(known.slope < known.half_width, "{known:?}");
        // As plain least squares with Student's t for three degrees of freedom, 3.18.
        let (mean_x, mean_y) = (4.5, 14.212);
        let spread: f64 = points
            .iter()
            .map(|(x, _)| (x - mean_x) * (x - mean_x))
            .sum();
        let both: f64 = points
            .iter()
            .map(|(x, y)| (x - mean_x) * (y - mean_y))
            .sum();
        let slope = both / spread;
        let off = |(x, y): &(f64, f64)| y - mean_y - slope * (x - mean_x);
        let scatter = (points.iter().map(|point| off(point).powi(2)).sum::<f64>() / 3.0).sqrt();
        assert!((known.slope - slope).abs() < 0.01 * known.half_width);
        let wanted = 3.18 * scatter / spread.sqrt();
        assert!(
            (known.half_width - wanted).abs() < 0.03 * wanted,
            "{known:?} {wanted}"
        );
    }

    #[test]
    fn quantiles_of_few() {
        assert_eq!(median(&mut []), None);
        assert_eq!(median(&mut [3.0]), Some(3.0));
        assert_eq!(quantile(&mut [5.0, 1.0, 3.0], 1.0), Some(5.0));
        let (middle, sigma) = center(&mut [1.0, 2.0, 3.0, 4.0, 100.0]).unwrap();
        assert!(middle == 3.0 && (sigma - 1.4826).abs() < 1e-12);
    }
}
