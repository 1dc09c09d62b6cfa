//! The words of the page Day.

use crate::pages::day::Days;
use crate::parts::verdict::{Status as Form, Verdict};
use crate::words::{names, pass};
use laneside_core::car::{Car, DayStep};
use laneside_core::day::Books;
use laneside_core::finding::{Status, Unit};
use laneside_core::quantity::{System, show};
use laneside_core::race::{DayStudy, Ends, Otherwise, Rescue};
use laneside_core::tolerance::Spread95;

pub const ANSWERS: &str =
    "Day follows the battery round after round, with both pulleys, and says whether it lasts.";
pub const NEEDS: &str = "Needed: the car's pulleys, alternator and loads first.";
pub const ENTER: &str = "Enter what is missing";
pub const CHART: &str = "Chart of the day";
pub const RAIL: &str = "Time of the day";
pub const EARLIER: &str = "Earlier";
pub const LATER: &str = "Later";
pub const PERCENT: &str = "% charged";
pub const CHARGE_AXIS: &str = "battery charge, %";
pub const VOLTAGE_AXIS: &str = "lowest with the engine running, V";
pub const TIME_AXIS: &str = "hours";
pub const ROUNDS_TABLE: &str = "Round after round";
pub const ROUNDS_HEAD: [&str; 6] = [
    "Round",
    "charge after, %",
    "lowest running, V",
    "at a start, V",
    "rests at, V",
    "alternator",
];
pub const RESCUES: &str = "What saves the day";
pub const RESCUES_NOTE: &str = "The least of each kind, by itself, with the day run again.";
pub const NO_RESCUE: &str = "Nothing by itself: not the charger through every stay in the pits, not one load off, not a pulley on hand. Two together may.";
pub const OTHERWISE: &str = "And if";
pub const DAY: &str = "The day";
pub const KIND: (&str, [&str; 3]) = (
    "Kind of day",
    ["Bracket day", "Track day, sessions", "Test and tune"],
);
pub const KIND_NOTE: &str = "Another kind puts its usual steps in place of yours.";
pub const STEPS: &str = "One round, step by step";
pub const STEPS_NOTE: &str = "Times are common practice until you change them.";
pub const ADD_STEP: &str = "Add a step";
pub const REMOVE_STEP: &str = "Take out this step";
pub const FULL: &str = "No more than 24.";
pub const PHASE: &str = "Phase";
pub const WITH: &str = "In this step";
pub const SWITCHES: [&str; 2] = ["Pit charger on", "All switched off"];
pub const READING: &str = "A meter reading during the day";
pub const READING_NOTE: &str = "With everything off. It sets the charge from that round on.";
pub const CHARGER: &str = "Pit charger";
pub const LATE: &str = "Shorter stays in the pits late in the day";
pub const MORE: &str = "Weather, starter, lowest voltage";
pub const SOURCES: &str = "Battery, wiring and times as their own notes say; templates of a day: common practice, no source; solved with the pair of Dormand and Prince, 1980.";

