//! The words of the page Log.

pub mod channels;
pub mod diagnosis;
pub mod figures;
pub mod graph;
pub mod kept;
pub mod model;
pub mod read;
pub mod readings;
pub mod rules;
pub mod signs;

use crate::parts::field::Fault;
use laneside_core::log::analysis::Sampling;
use laneside_core::quantity::show;

pub const ANSWERS: &str =
    "Log says what the charging system really did, and what is wrong, with the evidence.";
pub const NEEDS: &str = "Needed: a log with rpm and voltage, exported as text (CSV). It is read on this phone and goes nowhere.";
pub const CHOOSE: &str = "Choose a log";
pub const ANOTHER: &str = "Choose another log";
pub const BY_HAND: (&str, &str) = (
    "No logger? Type four readings",
    "Voltage at idle, launch, stripe and shutdown, from any meter. The same diagnosis, with more doubt.",
);
pub const READING: &str = "Reading";
pub const CANCEL: &str = "Cancel";
pub const CLOSE: &str = "Close this log";
pub const GO_ON: &str = "Go on";
pub const RATE: &str = "Rows a second";
pub const RATE_UNIT: &str = "Hz";
pub const QUESTION: &str = "One question about the file";
pub const NO_PASS: &str = "No pass was found in this log. What all of it says:";
pub const AGAIN: &str = "Looking through the log once more: what stands here is from before.";
pub const FILE: &str = "What was read of the file";
pub const NO_LOG: &str = "This file cannot be read as a log";

/// What the browser says when it cannot read a file: it is gone, or not stored on the phone itself.
pub fn unread() -> Fault {
    Fault {
        found: "Found a file that this browser cannot read to its end.".to_owned(),
        needed: "Needed: a file on this phone. Save it here first, then choose it again."
            .to_owned(),
    }
}

/// How far the reading is.
pub fn progress(name: &str, size: f64, part: f64) -> String {
    format!(
        "{name}: {} of {}",
        read::size(size * part),
        read::size(size)
    )
}

/// Hundredths, for a bar.
pub fn percent(part: f64) -> String {
    show::fixed(100.0 * part.clamp(0.0, 1.0), 0)
}

/// Why a rate was not taken.
pub fn rate_fault(text: &str) -> Fault {
    let found = if text.trim().is_empty() {
        "Found nothing.".to_owned()
    } else {
        format!("Found “{}”.", text.trim())
    };
    Fault {
        found,
        needed: "Needed: a number of rows, from 0.1 to 100,000 a second.".to_owned(),
    }
}

/// A voltage to a hundredth, where it was measured.
pub fn volts(value: f64) -> String {
    format!("{}\u{a0}V", show::fixed(value, 2))
}

/// A voltage to a tenth.
pub fn tenths(value: f64) -> String {
    format!("{}\u{a0}V", show::fixed(value, 1))
}

/// A speed to ten.
pub fn rpm(value: f64) -> String {
    format!(
        "{}\u{a0}rpm",
        show::grouped((value / 10.0).round() * 10.0, 0)
    )
}

/// A time.
pub fn seconds(value: f64) -> String {
    if value >= 600.0 {
        format!("{}\u{a0}min", show::fixed(value / 60.0, 0))
    } else {
        format!(
            "{}\u{a0}s",
            show::fixed(value, if value < 1.0 { 2 } else { 1 })
        )
    }
}

/// A current.
pub fn amps(value: f64) -> String {
    format!("{}\u{a0}A", show::fixed(value, 0))
}

/// How many passes there are.
pub fn passes(count: usize) -> String {
    format!("{count} passes in this log")
}

/// What the log can show at all.
pub fn sampling(sampling: &Sampling) -> String {
    let hertz = |value: f64| show::fixed(value, if value < 10.0 { 1 } else { 0 });
    let gaps = match sampling.gaps {
        0 => String::new(),
        1 => format!(" One gap of {}.", seconds(sampling.gaps_s)),
        count => format!(" {count} gaps, {} together.", seconds(sampling.gaps_s)),
    };
    format!(
        "{}: rpm {}\u{a0}times a second, voltage {}, in steps of {}\u{a0}mV.{gaps}",
        seconds(sampling.span.to_s - sampling.span.from_s),
        hertz(sampling.rpm_hz),
        hertz(sampling.volts_hz),
        show::fixed(1e3 * sampling.step_v, 0)
    )
}
