//! Where the mover ends up for a belt, and which belts it can take.

use super::laid::Laid;
use super::length::BeltSize;
use super::ranges::{BeltInput, Measured, Ranges};
use crate::finding::Status;
use crate::solve::root;

/// How exactly the travel is found (degrees or mm).
const EXACT: f64 = 1e-9;

/// Where the mover ends up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Settled {
    /// Here, counted from where it was measured (degrees or mm).
    At(f64),
    /// The belt is too short even with the mover all the way in, by so many mm.
    TooShort {
        /// How much is missing, mm.
        by_mm: f64,
    },
    /// The belt hangs even with the mover all the way out, by so many mm.
    TooLong {
        /// How much is over, mm.
        by_mm: f64,
    },
    /// Nothing moves, or no belt goes over the pulleys anywhere in the travel.
    Never,
}

/// Lengths of belt over the whole travel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reach {
    /// Shortest, mm.
    pub shortest_mm: f64,
    /// Longest, mm.
    pub longest_mm: f64,
}

/// The lengths that a drive takes within its travel.
pub fn reach(laid: &Laid) -> Option<Reach> {
    let lengths = laid.lengths().iter().filter_map(|(_, length)| *length);
    let ends = lengths.fold((f64::INFINITY, f64::NEG_INFINITY), |ends, length| {
        (ends.0.min(length), ends.1.max(length))
    });
    (ends.0 <= ends.1).then_some(Reach {
        shortest_mm: ends.0,
        longest_mm: ends.1,
    })
}

/// Where the mover ends up with a belt of this effective length (mm). Where several places fit,
/// the one nearest to where it was measured.
pub fn settle(laid: &Laid, length_mm: f64) -> Settled {
    let mut best: Option<f64> = None;
    for pair in laid.lengths().windows(2) {
        let [(from, Some(at_from)), (to, Some(at_to))] = pair else {
            continue;
        };
        let outside = (at_from - length_mm) * (at_to - length_mm) > 0.0;
        if outside {
            continue;
        }
        let off = |at| {
            laid.length_at(at)
                .map_or(f64::NAN, |length| length - length_mm)
        };
        if let Some(found) = root(off, *from, *to, EXACT)
            && best.is_none_or(|best| found.abs() < best.abs())
        {
            best = Some(found);
        }
    }
    if let Some(at) = best {
        return Settled::At(at);
    }
    match reach(laid) {
        Some(reach) if reach.shortest_mm > length_mm => Settled::TooShort {
            by_mm: reach.shortest_mm - length_mm,
        },
        Some(reach) if reach.longest_mm < length_mm => Settled::TooLong {
            by_mm: length_mm - reach.longest_mm,
        },
        _ => Settled::Never,
    }
}

/// How much belt the drive gives for each unit of travel (mm for each degree or mm) there.
pub fn give(laid: &Laid, at: f64) -> Option<f64> {
    let step = 1e-4;
    let (before, after) = (laid.length_at(at - step)?, laid.length_at(at + step)?);
    Some((after - before) / (2.0 * step))
}

/// Static tension that a spring arm gives the belt, N: the arm's moment (N m) does as much work
/// as the belt, `M = T dL/d(angle)`. `None` where the arm is in line with the belt's pull.
pub fn tension_from_arm(laid: &Laid, at_deg: f64, moment_nm: f64) -> Option<f64> {
    let meters_per_radian = give(laid, at_deg)? * 1e-3 * 180.0 / std::f64::consts::PI;
    let tension = moment_nm / meters_per_radian.abs();
    tension.is_finite().then_some(tension)
}

/// A length to choose from, against what the drive can take.
#[derive(Clone, Debug, PartialEq)]
pub struct Offer {
    /// The belt.
    pub belt: BeltSize,
    /// Sure to fit, possible, or not.
    pub status: Status,
    /// Where the mover ends up with a belt as long as designated.
    pub settled: Settled,
    /// Part of the travel that is behind it then, 0 to 1.
    pub of_travel: Option<f64>,
    /// Room from there to the nearer end of the reach, mm of belt; negative beyond it.
    pub room_mm: Measured,
}

