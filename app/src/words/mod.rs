//! The words of everything that core answers: the one place where codes become sentences.
//!
//! A second language is another set of these files.

pub mod faults;
pub mod fields;
pub mod names;
pub mod verdicts;
