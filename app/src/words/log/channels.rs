//! The words of the channels that a log is read for.

use crate::log::{Columns, Pick};
use crate::parts::field::Fault;
use crate::words::names;
use laneside_core::log::channels::{ForRole, RecordError, Role, Standing, Why};
use laneside_core::log::read::{Column, Table};
use laneside_core::quantity::show;

pub fn right() -> &'static str {
    say!("Is this right?")
}
pub fn confirm() -> &'static str {
    say!("Yes, that is right")
}
pub fn working() -> &'static str {
    say!("Looking through the log")
}
pub fn change() -> &'static str {
    say!("Change")
}
pub fn none() -> &'static str {
    say!("Not in this log")
}
pub fn column() -> &'static str {
    say!("Column")
}
pub fn unit() -> &'static str {
    say!("Counted in")
}
pub fn others() -> &'static str {
    say!("What else the log may hold")
}

/// What a channel is called.
pub fn role(role: Role) -> &'static str {
    say!(match role {
        Role::EngineSpeed => "Engine speed",
        Role::Voltage => "Voltage",
        Role::AlternatorCurrent => "Alternator current",
        Role::BatteryCurrent => "Battery current",
        Role::Throttle => "Throttle",
        Role::RoadSpeed => "Road speed",
        Role::AlternatorSpeed => "Alternator speed",
        Role::Temperature => "Temperature",
    })
}

/// What is in a column: its range, in the file's own unit.
pub fn about(column: &Column) -> String {
    let mut range = None::<(f32, f32)>;
    let mut count = 0_u32;
    for &value in column.values().iter().filter(|value| value.is_finite()) {
        let (low, high) = range.unwrap_or((value, value));
        range = Some((low.min(value), high.max(value)));
        count += 1;
    }
    let Some((low, high)) = range else {
        return tell!("no numbers");
    };
    let unit = column.unit();
    let unit = if unit.is_empty() {
        String::new()
    } else {
        format!("\u{a0}{unit}")
    };
    say!(
        "{} to {}{unit}, {} values",
        number(low),
        number(high),
        show::grouped(f64::from(count), 0)
    )
}

/// A value with as many digits as its size asks for.
fn number(value: f32) -> String {
    let value = f64::from(value);
    let size = value.abs();
    if size >= 1_000.0 {
        show::grouped(value, 0)
    } else {
        show::fixed(value, if size >= 100.0 { 0 } else { 1 })
    }
}

/// Why a channel has to be looked at; empty where there is no doubt.
pub fn doubt(table: &Table, found: &ForRole) -> String {
    if found.standing != Standing::Open {
        return String::new();
    }
    let Some(first) = found.guesses.first() else {
        return String::new();
    };
    let open_unit = first.why.iter().any(|why| matches!(why, Why::OpenUnit(_)));
    if open_unit {
        return tell!("Its unit is not written: look at it.");
    }
    let others = found.guesses.iter().skip(1).take(2);
    let others = others.filter_map(|guess| table.columns().get(guess.column));
    let others: Vec<String> = others
        .map(|column| format!("“{}”", column.name()))
        .collect();
    if others.is_empty() {
        tell!("Not sure: look at it.")
    } else {
        say!("Not sure: it may be {} too.", others.join(say!(" or ")))
    }
}

/// A channel in one sentence.
pub fn sentence(columns: &Columns, place: usize, channel: Role, pick: Option<Pick>) -> String {
    let doubt = columns.doubts.get(place).cloned().unwrap_or_default();
    let named = pick.and_then(|(column, unit)| Some((columns.columns.get(column)?, unit)));
    let Some(((name, about), unit)) = named else {
        return match channel.is_needed() {
            true => say!("Not found. Pick its column. {doubt}"),
            false => tell!("Not in this log."),
        };
    };
    let unit = channel
        .units()
        .get(unit)
        .map_or("", |unit| names::unit(unit.symbol()));
    let sentence = say!("Column “{name}”, read as {unit}: {about}.");
    // What was only guessed is doubted only as long as it stands.
    let is_guess = columns.picks.get(place).copied().flatten() == pick;
    if is_guess && !doubt.is_empty() {
        format!("{sentence} {doubt}")
    } else {
        sentence
    }
}

/// Why the picks make no recording.
pub fn error(error: &RecordError) -> Fault {
    let (found, needed) = match error {
        RecordError::Open(_) => (
            tell!("Found open questions about the file."),
            tell!("Needed: their answers first."),
        ),
        RecordError::NoColumn(of) => (
            say!("Found no column for {}.", role(*of).to_lowercase()),
            tell!("Needed: engine speed and voltage. Pick a column for each."),
        ),
        RecordError::Unknown { column, .. } => (
            say!("Found no column “{column}”."),
            tell!("Needed: a column of this file."),
        ),
        RecordError::Unit { role: of, unit } => (
            say!(
                "Found {} for {}.",
                names::unit(unit.symbol()),
                role(*of).to_lowercase()
            ),
            tell!("Needed: another unit."),
        ),
        RecordError::TooFew {
            role: of,
            column,
            found,
        } => (
            say!("Found {found} numbers in “{column}”."),
            say!("Needed: at least two for {}.", role(*of).to_lowercase()),
        ),
    };
    Fault { found, needed }
}
