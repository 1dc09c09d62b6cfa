//! The app in a real browser, on a phone's screen.
//!
//! `cargo test -p laneside-tests --features browser --test browser` runs it on the build in `dist`
//! (or in `LANESIDE_DIST`); `bash tests/run.sh` installs the browser and builds the app first.

mod bad_input;
mod belt;
mod color;
mod day;
mod ear;
mod garage;
mod job;
mod log;
mod log_input;
mod look;
mod offline;
mod pass;
mod race;
mod saved;
mod supply;
mod swap;
mod update;
mod verdicts;
mod versions;
mod visit;
mod way;
