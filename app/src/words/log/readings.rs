//! Four readings by hand instead of a log.

pub fn note() -> &'static str {
    say!(
        "From any meter, a dash or a playback. Leave out what you do not have; rpm helps where you know it."
    )
}
pub fn moments() -> [(&'static str, &'static str); 4] {
    say!([
        ("Idle", "Warm, in the lanes, with what runs there."),
        ("Launch", "At the hit, or just before it."),
        ("Stripe", "At the end of the pass, at high rpm."),
        ("Shutdown", "After it, before the engine is switched off."),
    ])
}
pub fn speeds() -> &'static str {
    say!("Engine rpm at each, where you know it")
}
pub const VOLTS: &str = "V";
pub const RPM: &str = "rpm";
pub fn back() -> &'static str {
    say!("Back to the log")
}
/// Voltages without which nothing is said.
pub const LEAST: usize = 2;
pub fn needs() -> &'static str {
    say!("Needed: two voltages at least.")
}
/// Voltages that a car of any kind may show.
pub const VOLTS_MOST: f64 = 40.0;
pub const RPM_MOST: f64 = 20_000.0;

/// Why a reading was not taken.
pub fn fault(text: &str, is_rpm: bool) -> crate::parts::field::Fault {
    crate::parts::field::Fault {
        found: say!("Found “{}”.", text.trim()),
        needed: if is_rpm {
            tell!("Needed: engine rpm, up to 20,000.")
        } else {
            tell!("Needed: volts, from 0 to 40.")
        },
    }
}
