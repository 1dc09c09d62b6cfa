//! Weighted least squares of centers over distances: Levenberg's damped steps on the normal
//! equations.

use super::dense::Square;
use super::layout::{Point, Tape};

/// Least that counts as a tape's half-width, mm: an exact distance is one within this.
const LEAST_HALF_WIDTH_MM: f64 = 1e-3;

/// Centers moved to where they agree with changed distances; `None` if they cannot.
pub(super) fn replaced(centers: &[Point], tapes: &[Tape]) -> Option<Vec<Point>> {
    refine(centers, tapes).map(|(centers, _)| centers)
}

pub(super) fn half_width(tape: &Tape) -> f64 {
    tape.half_width_mm.max(LEAST_HALF_WIDTH_MM)
}

/// Weight of a distance: a half-width is two standard deviations (JCGM 100:2008 5.1.2).
fn weight(tape: &Tape) -> f64 {
    4.0 / half_width(tape).powi(2)
}

/// Unknowns: y of the second pulley is held, and both of the first.
pub(super) fn unknown(pulley: usize, is_y: bool) -> Option<usize> {
    match (pulley, is_y) {
        (0, _) | (1, true) => None,
        (1, false) => Some(0),
        _ => Some(2 * pulley - 3 + usize::from(is_y)),
    }
}

/// Normal equations, right side and weighted sum of squares.
pub(super) fn normal(centers: &[Point], tapes: &[Tape]) -> (Square, Vec<f64>, f64) {
    let size = 2 * centers.len() - 3;
    let mut matrix = Square::zero(size);
    let mut right = vec![0.0; size];
    let mut squares = 0.0;
    for tape in tapes {
        let between = centers[tape.from].to(centers[tape.to]);
        let solved = between.x_mm.hypot(between.y_mm).max(1e-9);
        let residual = solved - tape.distance_mm;
        squares += weight(tape) * residual * residual;
        let (ux, uy) = (between.x_mm / solved, between.y_mm / solved);
        let slopes = [
            (unknown(tape.to, false), ux),
            (unknown(tape.to, true), uy),
            (unknown(tape.from, false), -ux),
            (unknown(tape.from, true), -uy),
        ];
        for (row, slope) in slopes {
            let Some(row) = row else { continue };
            right[row] -= weight(tape) * slope * residual;
            for (column, other) in slopes {
                if let Some(column) = column {
                    matrix.add(row, column, weight(tape) * slope * other);
                }
            }
        }
    }
    (matrix, right, squares)
}

/// Turned so that the first is the origin and the second to its right.
fn turned(centers: &[Point]) -> Vec<Point> {
    let axis = centers[0].to(centers[1]);
    let (sin, cos) = axis.direction().sin_cos();
    centers
        .iter()
        .map(|center| {
            let from = centers[0].to(*center);
            Point::new(
                cos * from.x_mm + sin * from.y_mm,
                cos * from.y_mm - sin * from.x_mm,
            )
        })
        .collect()
}

/// Least squares from a start; the weighted sum of squares left over.
pub(super) fn refine(start: &[Point], tapes: &[Tape]) -> Option<(Vec<Point>, f64)> {
    let mut centers = turned(start);
    let (mut matrix, mut right, mut squares) = normal(&centers, tapes);
    let mut damping = 1e-3;
    for _ in 0..200 {
        let mut damped = matrix.clone();
        for at in 0..damped.size {
            damped.add(at, at, damping * matrix.at(at, at).max(1e-12));
        }
        let step = damped.factor()?.solve(&right);
        let tried: Vec<Point> = centers
            .iter()
            .enumerate()
            .map(|(pulley, center)| {
                let moved = |is_y| unknown(pulley, is_y).map_or(0.0, |at| step[at]);
                Point::new(center.x_mm + moved(false), center.y_mm + moved(true))
            })
            .collect();
        let next = normal(&tried, tapes);
        if next.2.is_finite() && next.2 <= squares {
            let longest = step.iter().fold(0.0_f64, |most, part| most.max(part.abs()));
            centers = tried;
            (matrix, right, squares) = next;
            damping = (damping * 0.1).max(1e-15);
            if longest < 1e-10 {
                break;
            }
        } else {
            damping *= 10.0;
            if damping > 1e12 {
                break;
            }
        }
    }
    Some((turned(&centers), squares))
}
