//! Kept passes, two of them side by side, and the time over the limits.

use super::figures::{ends, plain_s};
use super::{rpm, volts};
use crate::parts::verdict::{Status, Verdict};
use crate::store::shelf::ShelfError;
use crate::words::names;
use laneside_core::car::Car;
use laneside_core::drive::Pulley;
use laneside_core::log::Within;
use laneside_core::log::compare::{Comparison, Cure, Measure, Pair};
use laneside_core::log::kept::{Fitted, KeptPass, Worn};
use laneside_core::quantity::{InElectricCurrent, show};

pub fn keep() -> &'static str {
    say!("Keep this pass")
}
pub fn kept() -> &'static str {
    say!("Kept passes")
}
pub fn is_kept() -> &'static str {
    say!("This pass is kept.")
}
pub fn name() -> &'static str {
    say!("Name")
}
pub fn delete() -> &'static str {
    say!("Delete")
}
pub fn undo() -> &'static str {
    say!("Undo")
}
pub fn close() -> &'static str {
    say!("Close")
}
pub fn kept_note() -> &'static str {
    say!(
        "Kept on this phone with the car, thinned to what its picture needs. The car's file holds them too."
    )
}
pub fn compare() -> &'static str {
    say!("Before and after")
}
pub fn before() -> &'static str {
    say!("Before")
}
pub fn after() -> &'static str {
    say!("After")
}
pub fn changed() -> &'static str {
    say!(in "difference", "Change")
}
pub fn this() -> &'static str {
    say!("This pass")
}
pub fn same_pass() -> &'static str {
    say!("Pick two passes that differ.")
}
pub fn none_before() -> &'static str {
    say!("Keep a pass, change one thing, log another: here they stand side by side.")
}
pub fn worn_label() -> &'static str {
    say!("Time over the limit, all kept passes")
}
pub fn worn_head() -> [&'static str; 3] {
    say!(["On the car", "For good, s", "For moments, s"])
}
pub fn unreadable() -> &'static str {
    say!("Some kept passes cannot be read by this version. They are left as they are.")
}

/// What was not kept, and what to do.
pub fn trouble(error: ShelfError) -> &'static str {
    say!(match error {
        ShelfError::Refused => {
            "This browser does not let passes be kept: they are here until it is closed. Save the car as a file on the page Cars: it holds them."
        }
        ShelfError::Full => {
            "No room is left on this phone: the pass is here until the browser is closed. Delete other passes, or save the car as a file on the page Cars: it holds them."
        }
    })
}

/// What a pass is called until the person says otherwise.
pub fn name_of(pass: &str, file: &str) -> String {
    let stem = file.rsplit_once('.').map_or(file, |(stem, _)| stem);
    format!("{pass}, {stem}")
}

/// The day and time, as a kept pass shows it.
pub fn date(now: &js_sys::Date) -> String {
    format!(
        "{}-{:02}-{:02} {}:{:02}",
        now.get_full_year(),
        now.get_month() + 1,
        now.get_date(),
        now.get_hours(),
        now.get_minutes()
    )
}

/// What was deleted.
pub fn deleted(name: &str) -> String {
    say!("Deleted {name}.")
}

