//! The swap as a job: what to bring, the steps in their order, what a meter is expected to read before and after,
//! what it means if it reads something else, and the history that it leaves.
//!
//! What was expected is kept on the card as it was when the card was made; a car that has changed since then is
//! told, and the card stays until the person has it made anew.

mod belt;
mod card;
mod done;
mod expect;
mod past;
mod read;
#[cfg(test)]
mod tests;

pub use card::{Changed, Part};
pub use done::HistoryFull;
pub use expect::{ALL_ON_NEVER, fast_idle_rpm};
pub use past::{Due, Fitting, due, fittings};
pub use read::{PointsTo, Reading, Standing, Told, drop_band};
