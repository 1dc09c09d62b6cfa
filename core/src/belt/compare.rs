//! The pulley on the car against the one to try, on the same places.

use super::clearance::{Clearance, clearances};
use super::laid::{Laid, LayError};
use super::layout::{Layout, Motion};
use super::length::{BeltSize, usual_lengths_mm};
use super::path::PathError;
use super::ranges::{BeltInput, Measured, Ranges};
use super::travel::{Offer, Settled, offers, reach, settle};

/// A pulley to try, in place of one of the layout's.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TriedPulley {
    /// Which, by the belt's order.
    pub pulley: usize,
    /// Its diameter (effective under ribs, bare under the back), mm.
    pub diameter_mm: f64,
    /// 95 % half-width, mm.
    pub half_width_mm: f64,
}

/// Belts beyond the reach that are still shown, mm.
const BEYOND_MM: f64 = 10.0;

/// Both drives.
#[derive(Clone, Debug)]
pub struct Comparison {
    /// As the car is.
    pub on_car: Ranges,
    /// With the pulleys to try.
    pub tried: Ranges,
}

/// Where the mover ends up, with its spread where there is such a place.
#[derive(Clone, Debug, PartialEq)]
pub struct Ending {
    /// Where.
    pub settled: Settled,
    /// The place with its spread (degrees or mm of travel).
    pub travel: Option<Measured>,
    /// Part of the travel that is behind it, 0 to 1.
    pub of_travel: Option<f64>,
}

/// How an obstacle stands with either pulley.
#[derive(Clone, Debug, PartialEq)]
pub struct Passing {
    /// With the car's pulley.
    pub on_car: Clearance,
    /// With the one to try.
    pub tried: Clearance,
    /// How far the belt (or rim) comes nearer, mm; negative where it goes away.
    pub nearer_mm: f64,
}

impl Comparison {
    /// Lays both belts.
    ///
    /// # Errors
    /// [`LayError`]: the car's own layout has no belt, or none goes over the pulleys to try.
    pub fn new(layout: &Layout, tried: &[TriedPulley]) -> Result<Self, LayError> {
        let on_car = Ranges::new(layout)?;
        let tried = on_car.with_all(tried)?;
        Ok(Self { on_car, tried })
    }

    /// Effective length of the belt on the car: what the places tell.
    pub fn length_now_mm(&self) -> Option<Measured> {
        self.on_car.measure(&|laid| Some(laid.path.length_mm))
    }

    /// How far the places' length is off the designation's, if that is known: within both
    /// tolerances, or something was measured or read wrongly.
    pub fn off_designation_mm(&self) -> Option<Measured> {
        let belt = self.on_car.nominal.layout.belt?;
        let off = self
            .on_car
            .measure(&|laid| Some(laid.path.length_mm - belt.length_mm))?;
        Some(off.widened(BeltInput::BeltLength, belt.tolerance_mm()))
    }

    /// How much longer a belt the pulleys to try want with the mover where it is.
    pub fn change_mm(&self) -> Option<Measured> {
        self.on_car.measure_both(&self.tried, &|now, then| {
            Some(then.path.length_mm - now.path.length_mm)
        })
    }

    /// Length of belt for the pulleys to try with the mover where it is.
    pub fn length_wanted_mm(&self) -> Option<Measured> {
        let known = self.on_car.nominal.layout.belt;
        let wanted = self.on_car.measure_both(&self.tried, &|now, then| {
            let from = known.map_or(now.path.length_mm, |belt| belt.length_mm);
            Some(from + then.path.length_mm - now.path.length_mm)
        })?;
        Some(match known {
            Some(belt) => wanted.widened(BeltInput::BeltLength, belt.tolerance_mm()),
            None => wanted,
        })
    }

