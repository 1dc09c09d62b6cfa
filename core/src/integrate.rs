//! Ordinary differential equations, step by step with a known error.
//!
//! The pair of Dormand and Prince, orders 5 and 4 (Journal of Computational and Applied
//! Mathematics 6, 1980, 19-26). Written here because the libraries in the registry bring a
//! matrix library along, which is more than the rest of the app's physics, and do not hand
//! out what was worked out along with the slope.

/// Nodes of the stages.
const NODES: [f64; 7] = [0.0, 0.2, 0.3, 0.8, 8.0 / 9.0, 1.0, 1.0];
/// Weights of the earlier slopes in each stage; the last row is the solution of order 5.
const WEIGHTS: [&[f64]; 6] = [
    &[0.2],
    &[3.0 / 40.0, 9.0 / 40.0],
    &[44.0 / 45.0, -56.0 / 15.0, 32.0 / 9.0],
    &[
        19_372.0 / 6_561.0,
        -25_360.0 / 2_187.0,
        64_448.0 / 6_561.0,
        -212.0 / 729.0,
    ],
    &[
        9_017.0 / 3_168.0,
        -355.0 / 33.0,
        46_732.0 / 5_247.0,
        49.0 / 176.0,
        -5_103.0 / 18_656.0,
    ],
    &[
        35.0 / 384.0,
        0.0,
        500.0 / 1_113.0,
        125.0 / 192.0,
        -2_187.0 / 6_784.0,
        11.0 / 84.0,
    ],
];
/// Order 5 less order 4.
const ERROR: [f64; 7] = [
    71.0 / 57_600.0,
    0.0,
    -71.0 / 16_695.0,
    71.0 / 1_920.0,
    -17_253.0 / 339_200.0,
    22.0 / 525.0,
    -1.0 / 40.0,
];

/// A slope, and what was worked out along with it.
#[derive(Clone, Copy, Debug)]
pub struct Slope<const N: usize, E> {
    /// Change of each unknown in a second.
    pub by: [f64; N],
    /// What came along.
    pub extra: E,
}

/// A step that was tried.
#[derive(Clone, Copy, Debug)]
pub struct Trial<const N: usize, E> {
    /// The unknowns after it.
    pub after: [f64; N],
    /// Their slope there: the first one of the next step.
    pub slope: Slope<N, E>,
    /// How far each unknown may be off.
    pub error: [f64; N],
}

/// Tries a step of `seconds` from `state` at `from_s`, where the slope is `first`.
pub fn step<const N: usize, E: Copy>(
    slope: &mut impl FnMut(f64, &[f64; N]) -> Slope<N, E>,
    from_s: f64,
    state: &[f64; N],
    first: &Slope<N, E>,
    seconds: f64,
) -> Trial<N, E> {
    let mut slopes = [[0.0; N]; 7];
    slopes[0] = first.by;
    let mut last = *first;
    let mut after = *state;
    for (stage, weights) in WEIGHTS.iter().enumerate() {
        after = *state;
        for (weight, by) in weights.iter().zip(&slopes) {
            if *weight != 0.0 {
                for (value, by) in after.iter_mut().zip(by) {
                    *value += seconds * weight * by;
                }
            }
        }
        last = slope(from_s + NODES[stage + 1] * seconds, &after);
        slopes[stage + 1] = last.by;
    }
    let mut error = [0.0; N];
    for (weight, by) in ERROR.iter().zip(&slopes) {
        for (off, by) in error.iter_mut().zip(by) {
            *off += seconds * weight * by;
        }
    }
    Trial {
        after,
        slope: last,
        error,
    }
}

/// The unknowns at a part (0 to 1) of a step, by the cubic through both ends and slopes.
pub fn between<const N: usize>(
    from: (&[f64; N], &[f64; N]),
    to: (&[f64; N], &[f64; N]),
    seconds: f64,
    part: f64,
) -> [f64; N] {
    let rest = 1.0 - part;
    let mut found = [0.0; N];
    for (place, value) in found.iter_mut().enumerate() {
        let (a, b) = (from.0[place], to.0[place]);
        let (sa, sb) = (from.1[place] * seconds, to.1[place] * seconds);
        *value = a * (1.0 + 2.0 * part) * rest * rest
            + b * part * part * (3.0 - 2.0 * part)
            + part * rest * (sa * rest - sb * part);
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Verification: y' = -y and a quadrature of it, against the exponential.
    #[test]
    fn the_error_falls_with_the_fifth_power_of_the_step() {
        let mut slope = |_: f64, y: &[f64; 2]| Slope {
            by: [-y[0], y[0]],
            extra: (),
        };
        let mut run = |parts: u32| {
            let (mut y, width) = ([1.0, 0.0], 2.0 / f64::from(parts));
            let mut first = slope(0.0, &y);
            for _ in 0..parts {
                let trial = step(&mut slope, 0.0, &y, &first, width);
                (y, first) = (trial.after, trial.slope);
            }
            assert!((y[0] + y[1] - 1.0).abs() < 1e-14);
            (y[0] - (-2.0f64).exp()).abs()
        };
        let order = (run(10) / run(20)).log2();
        assert!((4.7..5.4).contains(&order), "{order}");
    }

    #[test]
    fn the_cubic_meets_both_ends_and_a_cubic_between() {
        // y = t^3 from 1 to 3.
        let at = |part| between((&[1.0], &[3.0]), (&[27.0], &[27.0]), 2.0, part)[0];
        for part in [0.0, 0.3, 0.5, 1.0] {
            let t: f64 = 1.0 + 2.0 * part;
            assert!((at(part) - t.powi(3)).abs() < 1e-12);
        }
    }
}
