//! The belt's closed way over circles.
//!
//! Counter-clockwise with y up. A pulley under the ribs turns with the belt (`s = +1`), one
//! under the back against it (`s = -1`). From one circle to the next, `k = s2 r2 - s1 r1`:
//! the span is `sqrt(c^2 - k^2)` long and runs in the direction `phi + asin(-k/c)`, `phi` being
//! the direction from center to center. The wrap of a pulley is `s (out - in)` modulo a turn,
//! the length is the spans and `r wrap` of each.
//!
//! Corner cases:
//! - one circle, or none: no path; two circles both under ribs are the ordinary open belt;
//! - the signed wraps of a belt that closes add up to one turn; two turns or none mean that the
//!   order is not the belt's, and where the order turned round gives a belt, that it was entered
//!   clockwise;
//! - a wrap of more than 270 degrees is what is left of a turn when the belt misses the pulley;
//! - a belt that would have to run through a pulley it passes, or through itself, is none.

use std::f64::consts::{FRAC_PI_2, TAU};

use thiserror::Error;

use super::layout::{Point, Side};
use crate::data::belt_memory::BACK_LINE_MM;

/// More wrap than this means that the belt misses the pulley.
const UNTOUCHED: f64 = 3.0 * FRAC_PI_2;
/// What rounding may leave over, radians.
const ROUNDING: f64 = 1e-9;
/// Least number of pulleys of a belt.
const LEAST: usize = 2;

/// A circle that the belt's effective line runs over.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wheel {
    /// Its center.
    pub at: Point,
    /// Radius of the effective line, mm.
    pub radius_mm: f64,
    /// Side of the belt that lies on it.
    pub side: Side,
}

/// Why there is no belt over these circles. Pulleys count from 0 in the order given.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum PathError {
    /// Fewer than two pulleys.
    #[error("a belt needs two pulleys")]
    TooFew,
    /// A place or a radius that is no number, or a radius of nothing.
    #[error("pulley {pulley} has no size or place")]
    NoSize {
        /// The pulley.
        pulley: usize,
    },
    /// Two pulleys lie in each other.
    #[error("pulleys {first} and {second} overlap")]
    Overlap {
        /// One.
        first: usize,
        /// The other.
        second: usize,
    },
    /// No straight span touches both: there is no room for the belt between them.
    #[error("no span from pulley {from} to pulley {to}")]
    Unreachable {
        /// The span's beginning.
        from: usize,
        /// The span's end.
        to: usize,
    },
    /// The belt misses a pulley.
    #[error("the belt does not touch pulley {pulley}")]
    Untouched {
        /// The pulley.
        pulley: usize,
    },
    /// The pulleys were given clockwise: turn their order round.
    #[error("clockwise")]
    Clockwise,
    /// The belt goes around more or less than once: the order is not the belt's.
    #[error("wrong order: the belt goes around {turns} times")]
    WrongOrder {
        /// How many times.
        turns: i32,
    },
    /// Two spans cross.
    #[error("the spans after pulleys {first} and {second} cross")]
    Crossed {
        /// Pulley before one span.
        first: usize,
        /// Pulley before the other.
        second: usize,
    },
    /// A span runs through a pulley.
    #[error("the span after pulley {span} runs through pulley {pulley}")]
    Through {
        /// Pulley before the span.
        span: usize,
        /// The pulley in its way.
        pulley: usize,
    },
}

/// A straight piece of belt.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Span {
    /// Where it leaves the pulley before.
    pub from: Point,
    /// Where it reaches the pulley after.
    pub to: Point,
    /// Length, mm.
    pub length_mm: f64,
    /// Direction, counter-clockwise from x, radians.
    pub direction: f64,
}

/// A piece of belt around a pulley.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Arc {
    /// The circle.
    pub wheel: Wheel,
    /// Wrap, radians.
    pub wrap: f64,
    /// Direction from the center to where the belt arrives, radians; from there it goes
    /// counter-clockwise under ribs, clockwise under the back.
    pub from_angle: f64,
}

