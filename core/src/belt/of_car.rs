//! A car's own belt drive: the pulleys on it against those to try.
//!
//! Crank and alternator pulleys are the drive's, the engine's speeds and the alternator's output
//! those of the car's study. A jackshaft's second pulley drives the alternator's belt: it stands
//! for the crank's here, and engine speeds are stepped by the first belt.

use super::bolt_on::{BoltOn, FanTurns, Measures, bolt_on};
use super::compare::{Comparison, Ending, Passing, TriedPulley};
use super::laid::{Laid, LayError};
use super::layout::{
    BeltPulley, Layout, Motion, Mover, Obstacle, Places, Point, Role, Section, Turning,
};
use super::moments::{
    Caution, Engine, MomentKind, Upshift, Worst, cautions, shaft_power_w, worst_moments,
};
use super::ranges::Measured;
use super::travel::{Offer, Settled};
use crate::car::{BeltDrive, Car, DriveMover, Gearbox, MoverKind, PlacesBy};
use crate::data::belt_memory::{MASS_PER_RIB, V_MASS};
use crate::data::gearing::{AUTOMATIC, MANUAL, SHIFT_S};
use crate::data::memory::Default as Ranged;
use crate::drive::{Belt, Hub, Pulley};
use crate::finding::Status;
use crate::gates::Judged;
use crate::quantity::InLength;
use crate::resolve::Params;
use crate::study::Study;
use crate::tolerance::Tolerances;

/// Ribs of a belt while nobody says how many.
const USUAL_RIBS: u8 = 6;
/// Good to so much, mm: the place of an obstacle, by x and y (from memory).
const OBSTACLE_WITHIN_MM: f64 = 2.0;
/// Good to this part: a tension that nobody says how well it is known (from memory).
const TENSION_PART: f64 = 0.15;
/// Part that the shaft's power is good to at least: its efficiency is a round figure (from memory).
const POWER_PART: f64 = 0.1;

/// Why a car has no belt to look at.
#[derive(Clone, Debug, PartialEq)]
pub enum NoBelt {
    /// No pulleys entered.
    Empty,
    /// No pulley with this role, which a belt drive of a charging system has.
    NoRole(Role),
    /// A pulley, by the belt's order, without a diameter.
    NoDiameter(usize),
    /// A designation with ribs on a drive without, or the other way round.
    OtherBelt,
    /// The layout as it is on the car.
    Lay(LayError),
}

/// A belt drive of a car as the formulas take it.
pub fn car_layout(car: &Car, study: Option<&Study>) -> Result<Layout, NoBelt> {
    let drive = &car.belt_drive;
    if drive.pulleys.is_empty() {
        return Err(NoBelt::Empty);
    }
    for role in [Role::Crank, Role::Alternator] {
        if !drive.pulleys.iter().any(|pulley| pulley.role == role) {
            return Err(NoBelt::NoRole(role));
        }
    }
    let pulleys = drive.pulleys.iter().enumerate().map(|(at, pulley)| {
        let own = pulley.diameter_mm.map(|mm| (mm, pulley.within_mm()));
        let size = match pulley.role {
            Role::Crank => driving_mm(car, study),
            Role::Alternator => driven_mm(car, study),
            _ => own,
        };
        let (diameter_mm, half_width_mm) = size.ok_or(NoBelt::NoDiameter(at))?;
        Ok(BeltPulley {
            role: pulley.role,
            side: pulley.side,
            diameter_mm,
            half_width_mm,
        })
    });
    let section = match car.drive.belt {
        Belt::VRibbed => Section::VRibbed {
            ribs: drive.ribs.unwrap_or(USUAL_RIBS),
        },
        Belt::Other => Section::V,
    };
    let belt = drive.belt();
    if belt.is_some_and(|belt| belt.section != section) {
        return Err(NoBelt::OtherBelt);
    }
    Ok(Layout {
        pulleys: pulleys.collect::<Result<_, NoBelt>>()?,
        places: places(drive),
        mover: mover(&drive.mover),
        turning: drive.turning,
        section,
        belt,
        obstacles: obstacles(drive),
        back_line_mm: None,
    })
}

