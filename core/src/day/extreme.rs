//! The lowest or highest voltage within a step, which need not be at its ends.

/// A voltage is of interest if it may be an extreme once it is looked at closely, V.
const NEAR_V: f64 = 5e-3;
/// How well an extreme is known, V.
const KNOWN_V: f64 = 2e-4;
/// How far into an end's part of a step it is looked whether the voltage goes on beyond it.
const PEEK: f64 = 0.1;
/// One less the golden section.
const SECTION: f64 = 0.381_966_011_250_105;
const MOST_LOOKS: u32 = 24;

/// Where between known places (rising, with their values) a lower value lies than at any of
/// them, unless it cannot come under `best`. A highest value is a lowest one of another sign.
pub(super) fn lower(
    known: &[(f64, f64)],
    best: f64,
    mut value: impl FnMut(f64) -> f64,
) -> Option<f64> {
    let (at, lowest) = known
        .iter()
        .enumerate()
        .min_by(|one, other| one.1.1.total_cmp(&other.1.1))?;
    if lowest.1 > best + NEAR_V {
        return None;
    }
    let before = at.checked_sub(1).and_then(|at| known.get(at));
    let after = known.get(at + 1);
    for (side, other) in [(before, after), (after, before)] {
        if let (Some(side), None) = (side, other)
            && value(lowest.0 + PEEK * (side.0 - lowest.0)) >= lowest.1
        {
            return None;
        }
    }
    let mut low = before.unwrap_or(lowest).0;
    let mut high = after.unwrap_or(lowest).0;
    let mut one = low + SECTION * (high - low);
    let mut two = high - SECTION * (high - low);
    let (mut at_one, mut at_two) = (value(one), value(two));
    for _ in 0..MOST_LOOKS {
        let is_left = at_one < at_two;
        let ends = if is_left {
            at_two - at_one
        } else {
            at_one - at_two
        };
        if ends < KNOWN_V && at_one.min(at_two) < lowest.1 + KNOWN_V {
            break;
        }
        if is_left {
            high = two;
            (two, at_two) = (one, at_one);
            one = low + SECTION * (high - low);
            at_one = value(one);
        } else {
            low = one;
            (one, at_one) = (two, at_two);
            two = high - SECTION * (high - low);
            at_two = value(two);
        }
    }
    let (place, found) = if at_one < at_two {
        (one, at_one)
    } else {
        (two, at_two)
    };
    (found < lowest.1 && found < best).then_some(place)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_dip_between_is_found_and_an_end_is_left_alone() {
        let dip = |x: f64| (x - 0.42).powi(2);
        let known = [0.0, 0.3, 0.6, 1.0].map(|x| (x, dip(x)));
        let found = lower(&known, 1.0, dip);
        assert!(found.is_some_and(|x| dip(x) < KNOWN_V), "{found:?}");
        let sharp = |x: f64| (x - 0.07).abs();
        let known = [0.0, 0.5, 1.0].map(|x| (x, sharp(x)));
        assert!(lower(&known, 1.0, sharp).is_some_and(|x| sharp(x) < 1e-3));
        let known = [0.0, 0.5, 1.0].map(|x| (x, x));
        assert_eq!(lower(&known, 1.0, |x| x), None);
        // What cannot come under the best is not looked at.
        let known = [0.0, 0.3, 0.6].map(|x| (x, 1.0 + dip(x)));
        assert_eq!(lower(&known, 0.5, |_| f64::NAN), None);
    }
}