impl Arc {
    /// Length of belt on the pulley, mm.
    pub fn length_mm(&self) -> f64 {
        self.wheel.radius_mm * self.wrap
    }

    /// Whether the belt lies on the pulley in this direction from its center.
    pub(super) fn covers(&self, angle: f64) -> bool {
        let along = self.wheel.side.sign() * (angle - self.from_angle);
        along.rem_euclid(TAU) <= self.wrap
    }
}

/// A belt that closes.
#[derive(Clone, Debug, PartialEq)]
pub struct Path {
    /// On each pulley, in order.
    pub arcs: Vec<Arc>,
    /// After each pulley, in order.
    pub spans: Vec<Span>,
    /// All of it, mm.
    pub length_mm: f64,
}

impl Path {
    /// The belt over circles in its order.
    ///
    /// # Errors
    /// [`PathError`]: there is none, and why.
    ///
    /// ```
    /// use laneside_core::belt::{Path, Point, Side, Wheel};
    ///
    /// let wheel = |x_mm, diameter_mm| Wheel {
    ///     at: Point::new(x_mm, 0.0),
    ///     radius_mm: diameter_mm / 2.0,
    ///     side: Side::Ribs,
    /// };
    /// let path = Path::new(&[wheel(0.0, 150.0), wheel(300.0, 60.0)])?;
    /// assert!((path.length_mm - 936.63).abs() < 0.005);
    /// assert!((path.arcs[1].wrap.to_degrees() - 162.75).abs() < 0.005);
    /// # Ok::<(), laneside_core::belt::PathError>(())
    /// ```
    pub fn new(wheels: &[Wheel]) -> Result<Self, PathError> {
        check(wheels)?;
        Self::around(wheels).map_err(|error| {
            let reversed: Vec<Wheel> = wheels.iter().rev().copied().collect();
            match Self::around(&reversed) {
                Ok(_) => PathError::Clockwise,
                Err(_) => error,
            }
        })
    }

    fn around(wheels: &[Wheel]) -> Result<Self, PathError> {
        let count = wheels.len();
        let next = |at: usize| (at + 1) % count;
        let spans = wheels
            .iter()
            .enumerate()
            .map(|(at, wheel)| {
                span(wheel, &wheels[next(at)]).ok_or(PathError::Unreachable {
                    from: at,
                    to: next(at),
                })
            })
            .collect::<Result<Vec<_>, _>>()?;
        let arcs: Vec<Arc> = wheels
            .iter()
            .enumerate()
            .map(|(at, wheel)| {
                let (arriving, leaving) = (&spans[(at + count - 1) % count], &spans[at]);
                let sign = wheel.side.sign();
                let wrap = (sign * (leaving.direction - arriving.direction)).rem_euclid(TAU);
                Arc {
                    wheel: *wheel,
                    // Just missing a turn is nothing, missed by rounding.
                    wrap: if TAU - wrap < ROUNDING { 0.0 } else { wrap },
                    from_angle: arriving.direction - sign * FRAC_PI_2,
                }
            })
            .collect();
        check_closed(&arcs)?;
        check_clear(&arcs, &spans)?;
        let length_mm = spans.iter().map(|span| span.length_mm).sum::<f64>()
            + arcs.iter().map(Arc::length_mm).sum::<f64>();
        Ok(Self {
            arcs,
            spans,
            length_mm,
        })
    }
}

fn check(wheels: &[Wheel]) -> Result<(), PathError> {
    if wheels.len() < LEAST {
        return Err(PathError::TooFew);
    }
    for (pulley, wheel) in wheels.iter().enumerate() {
        let is_sized = wheel.at.is_finite() && wheel.radius_mm.is_finite() && wheel.radius_mm > 0.0;
        if !is_sized {
            return Err(PathError::NoSize { pulley });
        }
    }
    for (second, wheel) in wheels.iter().enumerate() {
        for (first, other) in wheels.iter().enumerate().take(second) {
            if wheel.at.distance_mm(other.at) <= body_mm(wheel) + body_mm(other) {
                return Err(PathError::Overlap { first, second });
            }
        }
    }
    Ok(())
}

