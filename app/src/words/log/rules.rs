//! The words of what counts as a pass.

use crate::parts::field::Fault;

pub const RULES: &str = "What counts as a pass";
pub const HIGH: &str = "Engine rpm over which it counts";
pub const LEAST: &str = "Shortest that counts";
pub const RPM: &str = "rpm";
pub const SECONDS: &str = "s";
pub const RPM_MOST: f64 = 20_000.0;
pub const SECONDS_MOST: f64 = 3_600.0;

/// Why an entry was not taken.
pub fn fault(text: &str, is_rpm: bool) -> Fault {
    Fault {
        found: format!("Found “{}”.", text.trim()),
        needed: if is_rpm {
            "Needed: engine rpm, up to 20,000.".to_owned()
        } else {
            "Needed: seconds, up to 3,600.".to_owned()
        },
    }
}
