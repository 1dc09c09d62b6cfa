//! A log with what every part of its analysis needs.

use super::analysis::Sampling;
use super::bands::Bands;
use super::diagnose::work::Work;
use super::joined::Joined;
use super::passes::Speeds;
use super::{Known, Recording};

/// A log with what every part of its analysis needs, worked out once.
#[derive(Clone, Copy, Debug)]
pub struct Look<'a> {
    /// The log.
    pub recording: &'a Recording,
    /// Its voltage with the engine speed of each moment.
    pub joined: &'a Joined,
    /// What the car says.
    pub known: &'a Known,
    /// What a voltage means.
    pub bands: Bands,
    /// How finely it was written.
    pub sampling: &'a Sampling,
    /// The running engine in blocks.
    pub work: &'a Work,
    /// Idle and top speed.
    pub speeds: Speeds,
}
