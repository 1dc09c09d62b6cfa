//! A root between two ends, found safely.
//!
//! Each step is inverse quadratic interpolation through the last three points where those are in a shape that makes it
//! trustworthy, and bisection where they are not: T. R. Chandrupatla, "A new hybrid quadratic/bisection algorithm for
//! finding the zero of a nonlinear function without using derivatives", Advances in Engineering Software 28(3), 1997,
//! 145-149.

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
    // `new` is the newest point, `across` the end of the bracket on the other side of zero, `old` the point left behind.
    let (mut new, mut at_new) = (to, at_to);
    let (mut across, mut at_across) = (from, at_from);
    let mut share = 0.5;
    loop {
        let next = new + share * (across - new);
        let at_next = f(next);
        if at_next.is_nan() {
            return None;
        }
        let (old, at_old) = if (at_next > 0.0) == (at_new > 0.0) {
            (new, at_new)
        } else {
            let old = (across, at_across);
            (across, at_across) = (new, at_new);
            old
        };
        (new, at_new) = (next, at_next);

        let (best, at_best) = if at_new.abs() < at_across.abs() {
            (new, at_new)
        } else {
            (across, at_across)
        };
        let width = (across - new).abs();
        // Two spacings of the numbers here: closer ends have no number between them.
        let closest = (0.5 * tolerance)
            .max(2.0 * f64::EPSILON * best.abs())
            .max(f64::MIN_POSITIVE);
        if at_best == 0.0 || width <= 2.0 * closest {
            return Some(best);
        }
        let least = closest / width;
        share = quadratic_share((new, at_new), (across, at_across), (old, at_old))
            .map_or(0.5, |share| share.clamp(least, 1.0 - least));
    }
}

