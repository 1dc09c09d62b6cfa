//! Places of pulleys from distances between their centers.
//!
//! The first pulley is the origin and the second lies on the x axis; what is left is found by
//! weighted least squares (Levenberg's damped steps on the normal equations). A start is laid
//! out pulley by pulley from two distances each. Every pulley so placed could lie on either
//! side of the line through the two it was measured from: all sides that agree with the
//! distances are kept, and what tells them apart is asked.
//!
//! Corner cases:
//! - the mirror image of everything agrees with any distances: it is always one of the answers,
//!   and the belt's order or one question rules it out;
//! - a pulley without two distances to placed ones is not fixed;
//! - pulleys nearly in line: fine along the line, poor across it; said by the standard error
//!   and by `shaky`;
//! - distances that contradict each other: the one that is off most is named.

use thiserror::Error;

use super::layout::{Point, SideAnswer, Tape};
use super::least_squares::{half_width, normal, refine, unknown};

/// Sum of squares over the best's up to which other sides still agree with the distances.
const AGREES: f64 = 9.0;
/// How many half-widths a distance may be off.
const CONTRADICTS: f64 = 2.0;
/// Places closer than this are the same, mm.
const SAME_MM: f64 = 0.5;
/// A place is shaky where it is this many times as uncertain as the tape.
const SHAKY: f64 = 4.0;
/// More pulleys than this are no belt drive, and sides would be too many to try.
const MOST: usize = 10;

/// Why distances give no places. Pulleys and tapes count from 0.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum PlaceError {
    /// Fewer than two pulleys, or more than ten.
    #[error("two to ten pulleys are needed")]
    Count,
    /// A distance names a pulley that is not there, or one twice, or is no positive number.
    #[error("distance {tape} is none")]
    NoDistance {
        /// The distance.
        tape: usize,
    },
    /// Too few distances to this pulley.
    #[error("pulley {pulley} needs another distance")]
    NotFixed {
        /// The pulley.
        pulley: usize,
    },
    /// Distances contradict each other; this one is off most.
    #[error("distance {tape} is off by {off_mm} mm")]
    Contradicts {
        /// The distance.
        tape: usize,
        /// Solved less measured, mm.
        off_mm: f64,
    },
    /// No places agree with the sides answered.
    #[error("the sides answered contradict the distances")]
    Sides,
}

/// On which side of a line does a pulley lie? Asked where the distances cannot tell.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SideQuestion {
    /// The pulley.
    pub pulley: usize,
    /// Looking from this one ...
    pub from: usize,
    /// ... to this one: left or right?
    pub to: usize,
}

/// Places that agree with the distances.
#[derive(Clone, Debug, PartialEq)]
pub struct Placement {
    /// The centers: the first pulley at the origin, the second to its right.
    pub centers: Vec<Point>,
    /// Solved less measured of each distance, mm.
    pub residuals_mm: Vec<f64>,
    /// Covariance of each center: variance of x, covariance, variance of y, mm2.
    pub covariances: Vec<[f64; 3]>,
    /// 95 % half-width of each center in its worst direction, mm.
    pub half_widths_mm: Vec<f64>,
    /// Square root of the ratio of the largest to the smallest eigenvalue of the normal
    /// equations: about 1 to 10 is well conditioned.
    pub condition: f64,
    /// Pulleys whose place the distances fix poorly: they are nearly in line with those they
    /// were measured from.
    pub shaky: Vec<usize>,
    /// Distances over what is needed.
    pub over_measured: usize,
}

/// What distances give.
#[derive(Clone, Debug, PartialEq)]
pub enum Placed {
    /// One answer.
    Solved(Box<Placement>),
    /// Several answers; the questions tell them apart.
    Ask {
        /// The answers, best first.
        answers: Vec<Placement>,
        /// Any of which narrows them down; the first halves them.
        questions: Vec<SideQuestion>,
    },
}

/// How a pulley was laid out: from which two.
type Laid = (usize, usize, usize);