fn places(drive: &BeltDrive) -> Places {
    match drive.places_by {
        PlacesBy::Coordinates => Places::Coordinates {
            centers: drive.pulleys.iter().map(|pulley| pulley.at()).collect(),
            half_width_mm: drive.places_within_mm(),
        },
        PlacesBy::Tape => Places::Tape {
            distances: drive.tapes.clone(),
            sides: drive.sides.clone(),
            turned_deg: drive.turned_deg.unwrap_or(0.0),
        },
    }
}

/// The mover; none while what it needs is not entered.
fn mover(mover: &DriveMover) -> Option<Mover> {
    let (motion, travel) = match mover.kind {
        MoverKind::Arm => (
            Motion::Arm {
                pivot: Point::new(mover.pivot_x_mm?, mover.pivot_y_mm?),
            },
            (mover.from_deg, mover.to_deg),
        ),
        MoverKind::Slide => (
            Motion::Slide {
                direction_deg: mover.direction_deg?,
            },
            (mover.from_mm, mover.to_mm),
        ),
    };
    Some(Mover {
        pulley: usize::from(mover.pulley?),
        motion,
        travel: (travel.0.unwrap_or(0.0), travel.1.unwrap_or(0.0)),
        hold: mover.hold,
    })
}

fn obstacles(drive: &BeltDrive) -> Vec<Obstacle> {
    let each = drive.obstacles.iter().map(|one| Obstacle {
        name: one.name.clone(),
        at: Point::new(one.x_mm, one.y_mm),
        radius_mm: 0.5 * one.across_mm,
        half_width_mm: OBSTACLE_WITHIN_MM,
    });
    each.collect()
}

/// The belt's own diameter of a pulley with its half-width, mm.
fn sized(car: &Car, pulley: &Pulley) -> (f64, f64) {
    let size = pulley.effective(car.drive.belt);
    (size.value.mm(), size.half_width.mm())
}

/// What the study tells of a pulley whose size was not entered.
fn told(study: Option<&Study>, pitch_mm: fn(&Params) -> f64) -> Option<(f64, f64)> {
    let tolerances = &study?.tolerances;
    let over_mm = tolerances.resolved().pitch_over_effective_mm;
    let (value, spread) = tolerances.straight(|state| pitch_mm(&state.params));
    (value > over_mm).then(|| (value - over_mm, spread.widest()))
}

/// The pulley that drives the alternator's belt.
fn driving_mm(car: &Car, study: Option<&Study>) -> Option<(f64, f64)> {
    if let Some(stage) = &car.drive.second_stage {
        return stage.driving.as_ref().map(|pulley| sized(car, pulley));
    }
    match &car.drive.crank {
        Some(crank) => Some(sized(car, crank)),
        None => told(study, Params::crank_mm),
    }
}

fn driven_mm(car: &Car, study: Option<&Study>) -> Option<(f64, f64)> {
    match &car.drive.fitted {
        Some(fitted) => Some(sized(car, fitted)),
        None => told(study, Params::fitted_mm),
    }
}

/// The pulleys to try on a layout of a car: of the alternator, and of the crank where there is one.
pub fn tried_pulleys(car: &Car, study: Option<&Study>, layout: &Layout) -> Vec<TriedPulley> {
    let suggested = study.and_then(|study| study.tried.as_ref());
    let alternator = car.drive.tried.or(suggested.map(|tried| tried.pulley));
    // On a jackshaft the crank's pulley is on another belt.
    let crank = car
        .drive
        .tried_crank
        .filter(|_| car.drive.second_stage.is_none());
    let each = [(Role::Alternator, alternator), (Role::Crank, crank)];
    let each = each.into_iter().filter_map(|(role, pulley)| {
        let (diameter_mm, half_width_mm) = sized(car, &pulley?);
        Some(TriedPulley {
            pulley: layout.find(role)?,
            diameter_mm,
            half_width_mm,
        })
    });
    each.collect()
}

/// How the pulleys to try are served.
#[derive(Clone, Debug, PartialEq)]
pub enum Serves {
    /// The belt on the car, or one of its length.
    OwnBelt,
    /// Another one.
    Another(Offer),
    /// No belt of the usual lengths brings the mover into its travel.
    None,
    /// Nothing moves: the belt has to be of the length wanted.
    NothingMoves,
}

