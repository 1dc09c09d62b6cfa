//! A page that has nothing to show yet: what it answers, what it needs, one button.

use leptos::prelude::*;

/// The empty page. The button is a link.
pub fn empty(
    answers: impl Into<String>,
    needs: impl Into<String>,
    button: impl Into<String>,
    href: String,
) -> AnyView {
    view! {
        <div class="empty">
            <p class="answers">{answers.into()}</p>
            <p>{needs.into()}</p>
            <a class="button" href=href>{button.into()}</a>
        </div>
    }
    .into_any()
}
