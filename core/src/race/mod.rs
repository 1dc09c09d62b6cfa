//! The pass and the day of a car: planned from what the person entered, run with both
//! pulleys.

mod course;
mod day;
mod model;
mod otherwise;
mod pass;
mod plan;
mod rank;
mod rescue;
mod rounds;
mod swept;
#[cfg(test)]
mod tests;

pub use course::{NoPass, PassAssumed, pass_of};
pub use day::{DayAnswer, DayEnd, DayStudy, ReadingOff};
pub use otherwise::{Otherwise, Passes};
pub use pass::{Course, Moment, MomentKind, PassStudy, Which};
pub use plan::{Charging, Plan, Stretch, plan, template};
pub use rank::{Ranked, rank};
pub use rescue::{Rescue, rescues};
pub use rounds::{Ends, Round};
pub use swept::{Standing, Swept};

use crate::car::Car;
use crate::data::race_memory;
use crate::resolve::Resolved;

/// Lowest voltage that the person will race with, V.
fn least_v(car: &Car, resolved: &Resolved) -> f64 {
    car.day
        .least_v
        .unwrap_or(race_memory::LEAST_V * resolved.nominal_scale)
}
