//! Published tables and figures of the trade, one file per source.
//!
//! Each file carries its citation as a [`crate::finding::Source`] beside the numbers.
//! Figures from memory and common practice have files of their own, so that nobody
//! mistakes them for published ones.

pub mod absorb_voltage;
pub mod ac_43_13;
pub mod awg;
pub mod battery_memory;
pub mod battery_resistance;
pub mod belt_memory;
pub mod bode_1977;
pub mod charge_bands;
pub mod cold_crank;
pub mod common_practice;
pub mod copper;
pub mod drop_limits;
pub mod gearing;
pub mod gum;
pub mod iec_60228;
pub mod iso_8854;
pub mod iso_9981;
pub mod low_voltage;
pub mod memory;
pub mod perreault_2004;
pub mod peukert;
pub mod race_memory;
pub mod rest_agm;
pub mod rest_flooded;
pub mod rest_lifepo4;
pub mod sarafianos_2015;
pub mod set_point_band;
pub mod tm_9_2320;
pub mod wiring_memory;
