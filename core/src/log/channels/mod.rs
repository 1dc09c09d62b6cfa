//! Which column of a table is what: guessed from names, units and the values themselves, confirmed by the person,
//! remembered for the next log.

mod choice;
mod guess;
mod look;
mod role;
mod words;

pub use choice::{Choice, Pick, RecordError};
pub use guess::{Channels, ForRole, Guess, Standing, Why, guess};
pub use role::Role;
pub(in crate::log) use words::is_channel;

#[cfg(test)]
mod tests;
