//! The words of everything that core answers: the one place where codes become sentences.
//!
//! They are written in English; `tongue` says them in the language in use.

pub mod access;
pub mod assumed;
pub mod belt;
pub mod board;
pub mod car;
pub mod cars;
pub mod day;
pub mod ear;
pub mod faults;
pub mod fields;
pub mod findings;
pub mod history;
pub mod keeping;
pub mod log;
pub mod measures;
pub mod names;
pub mod pass;
pub mod pulleys;
pub mod received;
pub mod report;
pub mod ruler;
pub mod share;
pub mod supply;
pub mod swap;
pub mod tongue;
pub mod verdicts;
