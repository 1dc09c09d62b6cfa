//! The pieces used by more than one page. They know nothing of cars: texts and callbacks go in, a view comes out.

pub mod board;
pub mod chart;
pub mod checks;
pub mod choice;
pub mod code;
pub mod door;
pub mod drawings;
pub mod drawn;
pub mod empty;
pub mod field;
pub mod held;
pub mod input;
pub mod live;
pub mod locked;
pub mod pad;
pub mod readout;
pub mod sheet;
pub mod stepper;
pub mod strip;
pub mod table;
pub mod text;
pub mod undo;
pub mod verdict;
mod words;
pub mod working;
pub mod zoom;