    /// Where the mover ends up with the pulleys to try and a belt to buy, or the car's own belt.
    pub fn ending(&self, belt: Option<&BeltSize>) -> Ending {
        let known = self.on_car.nominal.layout.belt;
        // What the belt is longer than the one on the car.
        let longer = |now: &Laid| match (belt, known) {
            (Some(belt), Some(known)) => belt.length_mm - known.length_mm,
            (Some(belt), None) => belt.length_mm - now.path.length_mm,
            (None, _) => 0.0,
        };
        let place = |now: &Laid, then: &Laid, off_mm: f64| {
            settle(then, now.path.length_mm + longer(now) + off_mm)
        };
        let settled = place(&self.on_car.nominal, &self.tried.nominal, 0.0);
        let at = |now: &Laid, then: &Laid, off_mm: f64| match place(now, then, off_mm) {
            Settled::At(travel) => Some(travel),
            _ => None,
        };
        let travel = self
            .on_car
            .measure_both(&self.tried, &|now, then| at(now, then, 0.0))
            .map(|mut travel| {
                let mut widen = |input, half_mm: f64| {
                    let (now, then) = (&self.on_car.nominal, &self.tried.nominal);
                    let change = |off| at(now, then, off).map(|at| (at - travel.value).abs());
                    let half = change(half_mm).into_iter().chain(change(-half_mm));
                    travel = travel.clone().widened(input, half.fold(0.0, f64::max));
                };
                if let Some(belt) = belt {
                    widen(BeltInput::NewBelt, belt.tolerance_mm());
                    if let Some(known) = known {
                        widen(BeltInput::BeltLength, known.tolerance_mm());
                    }
                }
                travel
            });
        let of_travel = match (settled, &self.tried.nominal.layout.mover) {
            (Settled::At(at), Some(mover)) if mover.travel.0 < mover.travel.1 => {
                Some((at - mover.travel.0) / (mover.travel.1 - mover.travel.0))
            }
            _ => None,
        };
        Ending {
            settled,
            travel,
            of_travel,
        }
    }

    /// Belts to bring: a list (mm), or every 5 mm around the reach, judged.
    pub fn offers(&self, lengths_mm: Option<&[f64]>) -> Vec<Offer> {
        let layout = &self.on_car.nominal.layout;
        let add = layout.belt.map_or(0.0, |belt| {
            belt.length_mm - self.on_car.nominal.path.length_mm
        });
        let around = || {
            reach(&self.tried.nominal).map_or(Vec::new(), |reach| {
                usual_lengths_mm(
                    reach.shortest_mm + add - BEYOND_MM,
                    reach.longest_mm + add + BEYOND_MM,
                )
            })
        };
        let belts: Vec<BeltSize> = lengths_mm
            .map_or_else(around, <[f64]>::to_vec)
            .into_iter()
            .map(|length_mm| BeltSize {
                section: layout.section,
                length_mm,
                half_width_mm: None,
            })
            .collect();
        offers(&self.on_car, &self.tried, &belts)
    }

    /// The drive to try with its mover at rest where it ends up.
    ///
    /// # Errors
    /// [`PathError`]: no belt goes over it there.
    pub fn tried_at(&self, ending: &Ending) -> Result<Laid, PathError> {
        self.tried.nominal.at(travel_of(ending))
    }

    /// Every obstacle with either pulley: to the belt, or to the rims.
    pub fn passing(&self, ending: &Ending, rims: bool) -> Vec<Passing> {
        let now = clearances(&self.on_car, 0.0, rims);
        let then = clearances(&self.tried, travel_of(ending), rims);
        let pair = |on_car: Clearance| {
            let tried = then
                .iter()
                .find(|one| one.obstacle == on_car.obstacle)?
                .clone();
            Some(Passing {
                nearer_mm: on_car.gap_mm.value - tried.gap_mm.value,
                on_car,
                tried,
            })
        };
        now.into_iter().filter_map(pair).collect()
    }

    /// Whether the mover's travel counts in degrees (else in mm).
    pub fn travel_in_degrees(&self) -> bool {
        let mover = self.on_car.nominal.layout.mover;
        mover.is_some_and(|mover| matches!(mover.motion, Motion::Arm { .. }))
    }
}

/// So far the mover goes; where it cannot, it stays.
fn travel_of(ending: &Ending) -> f64 {
    match ending.settled {
        Settled::At(travel) => travel,
        _ => 0.0,
    }
}
