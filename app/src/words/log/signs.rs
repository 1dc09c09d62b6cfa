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
        } => say!(
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
            say!("Falls {} as rpm rises.", volts(fall.abs()))
        }
        Sign::FallsWithRpm {
            volts: fall,
            from_rpm,
            to_rpm,
        } => say!(
            "Falls {} from {} to {}.",
            volts(fall.abs()),
            rpm(from_rpm),
            rpm(to_rpm)
        ),
        Sign::NoFallWithRpm { volts: change } => {
            say!("Does not fall as rpm rises ({}).", volts(change))
        }
        Sign::BackAtOnce {
            volts: back,
            within_s,
        } => {
            let soon = if within_s < 0.1 {
                tell!("at once")
            } else {
                say!("within {}", seconds(within_s))
            };
            say!("Comes back with rpm: {} {soon}.", volts(back))
        }
        Sign::StaysDown { volts: down } => {
            say!("Stays {} down when rpm comes back.", volts(down.abs()))
        }
        Sign::FromSpeed { rpm: from } => say!("Falls only from {} on.", rpm(from)),
        Sign::EvenOverSpeed { volts_per_1000_rpm } => say!(
            "Falls evenly: {} each 1,000\u{a0}rpm.",
            volts(volts_per_1000_rpm.abs())
        ),
        Sign::RaggedAtSpeed { high_v, low_v } => say!(
            "Ragged at speed: {}, {} at low rpm.",
            volts(high_v),
            volts(low_v)
        ),
        Sign::SmoothAtSpeed { high_v, low_v } => say!(
            "As smooth at speed as below: {} and {}.",
            volts(high_v),
            volts(low_v)
        ),
        Sign::Fades {
            volts: fade,
            over_s,
        } => say!(
            "{} lower at the same rpm {} later.",
            volts(fade.abs()),
            seconds(over_s)
        ),
        Sign::NoFade { over_s, .. } => {
            say!("The same at the same rpm {} later.", seconds(over_s))
        }
        Sign::Steps {
            count,
            volts: height,
        } => say!(
            "{count} {} at steady rpm, {} each.",
            say!(if count == 1 { "step" } else { "steps" }),
            volts(height.abs())
        ),
        Sign::NoSteps { least_v } => {
            say!("No steps over {} at steady rpm.", volts(least_v))
        }
        Sign::Ramps {
            count,
            volts: height,
            seconds: long,
        } => say!(
            "{count} {} of {} over {} that rpm does not explain.",
            say!(if count == 1 { "ramp" } else { "ramps" }),
            volts(height.abs()),
            seconds(long)
        ),
        Sign::DropsOut { volts: down, at_s } => say!(
            "Drops by {} at {} and stays down.",
            volts(down),
            seconds(at_s)
        ),
        Sign::LowAtIdle { idle_v, above_v } => {
            say!("{} at idle, {} above.", volts(idle_v), volts(above_v))
        }
        Sign::GoodAtIdle { idle_v } => say!("Good at idle: {}.", volts(idle_v)),
        Sign::NotCharging { volts: found } => {
            say!("{} with the engine running: nothing charges.", volts(found))
        }
        Sign::Charges { volts: found } => {
            say!("Reaches {}: it does charge.", volts(found))
        }
        Sign::LowAtEverySpeed { volts: found } => {
            say!("Low at every rpm alike: {}.", volts(found))
        }
        Sign::SameAsOff { off_v, running_v } => say!(
            "{} with the engine off, {} running: the same.",
            volts(off_v),
            volts(running_v)
        ),
        Sign::HigherThanOff { off_v, running_v } => say!(
            "{} running, {} with the engine off: it charges.",
            volts(running_v),
            volts(off_v)
        ),
        Sign::TooHigh {
            volts: found,
            limit_v,
        } => say!("Goes to {}, over {}.", volts(found), tenths(limit_v)),
        Sign::NeverTooHigh { highest_v, limit_v } => say!(
            "Never over {} ({} allowed).",
            volts(highest_v),
            tenths(limit_v)
        ),
        Sign::RisesWithRpm { volts: rise } => {
            say!("Rises {} as rpm rises.", volts(rise.abs()))
        }
        Sign::Wanders { volts: by } => {
            say!("Wanders by {} at steady rpm.", volts(by.abs()))
        }
        Sign::Sinks { volts_per_minute } => say!(
            "Sinks {} a minute, as a battery does that gives.",
            volts(volts_per_minute.abs())
        ),
        Sign::AlternatorFallsBehind { fraction } => say!(
            "The alternator turns up to {} slower than rpm says.",
            percent(fraction.abs())
        ),
        Sign::AlternatorFollows { fraction } => say!(
            "The alternator follows rpm within {}.",
            percent(fraction.abs())
        ),
        Sign::AmpsFall { amps: change } => {
            say!("Current falls with the voltage, by {}.", amps(change.abs()))
        }
        Sign::AmpsHold { amps: change } => say!(
            "Current holds or rises as the voltage falls ({}).",
            amps(change)
        ),
        Sign::BatteryGives { amps: found } => say!(
            "The battery gives {} with the engine running.",
            amps(found.abs())
        ),
        Sign::UnderLimit {
            highest_rpm,
            limit_rpm,
        } => say!(
            "The alternator stays under its limit: {} of {}.",
            show::grouped((highest_rpm / 10.0).round() * 10.0, 0),
            rpm(limit_rpm)
        ),
        Sign::OverLimit {
            highest_rpm,
            limit_rpm,
        } => say!(
            "The alternator is spun past its limit: {}, limit {}.",
            rpm(highest_rpm),
            rpm(limit_rpm)
        ),
        Sign::OddAtRest { off_v } => say!(
            "{} with the engine off: no battery that just started it rests there.",
            volts(off_v)
        ),
        Sign::Flickers { count } => {
            say!("Lost for single samples, {count} times: no battery lets it fall so fast.")
        }
        Sign::UntilRevved { before_v, after_v } => say!(
            "{} until the engine was revved, {} after.",
            volts(before_v),
            volts(after_v)
        ),
        Sign::BandsDoNotServe => {
            tell!("This battery's voltage says little about charging.")
        }
    }
}
