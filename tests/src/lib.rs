//! What the tests of Laneside share: the server of the built app and, with the feature `browser`,
//! a real browser with a phone's screen.

#[cfg(feature = "browser")]
pub mod browser;
pub mod cars;
pub mod catalog;
pub mod days;
#[cfg(feature = "browser")]
pub mod link;
pub mod log_files;
pub mod server;
