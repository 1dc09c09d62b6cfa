//! Checks of battery, wiring and bus: against published tables and worked examples, against a reference library, and
//! against themselves by another way. "Validation" is against the outside, "verification" is not.

#![allow(clippy::unwrap_used, clippy::expect_used)]

mod battery;
mod brute;
mod bus;
mod cases;
mod day;
mod property;
mod support;
mod thevenin;
mod wiring;
