//! How diagnoses compare with what is known to be wrong, for the logs of both generators.

use laneside_core::log::diagnose::Cause;
use std::collections::BTreeMap;

/// How a diagnosis compares with the truth.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Score {
    /// Named, and so it is.
    Right,
    /// Among the few that it cannot tell apart.
    Among,
    /// It cannot tell.
    CannotTell,
    /// Not among the few named.
    NotAmong,
    /// Named, and it is not so.
    Wrong,
}

/// The codes of causes, in one word.
pub fn code(causes: &[Cause]) -> String {
    let names = causes.iter().map(|cause| {
        serde_json::to_value(cause)
            .unwrap()
            .as_str()
            .unwrap()
            .to_owned()
    });
    names.collect::<Vec<_>>().join("+")
}

/// The scores of some logs, and what was said of them.
#[derive(Default)]
pub struct Tally {
    pub scores: BTreeMap<Score, usize>,
    pub said: BTreeMap<String, usize>,
}