/// Places of `count` pulleys from distances.
///
/// # Errors
/// [`PlaceError`]: too few or contradicting distances.
///
/// ```
/// use laneside_core::belt::{Placed, SideAnswer, Tape, place};
///
/// let tape = |from, to, distance_mm| Tape { from, to, distance_mm, half_width_mm: 1.5 };
/// let distances = [tape(0, 1, 400.0), tape(0, 2, 300.0), tape(1, 2, 500.0)];
/// let left = SideAnswer { pulley: 2, from: 0, to: 1, left: true };
/// let Ok(Placed::Solved(placed)) = place(3, &distances, &[left]) else { panic!("not solved") };
/// assert!(placed.centers[2].x_mm.abs() < 1e-6 && (placed.centers[2].y_mm - 300.0).abs() < 1e-6);
/// ```
pub fn place(count: usize, tapes: &[Tape], sides: &[SideAnswer]) -> Result<Placed, PlaceError> {
    check(count, tapes)?;
    let (pair, order) = sequence(count, tapes)?;
    let mut found = agreeing(count, tapes, pair, &order)?;
    let mirrored: Vec<Placement> = found.iter().map(mirror).collect();
    for image in mirrored {
        if !found.iter().any(|one| same(one, &image)) {
            found.push(image);
        }
    }
    found.retain(|one| sides.iter().all(|side| agrees(&one.centers, side)));
    match found.len() {
        0 => Err(PlaceError::Sides),
        1 => Ok(Placed::Solved(Box::new(found.remove(0)))),
        _ => {
            let questions = order
                .iter()
                .map(|&(pulley, from, to)| SideQuestion { pulley, from, to })
                .filter(|question| splits(&found, question))
                .collect();
            Ok(Placed::Ask {
                answers: found,
                questions,
            })
        }
    }
}

/// The place at these distances (mm) from two known ones, to the left of the line from the
/// first to the second, or to the right. `None` where the distances do not reach.
pub fn point_from_two(
    first: Point,
    second: Point,
    to_first_mm: f64,
    to_second_mm: f64,
    left: bool,
) -> Option<Point> {
    let between = first.distance_mm(second);
    let along = (between.powi(2) + to_first_mm.powi(2) - to_second_mm.powi(2)) / (2.0 * between);
    let across = to_first_mm.powi(2) - along.powi(2);
    (across >= 0.0 && along.is_finite()).then(|| {
        let direction = first.to(second).direction();
        let side = if left { 1.0 } else { -1.0 };
        first.toward(direction, along).toward(
            direction + side * std::f64::consts::FRAC_PI_2,
            across.sqrt(),
        )
    })
}

fn check(count: usize, tapes: &[Tape]) -> Result<(), PlaceError> {
    if !(2..=MOST).contains(&count) {
        return Err(PlaceError::Count);
    }
    let is_none = |tape: &Tape| {
        let is_number = tape.distance_mm.is_finite() && tape.half_width_mm.is_finite();
        tape.from == tape.to
            || tape.from.max(tape.to) >= count
            || !is_number
            || tape.distance_mm <= 0.0
            || tape.half_width_mm < 0.0
    };
    match tapes.iter().position(is_none) {
        Some(tape) => Err(PlaceError::NoDistance { tape }),
        None => Ok(()),
    }
}

fn measured(tapes: &[Tape], a: usize, b: usize) -> Option<f64> {
    let between = |tape: &&Tape| (tape.from, tape.to) == (a, b) || (tape.from, tape.to) == (b, a);
    tapes.iter().find(between).map(|tape| tape.distance_mm)
}

/// A pair to begin with, and for each other pulley the two that it is laid out from.
fn sequence(count: usize, tapes: &[Tape]) -> Result<((usize, usize), Vec<Laid>), PlaceError> {
    let mut furthest: (usize, Option<usize>) = (0, None);
    for tape in tapes {
        let pair = (tape.from.min(tape.to), tape.from.max(tape.to));
        let mut placed = vec![pair.0, pair.1];
        let mut order = Vec::new();
        while let Some(laid) = (0..count)
            .filter(|pulley| !placed.contains(pulley))
            .filter_map(|pulley| best_two(pulley, &placed, tapes))
            .max_by(|a, b| a.1.total_cmp(&b.1))
        {
            placed.push(laid.0.0);
            order.push(laid.0);
        }
        if placed.len() == count {
            return Ok((pair, order));
        }
        let missing = (0..count).find(|pulley| !placed.contains(pulley));
        if placed.len() > furthest.0 {
            furthest = (placed.len(), missing);
        }
    }
    Err(PlaceError::NotFixed {
        pulley: furthest.1.unwrap_or(0),
    })
}

/// The two placed pulleys that a pulley is best laid out from, with how well they cross.
fn best_two(pulley: usize, placed: &[usize], tapes: &[Tape]) -> Option<(Laid, f64)> {
    let known: Vec<(usize, f64)> = placed
        .iter()
        .filter_map(|&other| measured(tapes, pulley, other).map(|mm| (other, mm)))
        .collect();
    let mut best: Option<(Laid, f64)> = None;
    for (at, &(second, b)) in known.iter().enumerate() {
        for &(first, a) in known.iter().take(at) {
            // Without the third side the triangle is taken for a middling one.
            let crossing = measured(tapes, first, second).map_or(0.5, |c| {
                let cosine = (a * a + b * b - c * c) / (2.0 * a * b);
                (1.0 - cosine * cosine).max(0.0).sqrt()
            });
            if best.is_none_or(|(_, most)| crossing > most) {
                best = Some(((pulley, first, second), crossing));
            }
        }
    }
    best
}