/// What was on the car, in the car's units; may be empty.
fn fitted(car: &Car, fitted: &Fitted) -> String {
    let size = |what: &str, pulley: Option<Pulley>| {
        pulley.map(|pulley| format!("{what} {}", names::size(car, &pulley)))
    };
    let rated = fitted.alternator.rated;
    let known = [
        size(say!("crank"), fitted.crank),
        size(say!("alternator"), fitted.pulley),
        rated.map(|rated| super::amps(rated.amps())),
    ];
    known.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

/// A kept pass in one line.
pub fn line(car: &Car, pass: &KeptPass) -> String {
    let lowest = pass
        .figures
        .lowest
        .found()
        .map_or_else(String::new, |lowest| {
            say!(", lowest {}", volts(lowest.volts))
        });
    let on = fitted(car, &pass.fitted);
    let on = if on.is_empty() { on } else { format!(", {on}") };
    format!("{}{on}{lowest}", pass.date)
}

/// A figure's name and unit.
fn measure(measure: Measure) -> (&'static str, &'static str) {
    match measure {
        Measure::Idle => (say!("Idle"), "V"),
        Measure::Launch => (say!("Launch"), "V"),
        Measure::Lowest => (say!("Lowest"), "V"),
        Measure::Stripe => (say!("Stripe"), "V"),
        Measure::FallInGear => (say!("Fall within a gear"), "V"),
        Measure::Fade => (say!("Fade"), "V"),
        Measure::OverContinuous => (say!("Over the limit"), "s"),
        Measure::HighestAlternator => (say!("Alternator"), "rpm"),
    }
}

fn number(of: Measure, value: f64) -> String {
    match of {
        Measure::HighestAlternator => show::grouped((value / 10.0).round() * 10.0, 0),
        Measure::OverContinuous => show::fixed(value, 1),
        _ => show::fixed(value, 2),
    }
}

fn change(of: Measure, change: Within) -> String {
    let size = number(of, change.value.abs());
    let is_zero = size.chars().all(|sign| matches!(sign, '0' | '.' | ','));
    let sign = match change.value {
        _ if is_zero => "",
        value if value < 0.0 => "\u{2212}",
        _ => "+",
    };
    let off = number(of, change.half_width);
    format!("{sign}{size} ±\u{a0}{off}")
}

/// The figures side by side.
pub fn pairs(pairs: &[Pair]) -> Vec<Vec<String>> {
    let row = |pair: &Pair| {
        let better = say!(match pair.better {
            Some(true) => " better",
            Some(false) => " worse",
            None => "",
        });
        let (name, unit) = measure(pair.measure);
        vec![
            format!("{name}, {unit}"),
            number(pair.measure, pair.before),
            number(pair.measure, pair.after),
            format!("{}{better}", change(pair.measure, pair.change)),
        ]
    };
    pairs.iter().map(row).collect()
}

/// Cured or not, and by what measure.
pub fn cure(found: &Comparison) -> Verdict {
    let (status, word, line) = match found.cure {
        Cure::Cured => (
            Status::Holds,
            say!("CURED"),
            say!("What was wrong before is gone."),
        ),
        Cure::Better => (
            Status::Close,
            say!("BETTER"),
            say!("It is better, and not all is well."),
        ),
        Cure::Same => (
            Status::Over,
            say!("NOT CURED"),
            say!("No change beyond what the logs may be off."),
        ),
        Cure::Worse => (
            Status::Over,
            say!("WORSE"),
            say!("It is worse than before."),
        ),
        Cure::NothingToCure => (
            Status::Holds,
            say!("NOTHING TO CURE"),
            say!("Nothing was wrong before."),
        ),
        Cure::CannotTell => (
            Status::Close,
            say!("CANNOT TELL"),
            say!("One of the two lacks the figure that would say."),
        ),
    };
    let by = found
        .by
        .and_then(|by| found.pairs.iter().find(|pair| pair.measure == by));
    let figure = by.map_or_else(String::new, |pair| {
        say!(
            "{} to {}\u{a0}{}",
            number(pair.measure, pair.before),
            number(pair.measure, pair.after),
            measure(pair.measure).1
        )
    });
    let by = by.map_or_else(String::new, |pair| {
        say!(" By: {}.", measure(pair.measure).0.to_lowercase())
    });
    let left = match (found.cure, found.left) {
        (Cure::Better, Some(left)) => {
            say!(" Still there: {}.", measure(left).0.to_lowercase())
        }
        _ => String::new(),
    };
    let unlike = say!(if found.alike {
        ""
    } else {
        " The two were not driven alike."
    });
    Verdict {
        status,
        word: word.to_owned(),
        figure,
        line: format!("{line}{by}{left}{unlike}"),
        action: None,
    }
}

/// The time over the limits for each pulley and alternator.
pub fn worn(car: &Car, all: &[Worn]) -> Vec<Vec<String>> {
    let row = |worn: &Worn| {
        let on = fitted(car, &worn.fitted);
        let passes = match worn.passes {
            1 => tell!("1 pass"),
            count => say!("{count} passes"),
        };
        let what = if on.is_empty() {
            tell!("not entered")
        } else {
            on
        };
        vec![
            say!("{what}: {passes}, up to {}", rpm(worn.highest_rpm)),
            ends(worn.continuous_s.0, worn.continuous_s.1, plain_s),
            ends(worn.short_s.0, worn.short_s.1, plain_s),
        ]
    };
    all.iter().map(row).collect()
}
