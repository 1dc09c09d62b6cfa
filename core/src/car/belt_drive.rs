//! The belt drive, as far as the person measured it. Diameters of the crank and the alternator
//! pulley are those of [`super::Drive`]: nothing is entered twice.

use serde::{Deserialize, Serialize};

use super::is_blank;
use crate::belt::pluck::Reading;
use crate::belt::{
    BeltSize, FanTurns, Hold, Layout, Motion, Places, Point, Role, Section, Side, SideAnswer, Tape,
    Template, Turning,
};
use crate::drive::Hub;

/// Good to so much, mm, where the person measured a place by x and y and does not say (from memory).
pub const PLACES_WITHIN_MM: f64 = 3.0;
/// Good to so much, mm: a diameter that the person measured on a pulley.
const MEASURED_DIAMETER_MM: f64 = 0.5;

/// How the pulleys' places are known.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum PlacesBy {
    /// Centers by x and y.
    #[default]
    Coordinates,
    /// Distances between centers, by tape.
    Tape,
}

/// A pulley in the belt's way. Each is known by its place in the belt's order, from 0.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DrivePulley {
    /// What it is for.
    pub role: Role,
    /// Side of the belt that runs on it.
    #[serde(default)]
    pub side: Side,
    /// Effective diameter under ribs, bare outside diameter under the back, mm. The drive's own
    /// stands in for that of crank and alternator.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub diameter_mm: Option<f64>,
    /// 95 % half-width of that, mm; typical while absent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub half_width_mm: Option<f64>,
    /// Center to the right of the crank's, seen from the front, mm.
    #[serde(default)]
    pub x_mm: f64,
    /// Center above the crank's, mm.
    #[serde(default)]
    pub y_mm: f64,
    /// Power it takes at the engine's highest speed, W; typical while absent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub power_w: Option<f64>,
}

impl DrivePulley {
    /// Its center as entered.
    pub fn at(&self) -> Point {
        Point::new(self.x_mm, self.y_mm)
    }

    /// Whether it is the crank's, and all places count from it.
    pub fn is_origin(&self) -> bool {
        self.role == Role::Crank && self.at() == Point::default()
    }

    /// 95 % half-width of its diameter, mm.
    pub fn within_mm(&self) -> f64 {
        self.half_width_mm.unwrap_or(MEASURED_DIAMETER_MM)
    }
}

/// How the pulley moves that sets the tension.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum MoverKind {
    /// On an arm around a pivot.
    #[default]
    Arm,
    /// Along a straight slot.
    Slide,
}

/// The pulley that moves, and its travel from where the places were measured.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct DriveMover {
    /// Which pulley; none moves while absent.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pulley: Option<u8>,
    /// How it moves.
    pub kind: MoverKind,
    /// What holds it.
    pub hold: Hold,
    /// Pivot to the right of the crank's center, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pivot_x_mm: Option<f64>,
    /// Pivot above the crank's center, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pivot_y_mm: Option<f64>,
    /// End of the arm's travel clockwise, degrees, not over 0.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub from_deg: Option<f64>,
    /// End of the arm's travel counter-clockwise, degrees, not under 0.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub to_deg: Option<f64>,
    /// Direction of the slot, counter-clockwise from the right, degrees.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub direction_deg: Option<f64>,
    /// End of the slot's travel against its direction, mm, not over 0.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub from_mm: Option<f64>,
    /// End of the slot's travel in its direction, mm, not under 0.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub to_mm: Option<f64>,
}

/// Something that belt and rims must miss.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DriveObstacle {
    /// What the person calls it.
    pub name: String,
    /// Its middle to the right of the crank's center, mm.
    pub x_mm: f64,
    /// Its middle above the crank's center, mm.
    pub y_mm: f64,
    /// How wide it is across, mm.
    pub across_mm: f64,
}

/// What a pulley has to fit to on this car.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Shaft {
    /// Diameter of the alternator's shaft, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bore_mm: Option<f64>,
    /// Thread of its nut, as written.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub nut: Option<String>,
    /// From the face that the pulley rests against to the middle of the belt, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub offset_mm: Option<f64>,
    /// Free space before that face, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub nose_mm: Option<f64>,
    /// Largest outside diameter that case and fan leave room for, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub room_mm: Option<f64>,
}

/// The pulley to buy, as its seller describes it.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Offered {
    /// Ribs; 0 for a V.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ribs: Option<u8>,
    /// Bore, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bore_mm: Option<f64>,
    /// Thread of the nut that it takes, as written.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub nut: Option<String>,
    /// From the face it rests on to the middle of the ribs, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub offset_mm: Option<f64>,
    /// How far it reaches before that face, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub nose_mm: Option<f64>,
    /// Outside diameter, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub outside_mm: Option<f64>,
    /// Which way its fan is made to turn.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fan: Option<FanTurns>,
    /// One-way or solid.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hub: Option<Hub>,
}

