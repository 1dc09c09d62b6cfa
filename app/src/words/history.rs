//! The words of the car's history.

use crate::words::log::{figures, kept, rpm};
use crate::words::names;
use laneside_core::car::Car;
use laneside_core::car::history::{Entry, Event, Machine};
use laneside_core::car::swap::Readings;
use laneside_core::drive::Pulley;
use laneside_core::job::{Due, Fitting};
use laneside_core::quantity::show;

pub const HISTORY: &str = "On the car so far";
pub const EMPTY: &str =
    "Nothing is written down yet. A swap that is done writes itself down; so can you.";
pub const NOTE: &str = "Write down what is on now";
pub const CHECKED: &str = "Belt and nut looked at";
pub const DUE: &str = "Next to look at";
pub const PASSES: &str = "Passes kept, and time over the limit";
pub const PASSES_HEAD: [&str; 4] = ["On the car", "Passes", "For good, s", "For moments, s"];
pub const PASSES_NOTE: &str = "Passes are those kept on the page Log. Time is from the low to the high end of an assumed limit.";
pub const ENTRIES: &str = "What was done when";
pub const DELETE: &str = "Delete this entry";

/// What an entry is called.
pub fn entry(car: &Car, entry: &Entry) -> String {
    let date = day(&entry.date);
    match entry.event {
        Event::Swapped => format!("{date}: {}", swap(car, entry)),
        Event::Noted => format!("{date}: on the car"),
        Event::Checked => format!("{date}: belt and nut looked at"),
    }
}

/// The day of a day and time.
fn day(date: &str) -> &str {
    date.split(' ').next().unwrap_or(date)
}

fn swap(car: &Car, entry: &Entry) -> String {
    let size = |pulley: Option<Pulley>| {
        pulley.map_or_else(
            || "as fitted".to_owned(),
            |pulley| names::size(car, &pulley),
        )
    };
    format!("{} off, {} on", size(entry.removed), size(entry.pulley))
}

/// Pulleys, alternator and belts in one line.
fn parts(
    car: &Car,
    (crank, pulley): (Option<Pulley>, Option<Pulley>),
    machine: &Machine,
    belts: &[String],
) -> String {
    let size = |what: &str, pulley: Option<Pulley>| {
        pulley.map(|pulley| format!("{what} {}", names::size(car, &pulley)))
    };
    let rated = machine
        .rated_a
        .map(|rated| format!("{}\u{a0}A", show::fixed(rated, 0)));
    let belts = (!belts.is_empty()).then(|| format!("belt {}", belts.join(", ")));
    let known = [
        size("crank", crank),
        size("alternator", pulley),
        rated,
        belts,
    ];
    let known: Vec<String> = known.into_iter().flatten().collect();
    if known.is_empty() {
        "not entered".to_owned()
    } else {
        known.join(", ")
    }
}

/// What was on the car from an entry on.
pub fn on(car: &Car, entry: &Entry) -> String {
    let belts: Vec<String> = Some(entry.belt.clone())
        .filter(|belt| !belt.is_empty())
        .into_iter()
        .collect();
    let pulleys = (entry.crank, entry.pulley);
    format!("On: {}.", parts(car, pulleys, &entry.machine, &belts))
}

/// Readings of one side, in a line; empty where there are none.
pub fn readings(when: &str, readings: &Readings) -> String {
    let volts = |what: &str, volts: Option<f64>, decimals: u8| {
        volts.map(|volts| format!("{what} {}\u{a0}V", show::fixed(volts, decimals)))
    };
    let at = readings.at_a.map_or_else(String::new, |amps| {
        format!(" at {}\u{a0}A", show::fixed(amps, 0))
    });
    let known = [
        volts("idle", readings.idle_v, 2),
        volts("fast idle", readings.fast_idle_v, 2),
        volts("everything on", readings.all_on_v, 2),
        volts("lead", readings.lead_drop_v, 2).map(|drop| format!("{drop}{at}")),
        volts("ground", readings.ground_drop_v, 2).map(|drop| format!("{drop}{at}")),
    ];
    let known: Vec<String> = known.into_iter().flatten().collect();
    if known.is_empty() {
        String::new()
    } else {
        format!("{when}: {}.", known.join(", "))
    }
}

/// One row a set of pulleys and alternator.
pub fn fittings(car: &Car, all: &[Fitting]) -> Vec<Vec<String>> {
    let row = |one: &Fitting| {
        let mut what = parts(car, (one.crank, one.pulley), &one.machine, &one.belts);
        if one.is_on_car {
            what.push_str("; on now");
        }
        if let Some(since) = &one.since {
            what.push_str(&format!("; since {}", day(since)));
        }
        let time = |of: fn(&laneside_core::log::kept::Worn) -> (f64, f64)| {
            one.worn.as_ref().map_or_else(
                || "\u{2013}".to_owned(),
                |worn| {
                    let (low, high) = of(worn);
                    figures::ends(low, high, figures::plain_s)
                },
            )
        };
        if let Some(worn) = &one.worn {
            what.push_str(&format!("; up to {}", rpm(worn.highest_rpm)));
        }
        vec![
            what,
            one.passes.to_string(),
            time(|worn| worn.continuous_s),
            time(|worn| worn.short_s),
        ]
    };
    all.iter().map(row).collect()
}

/// What is due.
pub fn due(due: &Due) -> String {
    match due {
        Due::AfterFirstHeat { since } => format!(
            "Belt tension and nut, once hot and cold since the swap of {}: before the next round at the latest. Common practice.",
            day(since)
        ),
        Due::EachDay { last } => format!(
            "Belt tension and nut before each race day; looked at last on {}. Common practice.",
            day(last)
        ),
        Due::Log => "A log with what is on now: none is kept yet.".to_owned(),
    }
}

/// What was deleted.
pub fn deleted(car: &Car, entry: &Entry) -> String {
    kept::deleted(&self::entry(car, entry))
}
