//! A car's own belt drive: the pulleys on it against those to try.
//!
//! Crank and alternator pulleys are the drive's, the engine's speeds and the alternator's output
//! those of the car's study. A jackshaft's second pulley drives the alternator's belt: it stands
//! for the crank's here, and engine speeds are stepped by the first belt.

mod gripping;
mod layout;
mod seller;

pub use gripping::Gripping;
pub use layout::{NoBelt, car_layout, tried_pulleys};
pub use seller::{alternator_turns, seller_card, shorter_span_mm};

use super::compare::{Comparison, Ending, Passing};
use super::laid::LayError;
use super::layout::Section;
use super::ranges::{Measured, Ranges};
use super::travel::{Offer, Settled};
use crate::car::Car;
use crate::data::belt_memory::{MASS_PER_RIB, V_MASS};
use crate::finding::Status;
use crate::study::Study;
use gripping::power_part;
use layout::stage_of;

/// Good to this part: a tension that nobody says how well it is known (from memory).
const TENSION_PART: f64 = 0.15;
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
        let on_car = Ranges::new(&layout).map_err(NoBelt::Lay)?;
        let (tried, not_tried) = match on_car.with_all(&pulleys) {
            Ok(tried) => (tried, None),
            Err(error) => (on_car.clone(), Some(error)),
        };
        let comparison = Comparison { on_car, tried };
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
        let engine = study.map(|study| (study, power_part(&study.tolerances)));
        let on_car = Gripping::new(
            car,
            engine,
            comparison.on_car.nominal.clone(),
            (car.drive.hub, tension_n, stage_of(car, false)),
        );
        let hub = car.belt_drive.offered.hub.unwrap_or(car.drive.hub);
        let tried = Gripping::new(car, engine, tried_laid, (hub, tension_n, stage));
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

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