/// The belt drive.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct BeltDrive {
    /// The pulleys in the belt's order, counter-clockwise as seen from the front.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub pulleys: Vec<DrivePulley>,
    /// Whether places are those of the pulleys, or by tape.
    pub places_by: PlacesBy,
    /// 95 % half-width of each x and y, mm; typical while absent.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub places_half_width_mm: Option<f64>,
    /// Distances between centers.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub tapes: Vec<Tape>,
    /// Sides answered where the distances leave them open.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub sides: Vec<SideAnswer>,
    /// Direction from the first to the second pulley by tape, counter-clockwise from the right,
    /// degrees.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub turned_deg: Option<f64>,
    /// The pulley that sets the tension.
    #[serde(skip_serializing_if = "is_blank")]
    pub mover: DriveMover,
    /// Which way the crank turns as seen from the front.
    pub turning: Turning,
    /// Ribs of the belt.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ribs: Option<u8>,
    /// Length of the belt on the car as designated, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub belt_mm: Option<f64>,
    /// 95 % half-width of that, mm; typical while absent.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub belt_half_width_mm: Option<f64>,
    /// What belt and rims must miss.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub obstacles: Vec<DriveObstacle>,
    /// Static tension there is, N.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tension_n: Option<f64>,
    /// 95 % half-width of that, N; typical while absent.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tension_half_width_n: Option<f64>,
    /// How fast its spans swing, heard or typed. Pulleys that go or change places take them out.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub heard: Vec<Reading>,
    /// What the pulley has to fit to.
    #[serde(skip_serializing_if = "is_blank")]
    pub shaft: Shaft,
    /// The pulley to buy.
    #[serde(skip_serializing_if = "is_blank")]
    pub offered: Offered,
}

impl BeltDrive {
    /// Puts a template's invented pulleys, places and mover in. What else is known of the belt,
    /// the obstacles and the pulley to buy stays.
    ///
    /// ```
    /// use laneside_core::belt::Template;
    /// use laneside_core::car::BeltDrive;
    ///
    /// let mut drive = BeltDrive::default();
    /// drive.begin_with(Template::WithTensioner);
    /// assert_eq!(drive.pulleys.len(), 4);
    /// ```
    pub fn begin_with(&mut self, template: Template) {
        // Sizes of crank and alternator are not taken from here.
        let layout = template.layout((150.0, 0.5), (60.0, 0.5));
        self.take(&layout);
    }

    fn take(&mut self, layout: &Layout) {
        let Places::Coordinates {
            centers,
            half_width_mm,
        } = &layout.places
        else {
            return;
        };
        let pulleys = layout.pulleys.iter().zip(centers);
        self.pulleys = pulleys
            .map(|(pulley, at)| {
                let own = !matches!(pulley.role, Role::Crank | Role::Alternator);
                DrivePulley {
                    role: pulley.role,
                    side: pulley.side,
                    diameter_mm: own.then_some(pulley.diameter_mm),
                    half_width_mm: own.then_some(pulley.half_width_mm),
                    x_mm: at.x_mm,
                    y_mm: at.y_mm,
                    power_w: None,
                }
            })
            .collect();
        self.heard.clear();
        self.places_by = PlacesBy::Coordinates;
        self.places_half_width_mm = Some(*half_width_mm);
        self.tapes.clear();
        self.sides.clear();
        self.mover = layout.mover.map_or_else(DriveMover::default, |mover| {
            let mut taken = DriveMover {
                pulley: u8::try_from(mover.pulley).ok(),
                hold: mover.hold,
                ..DriveMover::default()
            };
            let (from, to) = (Some(mover.travel.0), Some(mover.travel.1));
            match mover.motion {
                Motion::Arm { pivot } => {
                    (taken.pivot_x_mm, taken.pivot_y_mm) = (Some(pivot.x_mm), Some(pivot.y_mm));
                    (taken.from_deg, taken.to_deg) = (from, to);
                }
                Motion::Slide { direction_deg } => {
                    taken.kind = MoverKind::Slide;
                    taken.direction_deg = Some(direction_deg);
                    (taken.from_mm, taken.to_mm) = (from, to);
                }
            }
            taken
        });
    }

    /// The belt on the car, where its designation is known: with ribs, or a V.
    pub fn belt(&self) -> Option<BeltSize> {
        Some(BeltSize {
            section: match self.ribs {
                Some(ribs) => Section::VRibbed { ribs },
                None => Section::V,
            },
            length_mm: self.belt_mm?,
            half_width_mm: self.belt_half_width_mm,
        })
    }

