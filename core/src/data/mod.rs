//! Published tables and figures of the trade, one file per source.
//!
//! Each file carries its citation as a [`crate::finding::Source`] beside the numbers.
//! Figures from memory and common practice have files of their own, so that nobody
//! mistakes them for published ones.

pub mod common_practice;
pub mod gum;
pub mod iso_8854;
pub mod iso_9981;
pub mod memory;
pub mod perreault_2004;
pub mod sarafianos_2015;
pub mod set_point_band;
pub mod tm_9_2320;