/// All sides that agree with the distances, save mirror images of the whole.
fn agreeing(
    count: usize,
    tapes: &[Tape],
    pair: (usize, usize),
    order: &[Laid],
) -> Result<Vec<Placement>, PlaceError> {
    let mut found: Vec<(f64, Placement)> = Vec::new();
    let free_sides = order.len().saturating_sub(1);
    for choice in 0..1_usize << free_sides {
        let mut centers = vec![Point::default(); count];
        centers[pair.1].x_mm = measured(tapes, pair.0, pair.1).unwrap_or(0.0);
        for (at, &(pulley, first, second)) in order.iter().enumerate() {
            let left = at == 0 || choice >> (at - 1) & 1 == 0;
            let (a, b) = (
                measured(tapes, pulley, first).unwrap_or(0.0),
                measured(tapes, pulley, second).unwrap_or(0.0),
            );
            let (from, to) = (centers[first], centers[second]);
            centers[pulley] = point_from_two(from, to, a, b, left).unwrap_or_else(|| {
                // They do not quite reach, or reach too far: nearly in line.
                let side = if left { 1.0 } else { -1.0 };
                let share = a / (a + b)
                    * if b > a + from.distance_mm(to) {
                        -1.0
                    } else {
                        1.0
                    };
                let direction = from.to(to).direction();
                from.toward(direction, share * from.distance_mm(to))
                    .toward(direction + side, 0.05 * a)
            });
        }
        let Some((centers, squares)) = refine(&centers, tapes) else {
            continue;
        };
        let placement = described(centers, tapes);
        if !found
            .iter()
            .any(|(_, one)| same(one, &placement) || same(&mirror(one), &placement))
        {
            found.push((squares, placement));
        }
    }
    let pulley = order.last().map_or(0, |laid| laid.0);
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    let Some((least, best)) = found.first() else {
        return Err(PlaceError::NotFixed { pulley });
    };
    let off = |(tape, (residual, measured)): (usize, (&f64, &Tape))| {
        (tape, *residual, residual.abs() / half_width(measured))
    };
    let worst = best
        .residuals_mm
        .iter()
        .zip(tapes)
        .enumerate()
        .map(off)
        .max_by(|a, b| a.2.total_cmp(&b.2));
    if let Some((tape, off_mm, times)) = worst
        && times > CONTRADICTS
    {
        return Err(PlaceError::Contradicts { tape, off_mm });
    }
    let most = least + AGREES;
    found.retain(|(squares, _)| *squares <= most);
    Ok(found.into_iter().map(|(_, placement)| placement).collect())
}

fn described(centers: Vec<Point>, tapes: &[Tape]) -> Placement {
    let residuals_mm = tapes
        .iter()
        .map(|tape| centers[tape.from].distance_mm(centers[tape.to]) - tape.distance_mm)
        .collect();
    let (matrix, _, squares) = normal(&centers, tapes);
    let over_measured = tapes.len().saturating_sub(matrix.size);
    // Distances that agree worse than their tapes allow are all that much worse.
    let worse = match over_measured {
        0 => 1.0,
        freedom => (squares / freedom as f64).max(1.0),
    };
    let inverse = matrix.factor().map(|factor| factor.inverse_from_factor());
    let of = |row: Option<usize>, column: Option<usize>| match (row, column, &inverse) {
        (Some(row), Some(column), Some(inverse)) => worse * inverse.at(row, column),
        (Some(_), Some(_), None) => f64::INFINITY,
        _ => 0.0,
    };
    let covariances: Vec<[f64; 3]> = (0..centers.len())
        .map(|pulley| {
            let (x, y) = (unknown(pulley, false), unknown(pulley, true));
            [of(x, x), of(x, y), of(y, y)]
        })
        .collect();
    let half_widths_mm: Vec<f64> = covariances
        .iter()
        .map(|one| 2.0 * largest(one).sqrt())
        .collect();
    let (least, most) = matrix.extreme_eigenvalues();
    let tape_mm = tapes.iter().map(half_width).fold(0.0, f64::max);
    let shaky = (0..centers.len())
        .filter(|&pulley| half_widths_mm[pulley] > SHAKY * tape_mm * worse.sqrt())
        .collect();
    Placement {
        centers,
        residuals_mm,
        covariances,
        half_widths_mm,
        condition: if least > 0.0 {
            (most / least).sqrt()
        } else {
            f64::INFINITY
        },
        shaky,
        over_measured,
    }
}

/// Largest eigenvalue of a covariance.
fn largest([xx, xy, yy]: &[f64; 3]) -> f64 {
    0.5 * (xx + yy) + (0.5 * (xx - yy)).hypot(*xy)
}

