//! Four readings by hand instead of a log.

pub const NOTE: &str = "From any meter, a dash or a playback. Leave out what you do not have; rpm helps where you know it.";
pub const MOMENTS: [(&str, &str); 4] = [
    ("Idle", "Warm, in the lanes, with what runs there."),
    ("Launch", "At the hit, or just before it."),
    ("Stripe", "At the end of the pass, at high rpm."),
    ("Shutdown", "After it, before the engine is switched off."),
];
pub const SPEEDS: &str = "Engine rpm at each, where you know it";
pub const VOLTS: &str = "V";
pub const RPM: &str = "rpm";
pub const BACK: &str = "Back to the log";
/// Voltages without which nothing is said.
pub const LEAST: usize = 2;
pub const NEEDS: &str = "Needed: two voltages at least.";
/// Voltages that a car of any kind may show.
pub const VOLTS_MOST: f64 = 40.0;
pub const RPM_MOST: f64 = 20_000.0;

/// Why a reading was not taken.
pub fn fault(text: &str, is_rpm: bool) -> crate::parts::field::Fault {
    crate::parts::field::Fault {
        found: format!("Found “{}”.", text.trim()),
        needed: if is_rpm {
            "Needed: engine rpm, up to 20,000.".to_owned()
        } else {
            "Needed: volts, from 0 to 40.".to_owned()
        },
    }
}
