//! Alternator speed against its limits.

use super::{Over, Overspeed};
use crate::log::dwell::Dwell;
use crate::log::{Known, Missing, Seen, Within};

/// Alternator speed of a pass with a ratio against the limits that the car knows.
pub fn overspeed(dwell: &Dwell, ratio: Option<Within>, known: &Known) -> Seen<Overspeed> {
    let Some(ratio) = ratio.filter(|ratio| ratio.value > 0.0) else {
        return Seen::Missing(Missing::Entry);
    };
    let highest_rpm = dwell.highest_rpm * ratio.value;
    let over = |limit_rpm: f64| Over {
        limit_rpm,
        seconds: dwell.seconds_over_limit(limit_rpm, ratio.value),
        by_rpm: highest_rpm - limit_rpm,
    };
    let limits = &known.limits;
    Seen::Found(Overspeed {
        ratio,
        highest_rpm,
        continuous: (over(limits.continuous.0), over(limits.continuous.1)),
        short: (over(limits.short.0), over(limits.short.1)),
        assumed: limits.assumed,
    })
}
