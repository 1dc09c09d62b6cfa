//! The words of the car's history.

use crate::words::log::{figures, kept, rpm};
use crate::words::names;
use laneside_core::car::Car;
use laneside_core::car::history::{Entry, Event, Machine};
use laneside_core::car::swap::Readings;
use laneside_core::drive::Pulley;
use laneside_core::job::{Due, Fitting};
use laneside_core::quantity::show;

pub fn history() -> &'static str {
    say!("On the car so far")
}
pub fn empty() -> &'static str {
    say!("Nothing is written down yet. A swap that is done writes itself down; so can you.")
}
pub fn note() -> &'static str {
    say!("Write down what is on now")
}
pub fn checked() -> &'static str {
    say!("Belt and nut looked at")
}
pub fn due_label() -> &'static str {
    say!("Next to look at")
}
pub fn passes() -> &'static str {
    say!("Passes kept, and time over the limit")
}
pub fn passes_head() -> [&'static str; 4] {
    say!(["On the car", "Passes", "For good, s", "For moments, s"])
}
pub fn passes_note() -> &'static str {
    say!(
        "Passes are those kept on the page Log. Time is from the low to the high end of an assumed limit."
    )
}
pub fn entries() -> &'static str {
    say!("What was done when")
}
pub fn delete() -> &'static str {
    say!("Delete this entry")
}

/// What an entry is called.
pub fn entry(car: &Car, entry: &Entry) -> String {
    let date = day(&entry.date);
    match entry.event {
        Event::Swapped => format!("{date}: {}", swap(car, entry)),
        Event::Noted => say!("{date}: on the car"),
        Event::Checked => say!("{date}: belt and nut looked at"),
    }
}

/// The day of a day and time.
fn day(date: &str) -> &str {
    date.split(' ').next().unwrap_or(date)
}

fn swap(car: &Car, entry: &Entry) -> String {
    let size = |pulley: Option<Pulley>| {
        pulley.map_or_else(|| tell!("as fitted"), |pulley| names::size(car, &pulley))
    };
    say!("{} off, {} on", size(entry.removed), size(entry.pulley))
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
    let belts = (!belts.is_empty()).then(|| say!("belt {}", belts.join(", ")));
    let known = [
        size(say!("crank"), crank),
        size(say!("alternator"), pulley),
        rated,
        belts,
    ];
    let known: Vec<String> = known.into_iter().flatten().collect();
    if known.is_empty() {
        tell!("not entered")
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
    say!("On: {}.", parts(car, pulleys, &entry.machine, &belts))
}

/// Readings of one side, in a line; empty where there are none.
pub fn readings(when: &str, readings: &Readings) -> String {
    let volts = |what: &str, volts: Option<f64>, decimals: u8| {
        volts.map(|volts| format!("{what} {}\u{a0}V", show::fixed(volts, decimals)))
    };
    let at = readings.at_a.map_or_else(String::new, |amps| {
        say!(" at {}\u{a0}A", show::fixed(amps, 0))
    });
    let known = [
        volts(say!("idle"), readings.idle_v, 2),
        volts(say!("fast idle"), readings.fast_idle_v, 2),
        volts(say!("everything on"), readings.all_on_v, 2),
        volts(say!("lead"), readings.lead_drop_v, 2).map(|drop| format!("{drop}{at}")),
        volts(say!("ground"), readings.ground_drop_v, 2).map(|drop| format!("{drop}{at}")),
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
            what.push_str(say!("; on now"));
        }
        if let Some(since) = &one.since {
            what.push_str(&say!("; since {}", day(since)));
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
            what.push_str(&say!("; up to {}", rpm(worn.highest_rpm)));
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
        Due::AfterFirstHeat { since } => say!(
            "Belt tension and nut, once hot and cold since the swap of {}: before the next round at the latest. Common practice.",
            day(since)
        ),
        Due::EachDay { last } => say!(
            "Belt tension and nut before each race day; looked at last on {}. Common practice.",
            day(last)
        ),
        Due::Log => tell!("A log with what is on now: none is kept yet."),
    }
}

/// What was deleted.
pub fn deleted(car: &Car, entry: &Entry) -> String {
    kept::deleted(&self::entry(car, entry))
}