/// The share of the way from `new` to `across` at which the inverse parabola through the three points is zero. `None`
/// where it would not be a single-valued curve between them, or is not finite.
fn quadratic_share(new: (f64, f64), across: (f64, f64), old: (f64, f64)) -> Option<f64> {
    let ((x1, f1), (x2, f2), (x3, f3)) = (new, across, old);
    let xi = (x1 - x2) / (x3 - x2);
    let phi = (f1 - f2) / (f3 - f2);
    if phi * phi >= xi || (1.0 - phi) * (1.0 - phi) >= 1.0 - xi {
        return None;
    }
    let share = f1 / (f2 - f1) * (f3 / (f2 - f3))
        + (x3 - x1) / (x2 - x1) * (f1 / (f3 - f1)) * (f2 / (f3 - f2));
    share.is_finite().then_some(share)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use std::f64::consts::{FRAC_PI_2, LN_2};

    type Function = fn(f64) -> f64;

    /// Verification: roots known in closed form, from either side and with the ends either way round.
    #[test]
    fn known_roots_are_found() {
        let cases: [(Function, f64, f64, f64); 9] = [
            (|x| x * x - 2.0, 0.0, 2.0, 2f64.sqrt()),
            (|x| 2.0 - x * x, 0.0, 2.0, 2f64.sqrt()),
            (|x| x.powi(3) - x - 2.0, 1.0, 2.0, 1.521_379_706_804_567_7),
            (f64::cos, 0.0, 3.0, FRAC_PI_2),
            (|x| x.exp() - 2.0, -100.0, 100.0, LN_2),
            (|x| (x - 7.0).powi(9), 0.0, 10.0, 7.0),
            (|x| (x - 1e-3).cbrt(), -1.0, 5.0, 1e-3),
            (|x| 1.0 / (x - 4.0), 3.0, 6.0, 4.0),
            (|x| if x < 0.3 { -1.0 } else { 1e9 }, 0.0, 1.0, 0.3),
        ];
        for (at, (f, from, to, wanted)) in cases.into_iter().enumerate() {
            for (from, to) in [(from, to), (to, from)] {
                let found = root(f, from, to, 1e-10).unwrap();
                assert!(
                    (found - wanted).abs() <= 1e-10,
                    "case {at}: {found} is not {wanted}"
                );
            }
        }
    }

    #[test]
    fn a_zero_at_an_end_is_that_end() {
        assert_eq!(root(|x| x - 1.0, 1.0, 5.0, 1e-9), Some(1.0));
        assert_eq!(root(|x| x - 5.0, 1.0, 5.0, 1e-9), Some(5.0));
        assert_eq!(root(|_| 0.0, 1.0, 5.0, 1e-9), Some(1.0));
        assert_eq!(root(|x| x, 0.0, 0.0, 1e-9), Some(0.0));
    }

    #[test]
    fn no_change_of_sign_is_no_root() {
        assert_eq!(root(|x| x * x + 1.0, -1.0, 1.0, 1e-9), None);
        assert_eq!(root(|x| -x * x - 1.0, -1.0, 1.0, 1e-9), None);
        assert_eq!(root(|x| x - 3.0, 1.0, 1.0, 1e-9), None);
    }

    #[test]
    fn what_is_not_a_number_is_no_root() {
        assert_eq!(root(|_| f64::NAN, 0.0, 1.0, 1e-9), None);
        assert_eq!(
            root(|x| if x > 0.5 { f64::NAN } else { x - 0.7 }, 0.0, 1.0, 1e-9),
            None
        );
        assert_eq!(
            root(
                |x| if x == 0.0 || x == 1.0 {
                    x - 0.7
                } else {
                    f64::NAN
                },
                0.0,
                1.0,
                1e-9
            ),
            None
        );
        assert_eq!(root(|x| x, f64::NAN, 1.0, 1e-9), None);
        assert_eq!(root(|x| x, -1.0, f64::INFINITY, 1e-9), None);
        assert_eq!(root(|x| x, -f64::MAX, f64::MAX, 1e-9), None);
    }

    #[test]
    fn infinite_values_count_by_their_sign() {
        let found = root(
            |x| {
                if x < 2.0 {
                    f64::NEG_INFINITY
                } else {
                    f64::INFINITY
                }
            },
            0.0,
            9.0,
            1e-9,
        )
        .unwrap();
        assert!((found - 2.0).abs() <= 1e-9);
    }

    #[test]
    fn a_tolerance_out_of_reach_still_ends() {
        for tolerance in [0.0, -1.0, 1e-300, f64::NAN] {
            let found = root(|x| x * x - 2.0, 0.0, 2.0, tolerance).unwrap();
            assert!((found - 2f64.sqrt()).abs() <= 1e-14);
        }
    }

    fn evaluations(f: Function, from: f64, to: f64) -> u32 {
        let mut count = 0;
        let counted = |x| {
            count += 1;
            f(x)
        };
        root(counted, from, to, 1e-10).unwrap();
        count
    }

    /// Bisection alone would take 37 steps from a width of 10 to 1e-10.
    #[test]
    fn smooth_functions_take_few_evaluations_and_hard_ones_little_more_than_bisection() {
        let smooth: [(Function, u32); 5] = [
            (|x| x.exp() - 20.0, 11),
            (|x| x * x - 2.0, 11),
            (|x| 1.0 / (x + 1e-3) - 3.0, 13),
            (|x| (50.0 * (x - 7.1)).atan(), 16),
            (|x| (40.0 * (x - 7.0)).exp() - 1e-6, 16),
        ];
        for (at, (f, most)) in smooth.into_iter().enumerate() {
            let count = evaluations(f, 0.0, 10.0);
            assert!(count <= most, "case {at}: {count}");
        }
        let hard: [Function; 3] = [
            |x| (x - 7.0).powi(9),
            |x| (x - 7.0).signum(),
            |x| if x < 7.123 { -1e-12 } else { x - 7.0 },
        ];
        for f in hard {
            let count = evaluations(f, 0.0, 10.0);
            assert!(count <= 45, "{count}");
        }
    }

    #[test]
    fn a_zero_that_is_hit_ends_the_search() {
        assert_eq!(root(|x| x - 1.0, 0.0, 2.0, 1e-3), Some(1.0));
        assert_eq!(evaluations(|x| x - 1.0, 0.0, 2.0), 3);
    }

    #[test]
    fn the_better_end_of_the_last_bracket_is_given() {
        let found = root(|x| x * x - 2.0, 0.0, 2.0, 0.1).unwrap();
        let either_side = [found - 0.1, found + 0.1].map(|x| (x * x - 2.0).abs());
        assert!((found * found - 2.0).abs() < either_side[0].min(either_side[1]));
        let jump = root(|x| if x < 0.3 { -1.0 } else { 1e9 }, 0.0, 1.0, 0.1).unwrap();
        assert!(jump < 0.3);
    }

    #[test]
    fn a_jump_at_zero_ends_however_fine_the_tolerance() {
        let found = root(|x| if x <= 0.0 { -1.0 } else { 1.0 }, -1.0, 2.0, 0.0).unwrap();
        assert!(found.abs() <= 1e-300);
    }

    proptest! {
        #[test]
        fn the_root_of_any_cubic_that_rises_is_found(
            at in -1e3..1e3f64, scale in 1e-6..1e6f64, below in 1e-3..1e3f64, above in 1e-3..1e3f64,
        ) {
            let f = |x: f64| scale * ((x - at) + (x - at).powi(3));
            let found = root(f, at - below, at + above, 1e-9).unwrap();
            prop_assert!((found - at).abs() <= 1e-9);
        }

        #[test]
        fn any_numbers_at_all_end_in_an_answer(values in prop::collection::vec(any::<f64>(), 1..60),
            from in any::<f64>(), to in any::<f64>(), tolerance in any::<f64>()) {
            let mut next = 0;
            let f = |_| {
                next += 1;
                assert!(next < 10_000, "no end");
                values[next % values.len()]
            };
            if let Some(found) = root(f, from, to, tolerance) {
                prop_assert!(from.min(to) <= found && found <= from.max(to));
            }
        }
    }
}
