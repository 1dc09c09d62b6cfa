//! Checks of the core against the outside: published standards, tables and worked examples, reference libraries, and
//! facts of the trade. Each check names its source and its tolerance. "Validation" is against such a reference,
//! "verification" against the core itself by another way.

#![allow(clippy::unwrap_used, clippy::expect_used)]

mod belt;
mod belt_ear;
mod belt_pluck;
mod belt_swap;
mod car_file;
mod car_golden;
mod carry;
mod draws;
mod drive;
mod job;
mod losses;
mod low_voltage;
mod machine;
mod output;
mod pass;
mod practice;
mod recompute;
mod spread;
mod support;