/// The verdict on one pulley's day; its spreads come a moment later.
pub fn verdict(day: &DayStudy, spreads: Option<&[Spread95]>) -> Verdict {
    let percent = |part: f64| show::fixed(100.0 * part, 0);
    let Some(spreads) = spreads else {
        return Verdict {
            status: Form::Blank,
            word: "WORKING OUT".to_owned(),
            figure: format!("{} %", percent(day.end_soc())),
            line: "Charge at the end. How sure it is comes in a moment.".to_owned(),
            action: None,
        };
    };
    let range = |place: usize| {
        spreads.get(place).map_or((0.0, 0.0), |found| {
            (
                found.spread.least(found.value),
                found.spread.most(found.value),
            )
        })
    };
    let (low, high) = range(0);
    let (low, high) = (percent(low.max(0.0)), percent(high.min(1.0)));
    let figure = if low == high {
        format!("{low} %")
    } else {
        format!("{low} to {high} %")
    };
    let lowest = format!(
        "Charge at the end. Lowest running {} V",
        pass::volts(day.lowest_v())
    );
    let (status, word, line) = match (day.status(spreads), day.ends()) {
        (Status::Holds, _) => (
            Form::Holds,
            "LASTS",
            match day.gone {
                Some((_, gone_v)) => format!(
                    "{lowest}, {} V if output over the limit is gone.",
                    pass::volts(gone_v)
                ),
                None => format!("{lowest}, over {rounds} rounds.", rounds = day.rounds.len()),
            },
        ),
        (Status::Fails, Some((round, ends))) => (
            Form::Over,
            "RUNS OUT",
            format!("In round {round}: {}.", self::ends(day, ends)),
        ),
        (Status::Fails, None) => (Form::Over, "RUNS OUT", format!("{lowest}.")),
        (Status::TooClose, Some((round, ends))) => (
            Form::Close,
            "TOO CLOSE",
            format!("May end in round {round}: {}.", self::ends(day, ends)),
        ),
        (Status::TooClose, _) if day.gone.is_some_and(|gone| gone.1 < day.least_v) => (
            Form::Close,
            "TOO CLOSE",
            format!(
                "{lowest} if output over the limit holds, {} V if it is gone.",
                pass::volts(day.gone.map_or(0.0, |gone| gone.1))
            ),
        ),
        (Status::TooClose, _) => (
            Form::Close,
            "TOO CLOSE",
            format!(
                "{lowest}; between {} and {} V.",
                pass::volts(range(1).0),
                pass::volts(range(1).1)
            ),
        ),
    };
    Verdict {
        status,
        word: word.to_owned(),
        figure,
        line,
        action: None,
    }
}

fn ends(day: &DayStudy, ends: Ends) -> String {
    match ends {
        Ends::Start => format!(
            "under {} V at a start, it may not turn over",
            pass::volts(day.cranks_v)
        ),
        Ends::Voltage => format!(
            "under {} V with the engine running",
            pass::volts(day.least_v)
        ),
        Ends::Empty => "the battery is empty".to_owned(),
    }
}

/// The charge at a time (h).
pub fn charge_at(day: &DayStudy, hours: f64) -> String {
    day.at(hours * 3_600.0)
        .map_or_else(String::new, |(_, sample)| {
            show::fixed(100.0 * sample.soc, 0)
        })
}

/// The voltage at the posts at a time (h).
pub fn volts_at(day: &DayStudy, hours: f64) -> String {
    day.at(hours * 3_600.0)
        .map_or_else(String::new, |(_, sample)| {
            format!("{} V at the battery", show::fixed(sample.settled.node_v, 1))
        })
}

/// Hours and minutes.
fn clock(hours: f64) -> String {
    let minutes = (hours * 60.0).round();
    format!(
        "{}:{:02} h",
        (minutes / 60.0).floor(),
        (minutes % 60.0) as u32
    )
}

/// The moment of the readout.
pub fn at(car: &Car, days: &Days, hours: f64) -> String {
    let here = days
        .each
        .first()
        .and_then(|(_, day)| day.at(hours * 3_600.0));
    here.map_or_else(String::new, |(segment, _)| {
        format!(
            "after {}, round {}, {}",
            clock(hours),
            segment.round,
            names::phase(car, segment.place)
        )
    })
}

/// The readout in words.
pub fn readings(days: &Days, hours: f64, at: &str) -> String {
    let each = days.each.iter().map(|(name, day)| {
        format!(
            "{name}: {} % charged, {}",
            charge_at(day, hours),
            volts_at(day, hours)
        )
    });
    format!("{at}: {}", each.collect::<Vec<_>>().join("; "))
}

/// The chart in words.
pub fn summary(days: &Days) -> String {
    let each = days.each.iter().map(|(name, day)| {
        format!(
            "{name}: {} % charged at the end, lowest {} V with the engine running",
            show::fixed(100.0 * day.end_soc(), 0),
            pass::volts(day.lowest_v())
        )
    });
    format!(
        "Battery charge and lowest voltage over the day. {}.",
        each.collect::<Vec<_>>().join("; ")
    )
}

