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
            // The belt had its slip while the speeds were read: the pulleys' own ratio is higher.
            let slip = memory::SLIP.value;
            let read = drive.read_alternator?.rpm() / drive.read_engine?.rpm();
            let ratio = read / (1.0 - slip).powi(stages(car));
            // Two tachometers, each with its own error, and the slip, which is not known better.
            let each = common_practice::TACHOMETER;
            let relative = (2.0 * each * each + slip * slip).sqrt();
            Some((ratio, ratio * relative))
        }
    }
}

/// Belts between crank and alternator.
pub(super) fn stages(car: &Car) -> i32 {
    if car.drive.second_stage.is_some() {
        2
    } else {
        1
    }
}

/// Whether the ratio read at the car can be that of the sizes entered: it was read with
/// other pulleys if they differ by more than both can be off. Nothing speaks against it
/// while not all sizes are known.
pub(super) fn ratio_fits_sizes(car: &Car) -> bool {
    let drive = &car.drive;
    let (Some(crank), Some(fitted), Some((read, half_width))) =
        (&drive.crank, &drive.fitted, ratio_read(car))
    else {
        return true;
    };
    let (mut ratio, mut relative) = (1.0, (half_width / read).powi(2));
    let mut through = |pulley: &Pulley, upwards: bool| {
        let pitch = pulley.pitch(drive.belt);
        let mm = pitch.value.mm();
        ratio *= if upwards { mm } else { mm.recip() };
        relative += (pitch.half_width.mm() / mm).powi(2);
    };
    through(crank, true);
    through(fitted, false);
    if let Some(stage) = &drive.second_stage {
        let (Some(driven), Some(driving)) = (&stage.driven, &stage.driving) else {
            return true;
        };
        through(driving, true);
        through(driven, false);
    }
    (ratio - read).abs() <= relative.sqrt() * ratio.max(read)
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
        // Both are there: `blanks` was asked first.
        for (id, pulley) in [
            (InputId::StageDriven, &stage.driven),
            (InputId::StageDriving, &stage.driving),
        ] {
            if let Some(pulley) = pulley {
                sized(id, pulley);
            }
        }
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
