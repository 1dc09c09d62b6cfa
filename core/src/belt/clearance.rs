//! What the belt and the rims must miss.
//!
//! The belt's effective line is what a path describes; its back lies outside of that, the tips
//! of its ribs inside. Spans flap, so they need room besides.
//!
//! Corner cases:
//! - an obstacle within the belt's loop faces the ribs, one outside faces the back; beside a
//!   backside pulley it is the other way round, which the side of the nearest piece tells;
//! - an obstacle inside a pulley's rim, or in the belt itself, has a negative gap.

use super::laid::Laid;
use super::layout::{Obstacle, Point};
use super::path::Path;
use super::ranges::{BeltInput, Measured, Ranges};
use crate::data::belt_memory::{BACK_LINE_MM, FLAP_MM, RIB_TIPS_MM, RIM_OVER_MM};
use crate::data::memory::Default as Ranged;
use crate::finding::Status;

/// Places along the travel that are looked at.
const STEPS: u32 = 24;

/// The face of the belt that an obstacle faces.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Face {
    /// The flat back.
    Back,
    /// The ribs.
    Ribs,
}

/// What an obstacle is nearest to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Nearest {
    /// The span after this pulley.
    Span(usize),
    /// The belt on this pulley.
    Arc(usize),
    /// The rim of this pulley.
    Rim(usize),
}

/// The smallest gap of one obstacle to one kind of thing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gap {
    /// What it is nearest to.
    pub nearest: Nearest,
    /// The face it faces, where it is the belt's.
    pub face: Option<Face>,
    /// Edge to edge, at rest, mm; negative if they meet.
    pub gap_mm: f64,
    /// Direction from the obstacle to what it is nearest to, counter-clockwise from x, radians.
    pub direction: f64,
}

/// Thickness of belt and rims around the effective line, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Faces {
    /// To the back.
    pub back_mm: f64,
    /// To the tips of the ribs.
    pub ribs_mm: f64,
    /// Rim over the radius entered.
    pub rim_mm: f64,
}

impl Default for Faces {
    fn default() -> Self {
        Self {
            back_mm: BACK_LINE_MM.value,
            ribs_mm: RIB_TIPS_MM.value,
            rim_mm: RIM_OVER_MM.value,
        }
    }
}

/// Gaps of an obstacle to every span, every arc and every rim.
pub fn gaps(path: &Path, laid: &Laid, obstacle: &Obstacle, faces: Faces) -> Vec<Gap> {
    let at = obstacle.at;
    let mut gaps = Vec::new();
    let face_mm = |face| match face {
        Face::Back => faces.back_mm,
        Face::Ribs => faces.ribs_mm,
    };
    for (index, span) in path.spans.iter().enumerate() {
        let along = span.from.to(span.to);
        let from = span.from.to(at);
        let share = (from.dot(along) / along.dot(along)).clamp(0.0, 1.0);
        let foot = Point::new(
            span.from.x_mm + share * along.x_mm,
            span.from.y_mm + share * along.y_mm,
        );
        // The ribs are to the left of a belt that runs counter-clockwise.
        let face = if along.cross(from) > 0.0 {
            Face::Ribs
        } else {
            Face::Back
        };
        gaps.push(Gap {
            nearest: Nearest::Span(index),
            face: Some(face),
            gap_mm: at.distance_mm(foot) - face_mm(face) - obstacle.radius_mm,
            direction: at.to(foot).direction(),
        });
    }
    for (index, arc) in path.arcs.iter().enumerate() {
        let center = arc.wheel.at;
        let apart = center.distance_mm(at);
        let inward = at.to(center).direction();
        if arc.covers(center.to(at).direction()) {
            let face = if arc.wheel.side.sign() > 0.0 {
                Face::Back
            } else {
                Face::Ribs
            };
            gaps.push(Gap {
                nearest: Nearest::Arc(index),
                face: Some(face),
                gap_mm: apart - arc.wheel.radius_mm - face_mm(face) - obstacle.radius_mm,
                direction: inward,
            });
        }
        let entered = laid
            .layout
            .pulleys
            .get(index)
            .map_or(0.0, |pulley| 0.5 * pulley.diameter_mm);
        gaps.push(Gap {
            nearest: Nearest::Rim(index),
            face: None,
            gap_mm: apart - entered - faces.rim_mm - obstacle.radius_mm,
            direction: inward,
        });
    }
    gaps
}