/// The line that the person will not race under.
pub fn least(volts_v: f64) -> String {
    format!("least: {} V", pass::volts(volts_v))
}

/// The rounds as rows.
pub fn rounds(day: &DayStudy, units: System) -> Vec<Vec<String>> {
    let volts = |value: f64| {
        if value.is_finite() {
            pass::volts(value)
        } else {
            "none".to_owned()
        }
    };
    (1..)
        .zip(&day.rounds)
        .map(|(number, round): (u32, _)| {
            let mark = if round.ends.is_some() { ": ends" } else { "" };
            vec![
                format!("{number}{mark}"),
                show::fixed(100.0 * round.end_soc, 0),
                volts(round.lowest_v),
                volts(round.crank_v),
                show::fixed(round.rest_v, 2),
                names::quantity(round.alternator_c, Unit::Celsius, units),
            ]
        })
        .collect()
}

/// What saves a day, as an instruction.
pub fn rescue(car: &Car, rescue: &Rescue) -> String {
    match rescue {
        Rescue::Charger { minutes } => format!(
            "The charger on, {} min of every stay in the pits.",
            show::fixed(*minutes, 0)
        ),
        Rescue::Load { place } => {
            let id = laneside_core::resolve::InputId::Load(*place);
            format!(
                "{} off while the engine is off.",
                capital(&names::input(car, id))
            )
        }
        Rescue::Pulley { pulley } => format!("The {} pulley.", names::size(car, pulley)),
    }
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// The same day in other ways, line by line.
pub fn otherwise(other: &Otherwise, gone: Option<(f64, f64)>) -> Vec<String> {
    let count = |passes: Option<(u32, Ends)>| match passes {
        None => "more than 30 passes".to_owned(),
        Some((1, ends)) => format!("1 pass, then {}", stops(ends)),
        Some((passes, ends)) => format!("{passes} passes, then {}", stops(ends)),
    };
    let mut lines = vec![
        format!("Back to back, no break: {}.", count(other.passes)),
        format!(
            "With a dead alternator, on the battery alone: {}.",
            count(other.passes_on_battery)
        ),
    ];
    let other_day = |(soc, volts): (f64, f64)| {
        format!(
            "{} % at the end, lowest {} V",
            show::fixed(100.0 * soc, 0),
            pass::volts(volts)
        )
    };
    lines.extend(gone.map(|day| format!("If output over the limit is gone: {}.", other_day(day))));
    lines.extend(other.not_revved.map(|day| {
        format!(
            "If nobody revs it once after a start, so that it never turns on at idle: {}.",
            other_day(day)
        )
    }));
    lines
}

fn stops(ends: Ends) -> &'static str {
    match ends {
        Ends::Start => "it may not turn over",
        Ends::Voltage => "the voltage is too low",
        Ends::Empty => "the battery is empty",
    }
}

/// What is known of a step.
pub fn step(step: &DayStep, is_pass: bool) -> String {
    let mut line = if is_pass {
        "as long as the pass".to_owned()
    } else if step.seconds < 90.0 {
        format!("{} s", show::fixed(step.seconds, 0))
    } else {
        format!("{} min", show::fixed(step.seconds / 60.0, 0))
    };
    if step.off {
        line.push_str(", all off");
    }
    match step.starts {
        0 => {}
        1 => line.push_str(", 1 start"),
        more => line.push_str(&format!(", {more} starts")),
    }
    if step.charger {
        line.push_str(", charger on");
    }
    line
}

/// The energy books in words.
pub fn books(books: &Books) -> String {
    let wh = |joules: f64| show::fixed(joules / 3_600.0, 0);
    let lost = books.path_j + books.ohmic_j + books.pair_j + books.unstored_j;
    format!(
        "{} Wh made, {} into loads, {} lost, {} stored",
        wh(books.generated_j),
        wh(books.loads_j),
        wh(lost),
        wh(books.stored_j)
    )
}
