//! The strip over an old answer: from before what, and a way to the field that is in its way.

use leptos::prelude::*;

/// What an answer is from before of.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stale {
    /// The words ("From before the limiter: it is still to mend").
    pub text: String,
    /// The button's words and link, as `Route::href_to` makes it.
    pub action: (String, String),
}

/// The strip, shown while there is something stale.
pub fn stale_strip(stale: Signal<Option<Stale>>) -> AnyView {
    (move || {
        stale.get().map(|s| {
            let (label, href) = s.action;
            view! {
                <div class="stale" role="status">
                    <div class="stale-text"><p>{s.text}</p><a class="button" href=href>{label}</a></div>
                </div>
            }
        })
    })
    .into_any()
}