    /// Good to so much: each x and y of a pulley, mm.
    pub fn places_within_mm(&self) -> f64 {
        self.places_half_width_mm.unwrap_or(PLACES_WITHIN_MM)
    }

    /// Takes a pulley out: distances and sides that name it go with it, and those of the pulleys
    /// behind it move up.
    pub fn remove_pulley(&mut self, gone: usize) {
        if gone >= self.pulleys.len() {
            return;
        }
        self.pulleys.remove(gone);
        self.heard.clear();
        self.renumber(|at| match at {
            at if at == gone => None,
            at if at > gone => Some(at - 1),
            at => Some(at),
        });
    }

    /// Lets two neighbors in the belt's order change places.
    pub fn swap_pulleys(&mut self, one: usize, other: usize) {
        if one.max(other) >= self.pulleys.len() {
            return;
        }
        self.pulleys.swap(one, other);
        self.heard.clear();
        self.renumber(|at| {
            Some(match at {
                at if at == one => other,
                at if at == other => one,
                at => at,
            })
        });
    }

    fn renumber(&mut self, to: impl Fn(usize) -> Option<usize>) {
        let tapes = self.tapes.drain(..).filter_map(|tape| {
            Some(Tape {
                from: to(tape.from)?,
                to: to(tape.to)?,
                ..tape
            })
        });
        self.tapes = tapes.collect();
        let sides = self.sides.drain(..).filter_map(|side| {
            Some(SideAnswer {
                pulley: to(side.pulley)?,
                from: to(side.from)?,
                to: to(side.to)?,
                left: side.left,
            })
        });
        self.sides = sides.collect();
        let mover = self.mover.pulley.map(usize::from).and_then(&to);
        self.mover.pulley = mover.and_then(|at| u8::try_from(at).ok());
    }

    /// Distances to begin with, for places by tape: what the places by x and y tell, as uncertain
    /// as those are, to be measured over. Each pulley from two of those before it.
    pub fn begin_tapes(&mut self) {
        let both = 2.0_f64.sqrt() * self.places_within_mm();
        let mut tapes = Vec::new();
        for (to, pulley) in self.pulleys.iter().enumerate() {
            for from in [to.checked_sub(1), to.checked_sub(2)].into_iter().flatten() {
                let apart = self.pulleys[from].at().distance_mm(pulley.at());
                tapes.push(Tape {
                    from,
                    to,
                    distance_mm: (10.0 * apart).round() / 10.0,
                    half_width_mm: both,
                });
            }
        }
        self.tapes = tapes;
        self.sides.clear();
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn steering() -> BeltDrive {
        let mut drive = BeltDrive::default();
        drive.begin_with(Template::WithSteering);
        drive.begin_tapes();
        drive
    }

    #[test]
    fn a_pulley_taken_out_takes_what_names_it_along() {
        let mut drive = steering();
        let before = drive.tapes.len();
        drive.heard.push(Reading {
            span: 4,
            hz: 120.0,
            left_out: false,
        });
        drive.remove_pulley(3);
        assert_eq!(drive.pulleys.len(), 5);
        assert!(drive.tapes.iter().all(|tape| tape.from.max(tape.to) < 5));
        assert_eq!(drive.tapes.len(), before - 4);
        assert_eq!(drive.mover.pulley, Some(4));
        assert!(drive.heard.is_empty());
        drive.remove_pulley(4);
        assert_eq!(drive.mover.pulley, None);
    }

    #[test]
    fn pulleys_that_change_places_keep_their_distances() {
        let mut drive = steering();
        let apart = |drive: &BeltDrive| -> Vec<f64> {
            let mut off: Vec<f64> = drive
                .tapes
                .iter()
                .map(|tape| {
                    let [a, b] = [tape.from, tape.to].map(|at| drive.pulleys[at].at());
                    a.distance_mm(b) - tape.distance_mm
                })
                .collect();
            off.sort_by(f64::total_cmp);
            off
        };
        let before = apart(&drive);
        drive.swap_pulleys(4, 5);
        assert_eq!(drive.mover.pulley, Some(4));
        assert_eq!(apart(&drive), before);
        assert!(before.iter().all(|off| off.abs() <= 0.051));
    }

    #[test]
    fn a_template_leaves_what_else_is_known() {
        let mut drive = BeltDrive {
            ribs: Some(5),
            tension_n: Some(400.0),
            ..BeltDrive::default()
        };
        drive.begin_with(Template::AlternatorAndPump);
        assert_eq!((drive.ribs, drive.tension_n), (Some(5), Some(400.0)));
        assert_eq!(drive.mover.pulley, Some(1));
    }
}
