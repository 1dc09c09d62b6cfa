//! The frame around every page: header, places, switch, theme, update offer.

pub mod frame;
pub mod language;
mod notices;
pub mod route;
pub mod settings;
pub mod theme;
mod update;
mod words;
