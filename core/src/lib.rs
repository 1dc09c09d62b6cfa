//! Charging-system physics for race cars: alternator speed and output over engine speed,
//! the balance in each phase of a race day, and the pulley sizes that keep both.
//!
//! Typed text becomes a [`quantity`], quantities make a [`car`], a [`study`] of the car
//! gives findings. Nothing here knows of browsers, clocks or storage.

pub mod alternator;
pub mod balance;
pub mod battery;
pub mod belt;
pub mod bus;
pub mod car;
pub mod carry;
pub mod choose;
pub mod data;
pub mod day;
pub mod drive;
pub mod finding;
pub mod gates;
pub mod integrate;
pub mod interpolate;
pub mod job;
pub mod loads;
pub mod log;
pub mod pass;
pub mod quantity;
pub mod race;
pub mod resolve;
pub mod solve;
pub mod sort;
pub mod stored;
pub mod study;
pub mod tolerance;
pub mod trace;
pub mod turns;
pub mod wiring;