/// Grip and cautions with one pair of pulleys.
#[derive(Clone, Debug, PartialEq)]
pub struct Gripping {
    /// Belt and places.
    pub laid: Laid,
    /// The worst moments; none while the car has no study.
    pub moments: Vec<Worst>,
    /// What to be careful about.
    pub cautions: Vec<Caution>,
}

impl Gripping {
    /// Of the moments that last, the one that asks for the most tension.
    pub fn worst(&self) -> Option<&Worst> {
        self.lasting()
            .max_by(|a, b| a.needed_n.value.total_cmp(&b.needed_n.value))
    }

    fn lasting(&self) -> impl Iterator<Item = &Worst> {
        let lasts = |worst: &&Worst| worst.kind != MomentKind::Upshift;
        self.moments.iter().filter(lasts)
    }

    /// The shift, in which a belt may slip for a moment.
    pub fn shift(&self) -> Option<&Worst> {
        self.moments
            .iter()
            .find(|worst| worst.kind == MomentKind::Upshift)
    }

    /// Static tension wanted, N, with its half-width: what the worst of the moments that last
    /// needs. What the shift asks for is beyond what bearings are for; a belt that slips for its
    /// tenth of a second wears, but charges on (common practice, no source).
    pub fn wanted_n(&self) -> Option<(f64, f64)> {
        let needed = &self.worst()?.needed_n;
        Some((needed.value, needed.spread.widest()))
    }

    /// How the grip stands in the moments that last; nothing while the tension is not known.
    pub fn status(&self) -> Option<Status> {
        let each = self.lasting().map(|worst| worst.status);
        each.reduce(|a, b| Some(a?.worse(b?))).flatten()
    }
}

/// A span to pluck.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SpanToPluck {
    /// Which: the span behind this pulley, by the belt's order.
    pub span: usize,
    /// From this pulley ...
    pub from: usize,
    /// ... to this one.
    pub to: usize,
    /// Free length, mm.
    pub length_mm: f64,
    /// 95 % half-width of that, mm.
    pub half_width_mm: f64,
}

/// What tension by ear needs to know of the belt.
#[derive(Clone, Debug, PartialEq)]
pub struct ToPluck {
    /// The spans, the longest first.
    pub spans: Vec<SpanToPluck>,
    /// Mass of the belt, kg/m.
    pub kg_per_m: f64,
    /// 95 % half-width of that, kg/m.
    pub kg_per_m_half_width: f64,
    /// Static tension wanted and its 95 % half-width, N; not known without the car's study.
    pub wanted_n: Option<(f64, f64)>,
}

/// A car's belt drive, studied.
#[derive(Clone, Debug)]
pub struct BeltStudy {
    /// Both drives.
    pub comparison: Comparison,
    /// Why no belt goes over the pulleys to try; both drives are the car's own then.
    pub not_tried: Option<LayError>,
    /// Whether there is anything to try.
    pub has_tried: bool,
    /// Where the mover ends up with the pulleys to try and the car's own belt.
    pub own_ending: Ending,
    /// Whether that is within the travel.
    pub own_status: Status,
    /// Belts around the reach, shortest first.
    pub offers: Vec<Offer>,
    /// Which belt serves.
    pub serves: Serves,
    /// Where the mover ends up with it.
    pub ending: Ending,
    /// Obstacles against the belt.
    pub belt_passing: Vec<Passing>,
    /// Obstacles against the rims.
    pub rim_passing: Vec<Passing>,
    /// Grip as the car is.
    pub on_car: Gripping,
    /// Grip with the pulleys to try, the mover where it ends up.
    pub tried: Gripping,
    /// Turns of the belt's driving pulley for one of the crank.
    pub stage: f64,
    /// Static tension there is and its 95 % half-width, N.
    pub tension_n: Option<(f64, f64)>,
}

