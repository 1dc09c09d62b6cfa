//! Engine speeds.

use super::inputs::{Builder, InputId};
use crate::car::{Car, Gearbox};
use crate::data::{common_practice, memory};
use crate::finding::{Provenance, Unit};
use crate::quantity::InRotationalSpeed;

pub(super) fn resolve(car: &Car, to: &mut Builder) {
    let engine = &car.engine;
    // Both are there: `blanks` was asked first.
    let limiter = engine.limiter.map_or(0.0, |speed| speed.rpm());
    let idle = engine.idle.map_or(0.0, |speed| speed.rpm());
    to.params.limiter_rpm = limiter;
    to.symmetric(
        InputId::Idle,
        idle,
        common_practice::IDLE_WANDER_RPM,
        Unit::Rpm,
        Provenance::Entered,
        common_practice::SOURCE,
    );
    match engine.overshoot {
        Some(overshoot) => to.params.overshoot_rpm = overshoot.rpm(),
        None => to.ranged(
            InputId::Overshoot,
            memory::OVERSHOOT_RPM,
            Unit::Rpm,
            Provenance::Assumed,
            memory::SOURCE,
        ),
    }
    let drop = common_practice::IN_GEAR_DROP_RPM;
    match (engine.idle_in_gear, engine.gearbox) {
        (Some(in_gear), _) => to.params.in_gear_drop_rpm = idle - in_gear.rpm(),
        (None, Some(Gearbox::Manual)) => to.params.in_gear_drop_rpm = 0.0,
        (None, _) => {
            let drop = drop.min(idle * 0.2);
            to.symmetric(
                InputId::InGearDrop,
                drop,
                drop,
                Unit::Rpm,
                Provenance::Assumed,
                common_practice::SOURCE,
            );
        }
    }
    let share_of_limiter = |share: memory::Default| {
        let at = |part: f64| (part * limiter).clamp(idle, limiter);
        memory::Default {
            value: at(share.value),
            lowest: at(share.lowest),
            highest: at(share.highest),
        }
    };
    match engine.launch {
        Some(launch) => to.params.launch_rpm = launch.rpm(),
        None => {
            let launch = share_of_limiter(common_practice::LAUNCH_OF_LIMITER);
            to.ranged(
                InputId::Launch,
                launch,
                Unit::Rpm,
                Provenance::Assumed,
                common_practice::SOURCE,
            );
        }
    }
    match engine.shift {
        Some(shift) => to.params.shift_rpm = shift.rpm(),
        None => {
            let shift = share_of_limiter(common_practice::SHIFT_OF_LIMITER);
            to.ranged(
                InputId::Shift,
                shift,
                Unit::Rpm,
                Provenance::Assumed,
                common_practice::SOURCE,
            );
        }
    }
}
