//! The words of the chart of a log.

use laneside_core::quantity::show;

pub fn chart() -> &'static str {
    say!("Chart of the log")
}
pub fn chart_of_two() -> &'static str {
    say!("Chart of the two passes")
}
pub fn rail() -> &'static str {
    say!("Time")
}
pub fn earlier() -> &'static str {
    say!("A step earlier")
}
pub fn later() -> &'static str {
    say!("A step later")
}
pub fn measured() -> &'static str {
    say!("Measured")
}
pub fn engine() -> &'static str {
    say!("Engine")
}
pub const VOLTS: &str = "V";
pub const RPM: &str = "rpm";
pub fn measured_line() -> &'static str {
    say!("log")
}
pub fn model_line() -> &'static str {
    say!("simu\u{ad}lated")
}
pub fn voltage_axis() -> &'static str {
    say!("voltage where the logger reads it, V")
}
pub fn speed_axis() -> &'static str {
    say!("engine rpm")
}
pub fn time_axis() -> &'static str {
    say!("seconds into the log")
}
pub fn launch_axis() -> &'static str {
    say!("seconds from the launch")
}
pub fn launch() -> &'static str {
    say!("launch")
}
pub fn stripe() -> &'static str {
    say!("stripe")
}

/// What the log has about a moment.
#[derive(Clone, Copy, Debug)]
pub struct Reading {
    /// The moment, s.
    pub at_s: f64,
    /// The voltage then.
    pub volts: Option<f64>,
    /// Lowest and highest about it.
    pub volts_near: Option<(f64, f64)>,
    /// The engine speed then.
    pub rpm: Option<f64>,
    /// Lowest and highest about it.
    pub rpm_near: Option<(f64, f64)>,
}

pub fn tenth(value: f64) -> String {
    show::fixed(value, 1)
}

pub fn whole(value: f64) -> String {
    show::grouped(value, 0)
}

/// A number of seconds without needless digits.
pub fn seconds_tick(value: f64) -> String {
    let text = show::fixed(value, 2);
    let text = text.trim_end_matches('0').trim_end_matches(['.', ',']);
    if text.is_empty() { "0" } else { text }.to_owned()
}

/// The moment.
pub fn at(reading: &Reading) -> String {
    say!("at {}\u{a0}s", show::fixed(reading.at_s, 2))
}

fn none() -> &'static str {
    say!("none")
}

pub fn volts(reading: &Reading) -> String {
    reading
        .volts
        .map_or_else(|| none().to_owned(), |volts| show::fixed(volts, 2))
}

/// How far it goes within the step; empty where that is no more than the figure says.
pub fn volts_near(reading: &Reading) -> String {
    match reading.volts_near {
        Some((low, high)) if high - low >= 0.05 => {
            say!(
                "{} to {}\u{a0}V about here",
                show::fixed(low, 2),
                show::fixed(high, 2)
            )
        }
        _ => String::new(),
    }
}

pub fn rpm(reading: &Reading) -> String {
    reading
        .rpm
        .map_or_else(|| none().to_owned(), |rpm| show::grouped(rpm, 0))
}

pub fn rpm_near(reading: &Reading) -> String {
    match reading.rpm_near {
        Some((low, high)) if high - low >= 100.0 => {
            say!("{} to {}", show::grouped(low, 0), show::grouped(high, 0))
        }
        _ => String::new(),
    }
}

/// The engine speed, where it stands under the voltage.
pub fn rpm_said(reading: &Reading) -> String {
    format!("{}\u{a0}rpm", rpm(reading))
}

/// The readout in one sentence.
pub fn said(readings: &[Reading]) -> String {
    let each = readings.iter().map(|reading| {
        let near = volts_near(reading);
        let near = if near.is_empty() {
            near
        } else {
            format!(", {near}")
        };
        format!("{} V{near}, {} rpm", volts(reading), rpm(reading))
    });
    let each = each.collect::<Vec<_>>().join("; ");
    readings
        .first()
        .map_or_else(String::new, |first| format!("{}: {each}", at(first)))
}

/// What one recording has in sight, in words.
pub fn summary_of(label: &str, volts: Option<(f64, f64)>, rpm: Option<(f64, f64)>) -> String {
    let volts = volts.map_or_else(String::new, |(low, high)| {
        say!(" {} to {} V", show::fixed(low, 2), show::fixed(high, 2))
    });
    let rpm = rpm.map_or_else(String::new, |(low, high)| {
        say!(
            ", {} to {} rpm",
            show::grouped(low, 0),
            show::grouped(high, 0)
        )
    });
    format!("{label}:{volts}{rpm}")
}

/// What is in sight, in words.
pub fn summary(from: f64, to: f64, each: &[String]) -> String {
    say!(
        "Voltage and engine rpm from {} to {} s. {}.",
        show::fixed(from, 1),
        show::fixed(to, 1),
        each.join("; ")
    )
}

/// What stands at the engine speeds over which the alternator is past its limit.
pub fn limit(assumed: bool) -> String {
    let assumed = say!(if assumed { ", assumed" } else { "" });
    say!("alternator over its limit{assumed}")
}