impl BeltStudy {
    /// Studies a car's belt drive. Without the car's study there is no grip.
    ///
    /// # Errors
    /// [`NoBelt`] says what is missing or why no belt goes over the pulleys on the car.
    ///
    /// ```
    /// use laneside_core::belt::BeltStudy;
    /// use laneside_core::car::demo;
    /// use laneside_core::study::Study;
    ///
    /// let car = demo::nettle();
    /// let belt = BeltStudy::new(&car, Study::new(&car).ok().as_ref()).unwrap();
    /// // Common practice: the larger pulley wants a longer belt.
    /// assert!(belt.comparison.change_mm().unwrap().value > 0.0);
    /// ```
    pub fn new(car: &Car, study: Option<&Study>) -> Result<Self, NoBelt> {
        let layout = car_layout(car, study)?;
        let pulleys = tried_pulleys(car, study, &layout);
        let as_is = Comparison::new(&layout, &[]).map_err(NoBelt::Lay)?;
        let (comparison, not_tried) = match Comparison::new(&layout, &pulleys) {
            Ok(both) => (both, None),
            Err(error) => (as_is, Some(error)),
        };
        let own_ending = comparison.ending(None);
        let own_status = ending_status(&comparison, &own_ending);
        let offers = comparison.offers(None);
        let serves = serves(&comparison, own_status, &offers);
        let ending = match &serves {
            Serves::Another(offer) => comparison.ending(Some(&offer.belt)),
            _ => own_ending.clone(),
        };
        let tension_n = car.belt_drive.tension_n.map(|value| {
            let half = car.belt_drive.tension_half_width_n;
            (value, half.unwrap_or(TENSION_PART * value))
        });
        let stage = stage_of(car, true);
        let tried_laid = comparison
            .tried_at(&ending)
            .unwrap_or_else(|_| comparison.tried.nominal.clone());
        let on_car = Gripping::new(
            car,
            study.map(|study| (study, &study.on_car)),
            comparison.on_car.nominal.clone(),
            (car.drive.hub, tension_n, stage_of(car, false)),
        );
        let judged = study.map(|study| {
            let tried = study.tried.as_ref().map(|tried| &tried.judged);
            (study, tried.unwrap_or(&study.on_car))
        });
        let hub = car.belt_drive.offered.hub.unwrap_or(car.drive.hub);
        let tried = Gripping::new(car, judged, tried_laid, (hub, tension_n, stage));
        Ok(Self {
            belt_passing: comparison.passing(&ending, false),
            rim_passing: comparison.passing(&ending, true),
            has_tried: !pulleys.is_empty(),
            comparison,
            not_tried,
            own_ending,
            own_status,
            offers,
            serves,
            ending,
            on_car,
            tried,
            stage,
            tension_n,
        })
    }

    /// How the clearances stand with the pulleys to try (`tried`) or on the car; nothing while
    /// there is nothing to miss.
    pub fn clearance_status(&self, tried: bool) -> Option<Status> {
        let all = self.belt_passing.iter().chain(&self.rim_passing);
        let each = all.map(|one| {
            if tried {
                one.tried.status
            } else {
                one.on_car.status
            }
        });
        each.reduce(Status::worse)
    }

    /// What tension by ear needs to know, with the pulleys to try or as the car is.
    pub fn to_pluck(&self, tried: bool) -> ToPluck {
        let (ranges, gripping) = if tried {
            (&self.comparison.tried, &self.tried)
        } else {
            (&self.comparison.on_car, &self.on_car)
        };
        let travel = match self.ending.settled {
            Settled::At(travel) if tried => travel,
            _ => 0.0,
        };
        let count = gripping.laid.path.spans.len();
        let length = |span: usize| -> Option<Measured> {
            ranges.measure(&|laid| {
                let path = laid.path_at(travel).ok()?;
                path.spans.get(span).map(|span| span.length_mm)
            })
        };
        let mut spans: Vec<SpanToPluck> = (0..count)
            .filter_map(|span| {
                let found = length(span)?;
                Some(SpanToPluck {
                    span,
                    from: span,
                    to: (span + 1) % count,
                    length_mm: found.value,
                    half_width_mm: found.spread.widest(),
                })
            })
            .collect();
        crate::sort::sort_short(&mut spans, |a, b| b.length_mm.total_cmp(&a.length_mm));
        let (mass, ribs) = match gripping.laid.layout.section {
            Section::VRibbed { ribs } => (MASS_PER_RIB, f64::from(ribs)),
            Section::V => (V_MASS, 1.0),
        };
        let half = (mass.highest - mass.value).max(mass.value - mass.lowest);
        ToPluck {
            spans,
            kg_per_m: ribs * mass.value,
            kg_per_m_half_width: ribs * half,
            wanted_n: gripping.wanted_n(),
        }
    }
}

