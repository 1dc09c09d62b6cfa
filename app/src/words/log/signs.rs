//! What a log shows, sign by sign.

use super::{amps, rpm, seconds, tenths, volts};
use laneside_core::log::diagnose::Sign;
use laneside_core::quantity::show;

fn percent(fraction: f64) -> String {
    format!("{}\u{a0}%", show::fixed(100.0 * fraction, 1))
}

/// A sign in one short sentence.
pub fn sign(sign: &Sign) -> String {
    match *sign {
        Sign::Good {
            lowest_v,
            highest_v,
        } => format!(
            "Good all the time: {} to {}.",
            show::fixed(lowest_v, 2),
            volts(highest_v)
        ),
        // Four readings by hand may come without rpm.
        Sign::FallsWithRpm {
            volts: fall,
            to_rpm,
            ..
        } if to_rpm.is_nan() || to_rpm <= 0.0 => {
            format!("Falls {} as rpm rises.", volts(fall.abs()))
        }
        Sign::FallsWithRpm {
            volts: fall,
            from_rpm,
            to_rpm,
        } => format!(
            "Falls {} from {} to {}.",
            volts(fall.abs()),
            rpm(from_rpm),
            rpm(to_rpm)
        ),
        Sign::NoFallWithRpm { volts: change } => {
            format!("Does not fall as rpm rises ({}).", volts(change))
        }
        Sign::BackAtOnce {
            volts: back,
            within_s,
        } => {
            let soon = if within_s < 0.1 {
                "at once".to_owned()
            } else {
                format!("within {}", seconds(within_s))
            };
            format!("Comes back with rpm: {} {soon}.", volts(back))
        }
        Sign::StaysDown { volts: down } => {
            format!("Stays {} down when rpm comes back.", volts(down.abs()))
        }
        Sign::FromSpeed { rpm: from } => format!("Falls only from {} on.", rpm(from)),
        Sign::EvenOverSpeed { volts_per_1000_rpm } => format!(
            "Falls evenly: {} each 1,000\u{a0}rpm.",
            volts(volts_per_1000_rpm.abs())
        ),
        Sign::RaggedAtSpeed { high_v, low_v } => format!(
            "Ragged at speed: {}, {} at low rpm.",
            volts(high_v),
            volts(low_v)
        ),
        Sign::SmoothAtSpeed { high_v, low_v } => format!(
            "As smooth at speed as below: {} and {}.",
            volts(high_v),
            volts(low_v)
        ),
        Sign::Fades {
            volts: fade,
            over_s,
        } => format!(
            "{} lower at the same rpm {} later.",
            volts(fade.abs()),
            seconds(over_s)
        ),
        Sign::NoFade { over_s, .. } => {
            format!("The same at the same rpm {} later.", seconds(over_s))
        }
        Sign::Steps {
            count,
            volts: height,
        } => format!(
            "{count} {} at steady rpm, {} each.",
            if count == 1 { "step" } else { "steps" },
            volts(height.abs())
        ),
        Sign::NoSteps { least_v } => {
            format!("No steps over {} at steady rpm.", volts(least_v))
        }
        Sign::Ramps {
            count,
            volts: height,
            seconds: long,
        } => format!(
            "{count} {} of {} over {} that rpm does not explain.",
            if count == 1 { "ramp" } else { "ramps" },
            volts(height.abs()),
            seconds(long)
        ),
        Sign::DropsOut { volts: down, at_s } => format!(
            "Drops to {} at {} and stays there.",
            volts(down),
            seconds(at_s)
        ),
        Sign::LowAtIdle { idle_v, above_v } => {
            format!("{} at idle, {} above.", volts(idle_v), volts(above_v))
        }
        Sign::GoodAtIdle { idle_v } => format!("Good at idle: {}.", volts(idle_v)),
        Sign::NotCharging { volts: found } => {
            format!("{} with the engine running: nothing charges.", volts(found))
        }
        Sign::Charges { volts: found } => {
            format!("Reaches {}: it does charge.", volts(found))
        }
        Sign::LowAtEverySpeed { volts: found } => {
            format!("Low at every rpm alike: {}.", volts(found))
        }
        Sign::SameAsOff { off_v, running_v } => format!(
            "{} with the engine off, {} running: the same.",
            volts(off_v),
            volts(running_v)
        ),
        Sign::HigherThanOff { off_v, running_v } => format!(
            "{} running, {} with the engine off: it charges.",
            volts(running_v),
            volts(off_v)
        ),
        Sign::TooHigh {
            volts: found,
            limit_v,
        } => format!("Goes to {}, over {}.", volts(found), tenths(limit_v)),
        Sign::NeverTooHigh { highest_v, limit_v } => format!(
            "Never over {} ({} allowed).",
            volts(highest_v),
            tenths(limit_v)
        ),
        Sign::RisesWithRpm { volts: rise } => {
            format!("Rises {} as rpm rises.", volts(rise.abs()))
        }
        Sign::Wanders { volts: by } => {
            format!("Wanders by {} at steady rpm.", volts(by.abs()))
        }
        Sign::Sinks { volts_per_minute } => format!(
            "Sinks {} a minute, as a battery does that gives.",
            volts(volts_per_minute.abs())
        ),
        Sign::AlternatorFallsBehind { fraction } => format!(
            "The alternator turns up to {} slower than rpm says.",
            percent(fraction.abs())
        ),
        Sign::AlternatorFollows { fraction } => format!(
            "The alternator follows rpm within {}.",
            percent(fraction.abs())
        ),
        Sign::AmpsFall { amps: change } => {
            format!("Current falls with the voltage, by {}.", amps(change.abs()))
        }
        Sign::AmpsHold { amps: change } => format!(
            "Current holds or rises as the voltage falls ({}).",
            amps(change)
        ),
        Sign::BatteryGives { amps: found } => format!(
            "The battery gives {} with the engine running.",
            amps(found.abs())
        ),
        Sign::UnderLimit {
            highest_rpm,
            limit_rpm,
        } => format!(
            "The alternator stays under its limit: {} of {}.",
            show::grouped((highest_rpm / 10.0).round() * 10.0, 0),
            rpm(limit_rpm)
        ),
        Sign::OverLimit {
            highest_rpm,
            limit_rpm,
        } => format!(
            "The alternator is spun past its limit: {}, limit {}.",
            rpm(highest_rpm),
            rpm(limit_rpm)
        ),
        Sign::OddAtRest { off_v } => format!(
            "{} with the engine off: no battery that just started it rests there.",
            volts(off_v)
        ),
        Sign::Flickers { count } => {
            format!("Lost for single samples, {count} times: no battery lets it fall so fast.")
        }
        Sign::UntilRevved { before_v, after_v } => format!(
            "{} until the engine was revved, {} after.",
            volts(before_v),
            volts(after_v)
        ),
        Sign::BandsDoNotServe => "This battery's voltage says little about charging.".to_owned(),
    }
}
