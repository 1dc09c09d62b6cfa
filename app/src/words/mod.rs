//! The words of everything that core answers: the one place where codes become sentences.
//!
//! A second language is another set of these files.

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
pub mod log;
pub mod measures;
pub mod names;
pub mod pass;
pub mod pulleys;
pub mod ruler;
pub mod supply;
pub mod swap;
pub mod verdicts;
