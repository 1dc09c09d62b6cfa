//! What is uncertain of a pass.

use super::ENTERED;
use super::inputs::{Builder, InputId};
use crate::car::{Car, CourseKind, Gearbox, Tire};
use crate::data::{gearing, memory};
use crate::finding::{Provenance, Unit};

pub(super) fn resolve(car: &Car, to: &mut Builder) {
    let course = &car.course;
    // A lap and typed points are engine speed already.
    if matches!(course.kind, CourseKind::Lap | CourseKind::Points) {
        return;
    }
    let mut number = |id, given: Option<f64>, typical, unit| match given {
        Some(value) => to.symmetric(id, value, 0.0, unit, Provenance::Entered, ENTERED),
        None => to.ranged(id, typical, unit, Provenance::Assumed, memory::SOURCE),
    };
    // A clutch that is through does not slip.
    if course.slip.is_some() || car.engine.gearbox != Some(Gearbox::Manual) {
        number(
            InputId::ConverterSlip,
            course.slip,
            gearing::CONVERTER_SLIP,
            Unit::Ratio,
        );
    }
    number(
        InputId::ShiftTime,
        course.shift_s,
        gearing::SHIFT_S,
        Unit::Second,
    );
    if course.final_drive.is_none() || course.tire_mm.is_none() {
        number(
            InputId::StripeSpeed,
            None,
            gearing::STRIPE_OVER_SHIFT,
            Unit::Ratio,
        );
    }
    if course.tire == Some(Tire::BiasSlick) {
        number(
            InputId::TireGrowth,
            None,
            gearing::SLICK_GROWTH,
            Unit::Ratio,
        );
    }
}
