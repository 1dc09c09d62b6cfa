//! Helpers shared by the tests of Laneside.