/// Radius of the pulley itself, mm: the belt's effective line runs clear of a bare one.
fn body_mm(wheel: &Wheel) -> f64 {
    match wheel.side {
        Side::Ribs => wheel.radius_mm,
        Side::Back => (wheel.radius_mm - BACK_LINE_MM.value).max(0.0),
    }
}

/// The straight piece from one circle to the next.
fn span(from: &Wheel, to: &Wheel) -> Option<Span> {
    let between = from.at.to(to.at);
    let c = between.x_mm.hypot(between.y_mm);
    let k = to.side.sign() * to.radius_mm - from.side.sign() * from.radius_mm;
    if c <= k.abs() {
        return None;
    }
    let direction = between.direction() + (-k / c).asin();
    // The pulley under the ribs lies to the left of the belt.
    let touches = |wheel: &Wheel| {
        let outward = direction - wheel.side.sign() * FRAC_PI_2;
        wheel.at.toward(outward, wheel.radius_mm)
    };
    Some(Span {
        from: touches(from),
        to: touches(to),
        length_mm: ((c - k) * (c + k)).sqrt(),
        direction,
    })
}

/// The belt has to go around once, and to touch every pulley.
fn check_closed(arcs: &[Arc]) -> Result<(), PathError> {
    let is_missed = |arc: &Arc| arc.wrap > UNTOUCHED || arc.wrap <= ROUNDING;
    let around = |arc: &Arc| arc.wheel.side.sign() * arc.wrap;
    let signed: f64 = arcs.iter().map(around).sum();
    // A pulley that the belt misses counts nearly a turn; the belt without it goes around once.
    let without: f64 = arcs
        .iter()
        .map(|arc| match arc.wrap > UNTOUCHED {
            true => around(arc) - arc.wheel.side.sign() * TAU,
            false => around(arc),
        })
        .sum();
    let once = |radians: f64| (radians / TAU).round() == 1.0;
    match arcs.iter().position(is_missed) {
        Some(pulley) if once(without) => Err(PathError::Untouched { pulley }),
        None if once(signed) => Ok(()),
        _ => Err(PathError::WrongOrder {
            turns: (signed / TAU).round() as i32,
        }),
    }
}

/// The belt must not cross itself, nor run through pulleys that it passes.
fn check_clear(arcs: &[Arc], spans: &[Span]) -> Result<(), PathError> {
    let count = spans.len();
    for (second, span) in spans.iter().enumerate() {
        for (first, other) in spans.iter().enumerate().take(second) {
            if cross(span, other) {
                return Err(PathError::Crossed { first, second });
            }
        }
    }
    for (span, straight) in spans.iter().enumerate() {
        for (pulley, arc) in arcs.iter().enumerate() {
            let is_end = pulley == span || pulley == (span + 1) % count;
            let apart = to_segment_mm(arc.wheel.at, straight.from, straight.to);
            if !is_end && apart < arc.wheel.radius_mm * (1.0 - ROUNDING) {
                return Err(PathError::Through { span, pulley });
            }
        }
    }
    Ok(())
}

fn cross(one: &Span, other: &Span) -> bool {
    let side = |span: &Span, point: Point| span.from.to(span.to).cross(span.from.to(point));
    side(one, other.from) * side(one, other.to) < 0.0
        && side(other, one.from) * side(other, one.to) < 0.0
}

