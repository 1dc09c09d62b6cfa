//! A QR code as a drawing: dark on light whatever the theme, with its quiet zone.

use laneside_core::carry::code::Code;
use leptos::prelude::*;

/// The drawing, as large as its place; `name` tells what it is.
pub fn code_view(code: &Code, name: String) -> AnyView {
    let side = code.side();
    view! {
        <svg class="code" role="img" aria-label=name viewBox=format!("0 0 {side} {side}") shape-rendering="crispEdges">
            <rect width=side height=side fill="#fff"></rect>
            <path fill="#000" d=code.path()></path>
        </svg>
    }
    .into_any()
}
