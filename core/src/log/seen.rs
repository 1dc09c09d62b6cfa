//! What a log shows, or why it does not.

use serde::{Deserialize, Serialize};

/// What was looked for in a log.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Seen<T> {
    /// It is there.
    Found(T),
    /// The log is too slow to show it.
    TooSlow {
        /// Samples a second that it has.
        hz: f64,
        /// Samples a second that this takes.
        needs_hz: f64,
    },
    /// It is not there.
    Missing(Missing),
}

/// Why something is not in a log.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Missing {
    /// A channel that it takes was not recorded.
    Channel,
    /// The log does not hold that moment.
    Moment,
    /// Too few samples to say, however fast the log is.
    Samples,
    /// The stretch is too short for it.
    Short,
    /// The car does not say what it takes: pulleys, limits.
    Entry,
}

impl<T> Seen<T> {
    /// What was found.
    pub fn found(&self) -> Option<&T> {
        match self {
            Self::Found(found) => Some(found),
            Self::TooSlow { .. } | Self::Missing(_) => None,
        }
    }

    /// The same of something made of it.
    pub fn map<U>(self, make: impl FnOnce(T) -> U) -> Seen<U> {
        match self {
            Self::Found(found) => Seen::Found(make(found)),
            Self::TooSlow { hz, needs_hz } => Seen::TooSlow { hz, needs_hz },
            Self::Missing(why) => Seen::Missing(why),
        }
    }

    /// `found`, or the moment is missing.
    pub fn moment(found: Option<T>) -> Self {
        found.map_or(Self::Missing(Missing::Moment), Self::Found)
    }
}