/// Whether the mover ends up within its travel, both ends looked at with the spread.
fn ending_status(comparison: &Comparison, ending: &Ending) -> Status {
    let mover = comparison.tried.nominal.layout.mover;
    let (Some(mover), Some(travel)) = (mover, &ending.travel) else {
        return Status::Fails;
    };
    let value = travel.value;
    let (least, most) = (travel.spread.least(value), travel.spread.most(value));
    Status::between(least - mover.travel.0, most - mover.travel.0, 0.0).worse(Status::between(
        mover.travel.1 - most,
        mover.travel.1 - least,
        0.0,
    ))
}

fn serves(comparison: &Comparison, own: Status, offers: &[Offer]) -> Serves {
    let mover = comparison.tried.nominal.layout.mover;
    if mover.is_none_or(|mover| mover.travel.0 >= mover.travel.1) {
        return Serves::NothingMoves;
    }
    if own == Status::Holds {
        return Serves::OwnBelt;
    }
    let rank = |offer: &Offer| match offer.status {
        Status::Holds => 2,
        Status::TooClose => 1,
        Status::Fails => 0,
    };
    let best = offers
        .iter()
        .filter(|offer| matches!(offer.settled, Settled::At(_)))
        .max_by(|a, b| {
            let room = a.room_mm.value.total_cmp(&b.room_mm.value);
            rank(a).cmp(&rank(b)).then(room)
        });
    match best {
        Some(best) if own == Status::Fails || best.status == Status::Holds => {
            Serves::Another(best.clone())
        }
        _ if own == Status::TooClose => Serves::OwnBelt,
        _ => Serves::None,
    }
}

/// Turns of the pulley that drives the alternator's belt for one of the crank.
fn stage_of(car: &Car, tried: bool) -> f64 {
    let pitch = |pulley: &Option<Pulley>| {
        let pulley = pulley.as_ref()?;
        Some(pulley.pitch(car.drive.belt).value.mm())
    };
    let stage = car.drive.second_stage.as_ref();
    let driven = stage.and_then(|stage| pitch(&stage.driven));
    let tried = pitch(&car.drive.tried_crank).filter(|_| tried);
    let crank = tried.or(pitch(&car.drive.crank));
    match (driven, crank) {
        (Some(driven), Some(crank)) => crank / driven,
        _ => 1.0,
    }
}

impl Gripping {
    fn new(
        car: &Car,
        study: Option<(&Study, &Judged)>,
        laid: Laid,
        (hub, tension_n, stage): (Hub, Option<(f64, f64)>, f64),
    ) -> Self {
        let top_rpm = study.map(|(study, _)| {
            let params = &study.tolerances.nominal().params;
            stage * (params.limiter_rpm + params.overshoot_rpm)
        });
        let moments = study.zip(top_rpm).map(|((study, _), top_rpm)| {
            let state = study.tolerances.nominal();
            let engine = Engine {
                idle_rpm: stage * state.params.idle_rpm,
                top_rpm,
                upshift: upshift(car, &state.params, stage),
                alternator_w: &|rpm| shaft_power_w(state, rpm),
                power_part: power_part(&study.tolerances),
                rotor_kg_m2: None,
                one_way: hub == Hub::OneWay,
                others_w: car
                    .belt_drive
                    .pulleys
                    .iter()
                    .map(|pulley| pulley.power_w)
                    .collect(),
            };
            worst_moments(&laid, &engine, tension_n)
        });
        Self {
            cautions: cautions(&laid, top_rpm.unwrap_or(0.0)),
            moments: moments.unwrap_or_default(),
            laid,
        }
    }
}

