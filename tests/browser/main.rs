//! The app in a real browser, on a phone's screen.
//!
//! `cargo test -p laneside-tests --features browser --test browser` runs it on the build in `dist`
//! (or in `LANESIDE_DIST`) in Chromium, or in the engine that `LANESIDE_ENGINE` names; `bash
//! tests/run.sh` installs the browsers and builds the app first.

/// Ends the test that stands here where the engine lacks what it needs: such a test is told, and
/// has to be listed in `lacks.txt`.
macro_rules! needs {
    ($ability:expr) => {
        if !laneside_tests::browser::able(
            $ability,
            std::any::type_name_of_val(&|| ()),
            include_str!("lacks.txt"),
        )? {
            return Ok(());
        }
    };
}

mod access;
mod bad_input;
mod belt;
mod breaking;
mod broken_update;
mod clock;
mod codes;
mod color;
mod day;
mod ear;
mod earlier;
mod garage;
mod job;
mod keeping;
mod keyboard;
mod log;
mod log_input;
mod look;
mod offline;
mod paper;
mod pass;
mod race;
mod saved;
mod share;
mod stopped;
mod storage_faults;
mod supply;
mod swap;
mod tabs;
mod update;
mod verdicts;
mod versions;
mod visit;
mod waiting;
mod way;
mod words;
mod zoom;
