//! The offer of a new version: made when the page's script says that one is ready, never forced.

use super::words;
use crate::browser;
use leptos::{ev, prelude::*};
use web_sys::Event;

/// Fired on the window by the page's script once a new version is stored whole.
const READY: &str = "laneside-update";
/// Fired on the window once the person wants it.
const ACCEPT: &str = "laneside-accept-update";
/// Set on the root by the page's script too, for a version that was ready before this listened.
const READY_MARK: &str = "data-update";

/// The bar with the offer, shown while there is one.
pub fn update_offer() -> AnyView {
    let ready = RwSignal::new(browser::root().is_some_and(|root| root.has_attribute(READY_MARK)));
    let _ = window_event_listener(ev::Custom::<Event>::new(READY), move |_| ready.set(true));
    let accept = move |_| {
        ready.set(false);
        if let Ok(event) = Event::new(ACCEPT) {
            let _ = window().dispatch_event(&event);
        }
    };
    view! {
        <div role="status">
            {move || {
                ready
                    .get()
                    .then(|| {
                        view! {
                            <div class="offer">
                                <p>{words::UPDATE}</p>
                                <button type="button" class="button" on:click=accept>
                                    {words::UPDATE_NOW}
                                </button>
                                <button type="button" class="plain" on:click=move |_| ready.set(false)>
                                    {words::UPDATE_LATER}
                                </button>
                            </div>
                        }
                    })
            }}
        </div>
    }
    .into_any()
}
