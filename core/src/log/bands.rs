//! What a voltage means, engine running.

use serde::{Deserialize, Serialize};

/// How a voltage stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Level {
    /// Nothing charges.
    NotCharging,
    /// Low.
    Low,
    /// Good.
    Good,
    /// High.
    High,
    /// Too high.
    Over,
}

/// Upper edges of the bands, V.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Bands {
    /// Of "not charging".
    pub not_charging_v: f64,
    /// Of "low".
    pub low_v: f64,
    /// Of "good".
    pub good_v: f64,
    /// Of "high".
    pub high_v: f64,
    /// Whether they serve: with lithium they do not.
    pub serve: bool,
}
