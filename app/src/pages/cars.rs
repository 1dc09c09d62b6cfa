//! A page in the making.

use super::Desk;
use leptos::prelude::*;

/// The page's body.
pub fn page(_desk: Desk) -> AnyView {
    ().into_any()
}