/// Distance from a point to a straight piece, mm.
pub(super) fn to_segment_mm(point: Point, from: Point, to: Point) -> f64 {
    let along = from.to(to);
    let length = along.dot(along);
    let share = if length > 0.0 {
        (from.to(point).dot(along) / length).clamp(0.0, 1.0)
    } else {
        0.0
    };
    let foot = Point::new(
        from.x_mm + share * along.x_mm,
        from.y_mm + share * along.y_mm,
    );
    point.distance_mm(foot)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use std::f64::consts::PI;

    fn wheel(x_mm: f64, y_mm: f64, radius_mm: f64) -> Wheel {
        Wheel {
            at: Point::new(x_mm, y_mm),
            radius_mm,
            side: Side::Ribs,
        }
    }

    /// Verification: spans as long as the sides, and one turn in all.
    #[test]
    fn a_belt_over_a_rectangle_of_equal_pulleys() {
        let corners = [(0.0, 0.0), (300.0, 0.0), (300.0, 200.0), (0.0, 200.0)];
        let path = Path::new(&corners.map(|(x, y)| wheel(x, y, 40.0))).unwrap();
        assert!((path.length_mm - (1_000.0 + 80.0 * PI)).abs() < 1e-9);
        for (arc, span_mm) in path.arcs.iter().zip([300.0, 200.0, 300.0, 200.0]) {
            assert!((arc.wrap - PI / 2.0).abs() < 1e-12);
            // It lies on the corner's outside.
            let out = (arc.wheel.at.y_mm - 100.0).atan2(arc.wheel.at.x_mm - 150.0);
            assert!(arc.covers(out) && !arc.covers(out + PI));

            let span = path
                .spans
                .iter()
                .find(|span| (span.length_mm - span_mm).abs() < 1e-9);
            assert!(span.is_some());
        }
    }

    #[test]
    fn what_no_belt_goes_around_says_why() {
        let [a, b, c] = [
            wheel(0.0, 0.0, 20.0),
            wheel(400.0, 0.0, 20.0),
            wheel(200.0, 300.0, 20.0),
        ];
        assert!(Path::new(&[a, b, c]).is_ok());
        assert_eq!(Path::new(&[a, c, b]), Err(PathError::Clockwise));
        let inside = wheel(200.0, 100.0, 10.0);
        assert_eq!(
            Path::new(&[a, b, c, inside]),
            Err(PathError::Untouched { pulley: 3 })
        );
        // Twice around, the second time within the first.
        let within = [(120.0, 60.0), (280.0, 60.0), (200.0, 180.0)];
        let [d, e, f] = within.map(|(x, y)| wheel(x, y, 10.0));
        assert_eq!(
            Path::new(&[a, b, c, d, e, f]),
            Err(PathError::WrongOrder { turns: 2 })
        );
        // Pressed in on the way up so far that the belt to it runs through the lowest span.
        let pressed = Wheel {
            side: Side::Back,
            ..wheel(200.0, 60.0, 100.0)
        };
        assert_eq!(
            Path::new(&[a, b, pressed, c]),
            Err(PathError::Crossed {
                first: 0,
                second: 1
            })
        );
    }

    #[test]
    fn pieces_cross_only_where_each_is_on_both_sides_of_the_other() {
        let span = |from: (f64, f64), to: (f64, f64)| Span {
            from: Point::new(from.0, from.1),
            to: Point::new(to.0, to.1),
            length_mm: 0.0,
            direction: 0.0,
        };
        let flat = span((0.0, 0.0), (10.0, 0.0));
        assert!(cross(&flat, &span((4.0, -3.0), (6.0, 5.0))));
        assert!(!cross(&flat, &span((14.0, -3.0), (16.0, 5.0))));
        assert!(!cross(&flat, &span((4.0, 3.0), (6.0, 5.0))));
        // One that ends on it, from either side and either way round.
        for end in [3.0, -3.0] {
            assert!(!cross(&flat, &span((4.0, end), (4.0, 0.0))));
            assert!(!cross(&flat, &span((4.0, 0.0), (4.0, end))));
            assert!(!cross(&span((4.0, end), (4.0, 0.0)), &flat));
        }
    }

    #[test]
    fn distance_to_a_straight_piece() {
        let (from, to) = (Point::new(1.0, 2.0), Point::new(7.0, 10.0));
        // Its middle is (4, 6), and across it lies (-4, 3).
        for (point, wanted) in [
            ((0.0, 9.0), 5.0),
            ((8.0, 3.0), 5.0),
            ((1.0, -1.0), 3.0),
            ((10.0, 14.0), 5.0),
        ] {
            let found = to_segment_mm(Point::new(point.0, point.1), from, to);
            assert!((found - wanted).abs() < 1e-12, "{point:?}: {found}");
        }
    }
}
