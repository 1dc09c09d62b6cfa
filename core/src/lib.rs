//! Charging-system physics for race cars.

pub mod interpolate;
pub mod quantity;
pub mod solve;
