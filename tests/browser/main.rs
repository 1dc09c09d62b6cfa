//! The app in a real browser, on a phone's screen.
//!
//! `cargo test -p laneside-tests --features browser --test browser` runs it on the build in `dist`
//! (or in `LANESIDE_DIST`); `bash tests/run.sh` installs the browser and builds the app first.

mod bad_input;
mod belt;
mod breaking;
mod broken_update;
mod clock;
mod color;
mod day;
mod ear;
mod earlier;
mod garage;
mod job;
mod keeping;
mod log;
mod log_input;
mod look;
mod offline;
mod pass;
mod race;
mod saved;
mod stopped;
mod storage_faults;
mod supply;
mod swap;
mod tabs;
mod update;
mod verdicts;
mod versions;
mod visit;
mod way;
mod words;