/// The smallest of the gaps to the belt, or to the rims.
fn smallest(
    path: &Path,
    laid: &Laid,
    obstacle: &Obstacle,
    faces: Faces,
    rims: bool,
) -> Option<Gap> {
    gaps(path, laid, obstacle, faces)
        .into_iter()
        .filter(|gap| matches!(gap.nearest, Nearest::Rim(_)) == rims)
        .min_by(|a, b| a.gap_mm.total_cmp(&b.gap_mm))
}

/// One obstacle against the belt, or against the rims.
#[derive(Clone, Debug, PartialEq)]
pub struct Clearance {
    /// Which obstacle, from 0.
    pub obstacle: usize,
    /// What it is nearest to with the belt as it lies.
    pub nearest: Gap,
    /// That gap with its spread.
    pub gap_mm: Measured,
    /// The smallest gap over the whole travel of the mover (at rest).
    pub least_in_travel_mm: f64,
    /// Room that is needed, mm: low and high end.
    pub needed_mm: (f64, f64),
    /// Whether the gap leaves it.
    pub status: Status,
}

/// Gaps of every obstacle to the belt and to the rims, with the mover where it ends up
/// (`travel`, from where it was measured).
pub fn clearances(ranges: &Ranges, travel: f64, rims: bool) -> Vec<Clearance> {
    let nominal = &ranges.nominal;
    let places = places(nominal, travel);
    let found = |index: usize, obstacle: &Obstacle| {
        let faces = Faces::default();
        let at =
            |laid: &Laid, faces| smallest(&laid.path_at(travel).ok()?, laid, obstacle, faces, rims);
        let nearest = at(nominal, faces)?;
        let gap_of = |laid: &Laid| at(laid, faces).map(|gap| gap.gap_mm);
        let mut gap_mm = ranges
            .measure(&gap_of)?
            .widened(BeltInput::Obstacle(index), obstacle.half_width_mm);
        let thickness = match (rims, nearest.face) {
            (true, _) => RIM_OVER_MM,
            (false, Some(Face::Ribs)) => RIB_TIPS_MM,
            (false, _) => BACK_LINE_MM,
        };
        let input = if rims {
            BeltInput::Rim
        } else {
            BeltInput::BeltFace
        };
        gap_mm = gap_mm.widened(input, half_range(thickness));
        let least_in_travel_mm = places
            .iter()
            .filter_map(|&place| {
                smallest(
                    &nominal.path_at(place).ok()?,
                    nominal,
                    obstacle,
                    faces,
                    rims,
                )
            })
            .map(|gap| gap.gap_mm)
            .fold(gap_mm.value, f64::min);
        // Only a free span flaps; what lies on a pulley runs true.
        let needed_mm = match nearest.nearest {
            Nearest::Span(_) => (FLAP_MM.lowest, FLAP_MM.highest),
            Nearest::Arc(_) | Nearest::Rim(_) => (0.0, FLAP_MM.lowest),
        };
        let value = gap_mm.value;
        let status = Status::between(
            gap_mm.spread.least(value) - needed_mm.1,
            gap_mm.spread.most(value) - needed_mm.0,
            0.0,
        );
        Some(Clearance {
            obstacle: index,
            nearest,
            gap_mm,
            least_in_travel_mm,
            needed_mm,
            status,
        })
    };
    nominal
        .layout
        .obstacles
        .iter()
        .enumerate()
        .filter_map(|(index, obstacle)| found(index, obstacle))
        .collect()
}

fn half_range(range: Ranged) -> f64 {
    (range.highest - range.value).max(range.value - range.lowest)
}

fn places(laid: &Laid, travel: f64) -> Vec<f64> {
    let Some(mover) = &laid.layout.mover else {
        return vec![travel];
    };
    let (lower, upper) = mover.travel;
    (0..=STEPS)
        .map(|step| lower + (upper - lower) * f64::from(step) / f64::from(STEPS))
        .collect()
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::belt::Template;

    #[test]
    fn the_travel_is_looked_at_from_end_to_end() {
        let mut layout = Template::AlternatorAndPump.layout((150.0, 0.6), (60.0, 0.6));
        let (lower, upper) = (2.0, 11.0);
        layout.mover.as_mut().unwrap().travel = (lower, upper);
        let found = places(&Laid::new(&layout).unwrap(), 5.0);
        assert_eq!(found.len(), STEPS as usize + 1);
        assert_eq!((found[0], found[STEPS as usize]), (lower, upper));
        assert!(found.is_sorted());
        layout.mover = None;
        assert_eq!(places(&Laid::new(&layout).unwrap(), 5.0), [5.0]);
    }
}