/// Part that the power at the shaft may be off by: what the output's own range leaves open at
/// rated speed, and the efficiency.
fn power_part(tolerances: &Tolerances) -> f64 {
    /// Alternator speed at which the rating holds, rpm.
    const AT_RPM: f64 = 6_000.0;
    let (watts, spread) = tolerances.straight(|state| shaft_power_w(state, AT_RPM));
    if watts > 0.0 {
        (spread.widest() / watts).hypot(POWER_PART)
    } else {
        POWER_PART
    }
}

/// The shift that pulls the engine down furthest, from shift speed.
fn upshift(car: &Car, params: &Params, stage: f64) -> Option<Upshift> {
    let usual: &[f64] = match car.engine.gearbox {
        Some(Gearbox::Manual) => &MANUAL,
        _ => &AUTOMATIC,
    };
    let gears: &[f64] = match car.course.gears.len() {
        0 => usual,
        _ => &car.course.gears,
    };
    let hardest = gears
        .windows(2)
        .min_by(|a, b| (a[1] / a[0]).total_cmp(&(b[1] / b[0])))?;
    let seconds = car.course.shift_s.filter(|seconds| *seconds > 0.0);
    Some(Upshift {
        seconds: seconds.map_or(SHIFT_S, |value| Ranged {
            value,
            lowest: value,
            highest: value,
        }),
        ..Upshift::between(stage * params.shift_rpm, hardest[0], hardest[1])
    })
}

/// Questions for the seller of the pulley to try, with this car's answers filled in. `span_mm` is
/// the shorter span beside the alternator.
pub fn seller_card(car: &Car, belt: Option<&BeltStudy>) -> BoltOn {
    let (drive, shaft, offered) = (
        &car.belt_drive,
        &car.belt_drive.shaft,
        &car.belt_drive.offered,
    );
    let section = match car.drive.belt {
        Belt::VRibbed => drive.ribs.map(|ribs| Section::VRibbed { ribs }),
        Belt::Other => Some(Section::V),
    };
    let has_drive = !drive.pulleys.is_empty();
    let own = Measures {
        section,
        bore_mm: shaft.bore_mm,
        nut: shaft.nut.clone(),
        offset_mm: shaft.offset_mm,
        nose_mm: shaft.nose_mm,
        outside_mm: shaft.room_mm,
        fan: has_drive.then(|| alternator_turns(drive)),
        hub: Some(car.drive.hub),
    };
    let theirs = Measures {
        section: offered.ribs.map(|ribs| match ribs {
            0 => Section::V,
            ribs => Section::VRibbed { ribs },
        }),
        bore_mm: offered.bore_mm,
        nut: offered.nut.clone(),
        offset_mm: offered.offset_mm,
        nose_mm: offered.nose_mm,
        outside_mm: offered.outside_mm,
        fan: offered.fan,
        hub: offered.hub,
    };
    bolt_on(&own, &theirs, shorter_span_mm(belt), car.alternator.fan)
}

/// The shorter span beside the alternator, mm; a middling one while the drive is not known.
pub fn shorter_span_mm(belt: Option<&BeltStudy>) -> f64 {
    const MIDDLING_MM: f64 = 150.0;
    let shorter = belt.and_then(|belt| {
        let laid = &belt.comparison.on_car.nominal;
        let at = laid.layout.find(Role::Alternator)?;
        let count = laid.path.spans.len();
        let [before, after] =
            [(at + count - 1) % count, at].map(|at| laid.path.spans[at].length_mm);
        Some(before.min(after))
    });
    shorter.unwrap_or(MIDDLING_MM)
}

/// Which way the alternator turns: with the crank where the ribs drive both.
fn alternator_turns(drive: &BeltDrive) -> FanTurns {
    let side = |role| {
        let found = drive.pulleys.iter().find(|pulley| pulley.role == role);
        found.map(|pulley| pulley.side)
    };
    let alike = side(Role::Alternator) == side(Role::Crank);
    match (drive.turning, alike) {
        (Turning::Clockwise, true) | (Turning::CounterClockwise, false) => FanTurns::Clockwise,
        _ => FanTurns::CounterClockwise,
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
