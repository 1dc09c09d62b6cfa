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

pub fn answers() -> &'static str {
    say!("Log says what the charging system really did, and what is wrong, with the evidence.")
}
pub fn needs() -> &'static str {
    say!(
        "Needed: a log with rpm and voltage, exported as text (CSV). It is read on this phone and goes nowhere."
    )
}
pub fn choose() -> &'static str {
    say!("Choose a log")
}
pub fn another() -> &'static str {
    say!("Choose another log")
}
pub fn by_hand() -> (&'static str, &'static str) {
    say!((
        "No logger? Type four readings",
        "Voltage at idle, launch, stripe and shutdown, from any meter. The same diagnosis, with more doubt.",
    ))
}
pub fn reading() -> &'static str {
    say!(in "progress", "Reading")
}
pub fn cancel() -> &'static str {
    say!("Cancel")
}
pub fn close() -> &'static str {
    say!("Close this log")
}
pub fn go_on() -> &'static str {
    say!("Go on")
}
pub fn rate() -> &'static str {
    say!("Rows a second")
}
pub const RATE_UNIT: &str = "Hz";
pub fn question() -> &'static str {
    say!("One question about the file")
}
pub fn no_pass() -> &'static str {
    say!("No pass was found in this log. What all of it says:")
}
pub fn again() -> &'static str {
    say!("Looking through the log once more: what stands here is from before.")
}
pub fn file() -> &'static str {
    say!("What was read of the file")
}
pub fn no_log() -> &'static str {
    say!("This file cannot be read as a log")
}

/// What the browser says when it cannot read a file: it is gone, or not stored on the phone itself.
pub fn unread() -> Fault {
    Fault {
        found: tell!("Found a file that this browser cannot read to its end."),
        needed: tell!("Needed: a file on this phone. Save it here first, then choose it again."),
    }
}

/// How far the reading is.
pub fn progress(name: &str, size: f64, part: f64) -> String {
    say!(
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
        tell!("Found nothing.")
    } else {
        say!("Found “{}”.", text.trim())
    };
    Fault {
        found,
        needed: tell!("Needed: a number of rows, from 0.1 to 100,000 a second."),
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
    say!("{count} passes in this log")
}

/// What the log can show at all.
pub fn sampling(sampling: &Sampling) -> String {
    let hertz = |value: f64| show::fixed(value, if value < 10.0 { 1 } else { 0 });
    let gaps = match sampling.gaps {
        0 => String::new(),
        1 => say!(" One gap of {}.", seconds(sampling.gaps_s)),
        count => say!(" {count} gaps, {} together.", seconds(sampling.gaps_s)),
    };
    say!(
        "{}: rpm {}\u{a0}times a second, voltage {}, in steps of {}\u{a0}mV.{gaps}",
        seconds(sampling.span.to_s - sampling.span.from_s),
        hertz(sampling.rpm_hz),
        hertz(sampling.volts_hz),
        show::fixed(1e3 * sampling.step_v, 0)
    )
}
