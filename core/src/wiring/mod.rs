//! Leads and ground: their resistance, what they drop and waste, what they carry, and
//! where the voltage is read.

mod cable;
mod lead;
mod place;
mod size;

pub use cable::{CableCheck, Fuse, cable_check};
pub use lead::{ChargePath, Lead, LeadError};
pub use place::{Place, Reader};
pub use size::WireSize;
