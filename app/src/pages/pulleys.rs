//! Which pulley? The one on the car against the one to try.

use super::{Desk, stale};
use crate::parts::strip::stale_strip;
use leptos::prelude::*;

/// The page's body.
pub fn page(desk: Desk) -> AnyView {
    stale_strip(stale(desk.store))
}
