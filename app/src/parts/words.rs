//! The few words that the parts bring themselves. Everything else they show is handed to them.

pub const DONE: &str = "Done";
pub const NEXT: &str = "Next";
pub const PAD: &str = "Number pad for";
pub const SYSTEM_KEYBOARD: &str = "Keyboard";
pub const SYSTEM_KEYBOARD_LONG: &str = "Use the phone's own keyboard";
pub const CLOSE: &str = "Close";
pub const CLOSE_PAD: &str = "Close the number pad";
pub const BACK: &str = "Take back";
pub const CLEAR: &str = "Clear";
pub const ADD_SIXTEENTH: &str = "Add 1/16";
pub const OTHER_UNIT: &str = "Inch or millimeter";
pub const THOUSANDS: &str = "Thousand";
pub const SIGN: &str = "Change the sign";
pub const POINT: &str = "Point";
pub const HOW: &str = "How to measure";
pub const HOW_TO_TELL: &str = "How to tell";
pub const TYPICAL: &str = "Typical";
pub const ASSUMED: &str = "assumed";
pub const MISSING: &str = "still missing";
pub const SUGGESTED: &str = "suggested";
pub const LESS: &str = "smaller";
pub const MORE: &str = "larger";
pub const FORMULA: &str = "Formula";
pub const INPUTS: &str = "From";
pub const SOURCE: &str = "Source";
pub const WORKING: &str = "How this is worked out";