/// Belts of a list that the drive to try takes. With a belt of known length on the car, the
/// drive as it is now (`on_car`) corrects for places measured wrongly.
pub fn offers(on_car: &Ranges, tried: &Ranges, belts: &[BeltSize]) -> Vec<Offer> {
    let known = on_car.nominal.layout.belt;
    let add = move |now: &Laid| known.map_or(0.0, |belt| belt.length_mm - now.path.length_mm);
    let end = |is_longest: bool| {
        let found = on_car.measure_both(tried, &|now, then| {
            let reach = reach(then)?;
            let mm = if is_longest {
                reach.longest_mm
            } else {
                reach.shortest_mm
            };
            Some(mm + add(now))
        })?;
        Some(match known {
            Some(belt) => found.widened(BeltInput::BeltLength, belt.tolerance_mm()),
            None => found,
        })
    };
    let (Some(shortest), Some(longest)) = (end(false), end(true)) else {
        return Vec::new();
    };
    let corrected = add(&on_car.nominal);
    belts
        .iter()
        .map(|belt| {
            let room = |end: &Measured, sign: f64| {
                let mut room = end.clone().widened(BeltInput::NewBelt, belt.tolerance_mm());
                room.value = sign * (end.value - belt.length_mm);
                if sign < 0.0 {
                    std::mem::swap(&mut room.spread.down, &mut room.spread.up);
                }
                room
            };
            let (above, below) = (room(&shortest, -1.0), room(&longest, 1.0));
            let judged = |room: &Measured| {
                let value = room.value;
                Status::between(room.spread.least(value), room.spread.most(value), 0.0)
            };
            let settled = settle(&tried.nominal, belt.length_mm - corrected);
            let of_travel = match (settled, &tried.nominal.layout.mover) {
                (Settled::At(at), Some(mover)) if mover.travel.0 < mover.travel.1 => {
                    Some((at - mover.travel.0) / (mover.travel.1 - mover.travel.0))
                }
                _ => None,
            };
            Offer {
                belt: *belt,
                status: judged(&above).worse(judged(&below)),
                settled,
                of_travel,
                room_mm: if above.value <= below.value {
                    above
                } else {
                    below
                },
            }
        })
        .collect()
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::belt::Template;

    /// Verification: against the lengths a tenth to either side.
    #[test]
    fn give_is_the_slope_of_the_belts_length() {
        for template in Template::ALL {
            let laid = Laid::new(&template.layout((150.0, 0.6), (60.0, 0.6))).unwrap();
            for at in [-8.0, 0.0, 6.5] {
                let near = |off: f64| laid.length_at(at + off).unwrap();
                let slope = (near(0.1) - near(-0.1)) / 0.2;
                let found = give(&laid, at).unwrap();
                assert!(
                    (found - slope).abs() < 1e-3 * slope.abs().max(0.1),
                    "{found} for {slope}"
                );
            }
        }
    }

    /// Verification: the lengths that were sampled are those of the drive that was asked, not of the one that it is made of.
    #[test]
    fn a_drive_with_its_mover_moved_counts_from_there() {
        for template in Template::ALL {
            let laid = Laid::new(&template.layout((150.0, 0.6), (60.0, 0.6))).unwrap();
            let length_mm = laid.length_at(6.0).unwrap();
            assert!(reach(&laid).is_some());
            let (Settled::At(from), Settled::At(to)) = (
                settle(&laid, length_mm),
                settle(&laid.at(2.0).unwrap(), length_mm),
            ) else {
                panic!("no place for a length that was just laid");
            };
            assert!((from - 2.0 - to).abs() < 1e-6, "{from} and {to}");
        }
    }
}
