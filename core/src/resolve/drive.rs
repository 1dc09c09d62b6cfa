//! Pulleys, ratio and slip.

use super::inputs::{Builder, InputId, RatioFrom};
use crate::car::{Car, RatioBy};
use crate::data::{common_practice, memory};
use crate::drive::{Pulley, pitch_from_effective};
use crate::finding::{Provenance, Unit};
use crate::quantity::{InLength, InRotationalSpeed, mm};

/// The ratio read at the car, with its half-width.
pub(super) fn ratio_read(car: &Car) -> Option<(f64, f64)> {
    let drive = &car.drive;
    match drive.ratio_by {
        RatioBy::Sizes => None,
        RatioBy::Turns => {
            let (crank, alternator) = (drive.crank_turns?, drive.alternator_turns?);
            Some((alternator / crank, common_practice::COUNTED_TURNS / crank))
        }
        RatioBy::Speeds => {
            let ratio = drive.read_alternator?.rpm() / drive.read_engine?.rpm();
            // Two tachometers, each with its own error.
            Some((
                ratio,
                ratio * common_practice::TACHOMETER * std::f64::consts::SQRT_2,
            ))
        }
    }
}

/// What the pitch diameter exceeds the effective one by, mm.
pub(super) fn pitch_over_effective_mm(car: &Car) -> f64 {
    pitch_from_effective(mm(0.0), car.drive.belt).mm()
}

pub(super) fn resolve(car: &Car, to: &mut Builder) {
    let drive = &car.drive;
    let mut sized = |id: InputId, pulley: &Pulley| {
        let pitch = pulley.pitch(drive.belt);
        to.symmetric(
            id,
            pitch.value.mm(),
            pitch.half_width.mm(),
            Unit::Millimeter,
            Provenance::Entered,
            common_practice::SOURCE,
        );
    };
    if let Some(stage) = &drive.second_stage {
        sized(InputId::StageDriven, &stage.driven);
        sized(InputId::StageDriving, &stage.driving);
    }
    if let Some(crank) = &drive.crank {
        sized(InputId::Crank, crank);
    }
    if let Some(fitted) = &drive.fitted {
        sized(InputId::FittedPulley, fitted);
    }
    if let Some(tried) = &drive.tried_crank {
        sized(InputId::TriedCrank, tried);
    }
    if let Some((ratio, half)) = ratio_read(car) {
        to.symmetric(
            InputId::Ratio,
            ratio,
            half,
            Unit::Ratio,
            Provenance::Entered,
            common_practice::SOURCE,
        );
        to.params.ratio_from = match (&drive.crank, &drive.fitted) {
            (_, None) => RatioFrom::ReadWithCrank,
            (None, _) => RatioFrom::ReadWithFitted,
            _ => RatioFrom::Read,
        };
        // One size tells the other.
        to.params.crank_mm = to.params.crank_mm();
        to.params.fitted_mm = to.params.fitted_mm();
    }
    if drive.tried_crank.is_none() {
        to.params.tried_crank_mm = to.params.crank_mm;
    }
    to.ranged(
        InputId::Slip,
        memory::SLIP,
        Unit::Ratio,
        Provenance::Assumed,
        memory::SOURCE,
    );
}