fn mirror(placement: &Placement) -> Placement {
    let mut image = placement.clone();
    for center in &mut image.centers {
        center.y_mm = -center.y_mm;
    }
    for covariance in &mut image.covariances {
        covariance[1] = -covariance[1];
    }
    image
}

fn same(one: &Placement, other: &Placement) -> bool {
    let mut pairs = one.centers.iter().zip(&other.centers);
    pairs.all(|(a, b)| a.distance_mm(*b) < SAME_MM)
}

fn is_left(centers: &[Point], pulley: usize, from: usize, to: usize) -> Option<bool> {
    let [pulley, from, to] = [pulley, from, to].map(|at| centers.get(at).copied());
    let (pulley, from, to) = (pulley?, from?, to?);
    Some(from.to(to).cross(from.to(pulley)) > 0.0)
}

fn agrees(centers: &[Point], side: &SideAnswer) -> bool {
    is_left(centers, side.pulley, side.from, side.to).is_none_or(|left| left == side.left)
}

fn splits(found: &[Placement], question: &SideQuestion) -> bool {
    let side = |one: &Placement| is_left(&one.centers, question.pulley, question.from, question.to);
    let first = found.first().and_then(side);
    found.iter().any(|one| side(one) != first)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn tape(from: usize, to: usize, distance_mm: f64) -> Tape {
        Tape {
            from,
            to,
            distance_mm,
            half_width_mm: 1.0,
        }
    }

    #[test]
    fn what_is_no_distance_is_named() {
        let good = [tape(0, 1, 300.0), tape(0, 2, 250.0), tape(1, 2, 200.0)];
        assert_eq!(check(3, &good), Ok(()));
        let spoilt: [fn(&mut Tape); 7] = [
            |tape| tape.to = tape.from,
            |tape| tape.to = 3,
            |tape| tape.from = 3,
            |tape| tape.distance_mm = 0.0,
            |tape| tape.distance_mm = f64::NAN,
            |tape| tape.half_width_mm = -0.1,
            |tape| tape.half_width_mm = f64::INFINITY,
        ];
        for spoil in spoilt {
            let mut tapes = good;
            spoil(&mut tapes[1]);
            assert_eq!(
                check(3, &tapes),
                Err(PlaceError::NoDistance { tape: 1 }),
                "{:?}",
                tapes[1]
            );
        }
        assert_eq!(check(1, &[]), Err(PlaceError::Count));
        assert_eq!(check(11, &[]), Err(PlaceError::Count));
    }

    /// Verification: the sine of the angle at the pulley, from a known drawing.
    #[test]
    fn a_pulley_is_laid_out_from_the_two_that_cross_best() {
        let places = [
            Point::new(0.0, 0.0),
            Point::new(300.0, 0.0),
            Point::new(0.0, 400.0),
            Point::new(120.0, 150.0),
        ];
        let mut tapes = Vec::new();
        for to in 1..4 {
            for from in 0..to {
                tapes.push(tape(from, to, places[from].distance_mm(places[to])));
            }
        }
        let sine = |a: usize, b: usize| {
            let (a, b) = (places[3].to(places[a]), places[3].to(places[b]));
            (a.cross(b) / a.dot(a).sqrt() / b.dot(b).sqrt()).abs()
        };
        let (laid, crossing) = best_two(3, &[0, 1, 2], &tapes).unwrap();
        let pairs = [(0, 1), (0, 2), (1, 2)];
        let (first, second) = pairs
            .into_iter()
            .max_by(|a, b| sine(a.0, a.1).total_cmp(&sine(b.0, b.1)))
            .unwrap();
        assert_eq!(laid, (3, first, second));
        assert!((crossing - sine(first, second)).abs() < 1e-9);
        for (a, b) in pairs {
            let (_, crossing) = best_two(3, &[a, b], &tapes).unwrap();
            assert!((crossing - sine(a, b)).abs() < 1e-9);
        }
        assert_eq!(best_two(3, &[0], &tapes), None);
    }

    #[test]
    fn left_is_left_of_the_way_from_one_to_the_other() {
        let centers = [
            Point::new(0.0, 0.0),
            Point::new(10.0, 5.0),
            Point::new(2.0, 8.0),
        ];
        assert_eq!(is_left(&centers, 2, 0, 1), Some(true));
        assert_eq!(is_left(&centers, 2, 1, 0), Some(false));
        assert_eq!(is_left(&centers, 3, 0, 1), None);
        let side = |left| SideAnswer {
            pulley: 2,
            from: 0,
            to: 1,
            left,
        };
        assert!(agrees(&centers, &side(true)) && !agrees(&centers, &side(false)));
    }
}
