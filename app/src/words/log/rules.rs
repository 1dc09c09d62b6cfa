//! The words of what counts as a pass.

use crate::parts::field::Fault;
use laneside_core::quantity::show;

pub const RULES: &str = "What counts as a pass, and its ends";
pub const HIGH: &str = "Engine rpm over which it counts";
pub const LEAST: &str = "Shortest that counts";
pub const LAUNCH: &str = "Launch of this pass";
pub const STRIPE: &str = "Stripe of this pass";
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

/// Why an end of a pass was not taken.
pub fn end_fault(text: &str, from_s: f64, to_s: f64) -> Fault {
    Fault {
        found: format!("Found “{}”.", text.trim()),
        needed: format!(
            "Needed: seconds of the log, from {} to {}.",
            show::fixed(from_s, 2),
            show::fixed(to_s, 2)
        ),
    }
}
