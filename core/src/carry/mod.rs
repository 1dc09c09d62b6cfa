//! A car on its way to another phone, without signal: its bytes as texts short enough for one code each
//! ([`parts`]), the code as squares ([`code`]), and a picture of one read again ([`scan`]).

pub mod base45;
pub mod code;
pub mod parts;
pub mod scan;
