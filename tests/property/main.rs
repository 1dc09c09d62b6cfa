//! What must hold for every car, tried on cars made at random: from typed text, and from the demo cars' files with
//! numbers, names and fields changed. All of these are verification: the core against itself by another way.

#![allow(clippy::unwrap_used, clippy::expect_used)]

mod belt;
mod cars;
mod day;
mod entry;
mod log_any;
mod log_maker;
mod log_passes;
mod log_read;
mod logs;
mod output;
mod race;
mod raced;
mod study;
mod window;
