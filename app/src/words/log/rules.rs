//! The words of what counts as a pass.

use crate::parts::field::Fault;
use laneside_core::quantity::show;

pub fn rules() -> &'static str {
    say!("What counts as a pass, and its ends")
}
pub fn high() -> &'static str {
    say!("Engine rpm over which it counts")
}
pub fn least() -> &'static str {
    say!("Shortest that counts")
}
pub fn launch() -> &'static str {
    say!("Launch of this pass")
}
pub fn stripe() -> &'static str {
    say!("Stripe of this pass")
}
pub const RPM: &str = "rpm";
pub const SECONDS: &str = "s";
pub const RPM_MOST: f64 = 20_000.0;
pub const SECONDS_MOST: f64 = 3_600.0;

/// Why an entry was not taken.
pub fn fault(text: &str, is_rpm: bool) -> Fault {
    Fault {
        found: say!("Found “{}”.", text.trim()),
        needed: if is_rpm {
            tell!("Needed: engine rpm, up to 20,000.")
        } else {
            tell!("Needed: seconds, up to 3,600.")
        },
    }
}

/// Why an end of a pass was not taken.
pub fn end_fault(text: &str, from_s: f64, to_s: f64) -> Fault {
    Fault {
        found: say!("Found “{}”.", text.trim()),
        needed: say!(
            "Needed: seconds of the log, from {} to {}.",
            show::fixed(from_s, 2),
            show::fixed(to_s, 2)
        ),
    }
}
