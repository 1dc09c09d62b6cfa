//! What a cause cannot go with, and what a log could not be asked about it.

use super::picture::Picture;
use super::symptoms::{EXPLAINS, SLIPS};
use super::{Blind, Cause, Sign};
use crate::log::Seen;

/// Brushes stay down under this part of a limit that the maker gave, ...
const UNDER: f64 = 0.9;
/// ... and of the low end of one that is assumed.
const FAR_UNDER: f64 = 0.75;

/// What a cause cannot go with.
pub fn rules_out(picture: &Picture, cause: Cause) -> Vec<Sign> {
    let (bands, read) = (&picture.bands, &picture.read);
    let mut signs = Vec::new();
    let charges = bands.serve && read.best > bands.low_v + bands.doubt_v;
    let high = read.high.or(read.mid);
    match cause {
        Cause::BatteryAlone if charges => signs.push(Sign::Charges { volts: read.best }),
        Cause::Overcharge if bands.serve && read.highest < bands.high_v => {
            signs.push(Sign::NeverTooHigh {
                highest_v: read.highest,
                limit_v: bands.high_v,
            });
        }
        Cause::BeltSlip | Cause::BrushFloat | Cause::RpmLoad => {
            if let Some(high_v) = read.high
                && charges
                && high_v > read.best - picture.worth_v
                && picture.fall().gain < EXPLAINS
            {
                signs.push(Sign::NoFallWithRpm {
                    volts: read.best - high_v,
                });
            }
            if cause == Cause::BrushFloat
                && let Some((highest_rpm, limit_rpm, is_assumed)) = picture.limit
                && highest_rpm < limit_rpm * if is_assumed { FAR_UNDER } else { UNDER }
            {
                signs.push(Sign::UnderLimit {
                    highest_rpm,
                    limit_rpm,
                });
            }
            if cause == Cause::BeltSlip
                && let Some(fraction) = picture.beside.slip
                && fraction < SLIPS / 2.0
            {
                signs.push(Sign::AlternatorFollows { fraction });
            }
        }
        Cause::HeatFade => {
            if let Some(fade) = picture.fade.found()
                && fade.volts.value + fade.volts.half_width > -picture.worth_v
                && high.is_some_and(|high| high > bands.low_v)
            {
                signs.push(Sign::NoFade {
                    volts: -fade.volts.value,
                    over_s: fade.over_s,
                });
            }
        }
        Cause::ShortAtIdle => {
            if let Some(idle_v) = read.idle
                && bands.serve
                && idle_v > bands.low_v + bands.doubt_v
            {
                signs.push(Sign::GoodAtIdle { idle_v });
            }
        }
        Cause::LoadSteps if picture.steps.is_empty() && picture.steady_s > 20.0 => {
            signs.push(Sign::NoSteps {
                least_v: picture.least_step_v,
            });
        }
        _ => {}
    }
    signs
}

/// What a cause could not be asked about in this log.
pub fn is_blind(picture: &Picture, cause: Cause) -> bool {
    match cause {
        Cause::HeatFade => picture.fade.found().is_none(),
        Cause::ShortAtIdle => picture.read.idle.is_none(),
        Cause::BeltSlip | Cause::BrushFloat | Cause::RpmLoad => picture.read.high.is_none(),
        Cause::LoadSteps => picture.steady_s < 5.0,
        Cause::BatteryAlone | Cause::Overcharge => !picture.bands.serve,
        _ => false,
    }
}

/// What the log could not be asked at all.
pub fn blinds(picture: &Picture) -> Vec<Blind> {
    let mut found = Vec::new();
    let mut add = |is_so: bool, blind: Blind| {
        if is_so {
            found.push(blind);
        }
    };
    add(
        !picture.has_idle || picture.read.idle.is_none(),
        Blind::NoIdle,
    );
    add(picture.read.high.is_none(), Blind::NoHighSpeed);
    // Without high speed there are no gears to be too slow for.
    add(
        picture.in_gears_v.is_none() && picture.read.high.is_some(),
        Blind::SlowForGears,
    );
    add(
        matches!(picture.ragged, Seen::TooSlow { .. }),
        Blind::SlowForRaggedness,
    );
    add(picture.fade.found().is_none(), Blind::ShortForHeat);
    add(picture.worth_v > 0.3 * picture.bands.scale, Blind::Coarse);
    add(!picture.bands.serve, Blind::Chemistry);
    found
}
