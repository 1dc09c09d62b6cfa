//! A root between two ends, found safely.
//!
//! The ITP method: each step interpolates a secant, truncates it towards the middle and projects it to where bisection
//! would have been by then. It never takes more than a step beyond bisection and is far quicker on smooth functions.
//! I. F. D. Oliveira and R. H. C. Takahashi, "An Enhancement of the Bisection Method Average Performance Preserving
//! Minmax Optimality", ACM Transactions on Mathematical Software 47(1), 2020, article 5.

/// How many steps bisection may be overstepped by.
const SLACK: i32 = 1;

/// A zero of `f` between `from` and `to`, to within `tolerance` in its argument.
///
/// The function needs a value of one sign at one end and of the other sign at the other end. If it is continuous there
/// is a zero between them; if it jumps over zero, the place of the jump is found. With several zeros one of them is
/// found, and which one is not promised: narrow the ends first.
///
/// Corner cases:
/// - zero at an end: that end (`from` first);
/// - the same sign at both ends, an end that is not finite, or a value that is not a number anywhere on the way: `None`;
/// - ends the wrong way round: taken in order;
/// - infinite values: their sign counts, and the step is a bisection;
/// - a tolerance of zero, below what the numbers can hold, or not a number: as close as the numbers allow.
///
/// ```
/// use laneside_core::solve::root;
///
/// let two = root(|x| x * x - 2.0, 0.0, 2.0, 1e-12);
/// assert!(two.is_some_and(|x| (x - 2f64.sqrt()).abs() < 1e-12));
/// assert_eq!(root(|x| x * x + 1.0, 0.0, 2.0, 1e-12), None);
/// ```
pub fn root(mut f: impl FnMut(f64) -> f64, from: f64, to: f64, tolerance: f64) -> Option<f64> {
    between(&mut f, from, to, tolerance)
}

// Behind a `dyn` so that the loop is compiled once, not once for each caller.
fn between(f: &mut dyn FnMut(f64) -> f64, from: f64, to: f64, tolerance: f64) -> Option<f64> {
    if !from.is_finite() || !to.is_finite() || !(to - from).is_finite() {
        return None;
    }
    let (at_from, at_to) = (f(from), f(to));
    if at_from == 0.0 {
        return Some(from);
    }
    if at_to == 0.0 {
        return Some(to);
    }
    if at_from.is_nan() || at_to.is_nan() || (at_from > 0.0) == (at_to > 0.0) {
        return None;
    }
    let (mut low, mut high) = if at_from < 0.0 {
        (from, to)
    } else {
        (to, from)
    };
    let (mut at_low, mut at_high) = if at_from < 0.0 {
        (at_from, at_to)
    } else {
        (at_to, at_from)
    };

    // Four spacings of the larger end keep the middle apart from both ends.
    let finest = 4.0 * f64::EPSILON * from.abs().max(to.abs()).max(f64::MIN_POSITIVE);
    let half = (0.5 * tolerance).max(finest);
    let width = (high - low).abs();
    let truncation = 0.2 / width;
    let mut allowed = half * 2f64.powi(halvings(width, 2.0 * half) + SLACK);

    // `low` is where the function is negative, which may be the right-hand end.
    while (high - low).abs() > 2.0 * half {
        let middle = low + 0.5 * (high - low);
        let secant = low - at_low * ((high - low) / (at_high - at_low));
        let next = if secant.is_finite() {
            let reach = allowed - 0.5 * (high - low).abs();
            let toward_middle = (middle - secant).signum();
            let cut = truncation * (high - low) * (high - low);
            let truncated = if cut <= (middle - secant).abs() {
                secant + toward_middle * cut
            } else {
                middle
            };
            if (truncated - middle).abs() <= reach {
                truncated
            } else {
                middle - toward_middle * reach.max(0.0)
            }
        } else {
            middle
        };
        let at_next = f(next);
        if at_next == 0.0 {
            return Some(next);
        }
        if at_next.is_nan() {
            return None;
        }
        if at_next < 0.0 {
            (low, at_low) = (next, at_next);
        } else {
            (high, at_high) = (next, at_next);
        }
        allowed *= 0.5;
    }
    Some(low + 0.5 * (high - low))
}

/// How many times `width` must be halved to come down to `target`.
fn halvings(width: f64, target: f64) -> i32 {
    let mut left = width;
    let mut count = 0;
    while left > target {
        left *= 0.5;
        count += 1;
    }
    count
}
