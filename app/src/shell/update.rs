//! The offer of a new version, made when the page's script says that one is ready, never forced; and that the newest one
//! did not start, when the one before it runs in its place.

use super::words;
use crate::browser;
use crate::parts::live::live_option;
use crate::words::keeping;
use leptos::{ev, prelude::*};
use web_sys::Event;

/// Fired on the window by the page's script once a new version is stored whole.
const READY: &str = "laneside-update";
/// Fired on the window once the person wants it.
const ACCEPT: &str = "laneside-accept-update";
/// Set on the root by the page's scripts too, for what was so before this listened: `ready`, or `back` in the version
/// that was gone back to.
const MARK: &str = "data-update";
/// Where the page's script keeps that it went back.
const BACK: &str = "laneside.back";

#[derive(Clone, Copy, PartialEq, Eq)]
enum Said {
    Nothing,
    Ready,
    Back,
}

/// The bar with the offer, or with what became of it; shown while there is one.
pub fn update_offer() -> AnyView {
    let mark = browser::root().and_then(|root| root.get_attribute(MARK));
    let said = RwSignal::new(match mark.as_deref() {
        Some("ready") => Said::Ready,
        Some(_) => Said::Back,
        None => Said::Nothing,
    });
    let _ = window_event_listener(ev::Custom::<Event>::new(READY), move |_| {
        said.set(Said::Ready);
    });
    let accept = move |_| {
        said.set(Said::Nothing);
        browser::forget(BACK);
        if let Ok(event) = Event::new(ACCEPT) {
            let _ = window().dispatch_event(&event);
        }
    };
    let close = move |_| {
        if said.get_untracked() == Said::Back {
            browser::forget(BACK);
        }
        said.set(Said::Nothing);
    };
    let bar = move || {
        let (text, button, close_text) = match said.get() {
            Said::Nothing => return None,
            Said::Ready => {
                let accept = view! {
                    <button type="button" class="button" on:click=accept>
                        {words::update_now()}
                    </button>
                };
                (
                    words::update(),
                    Some(accept.into_any()),
                    words::update_later(),
                )
            }
            Said::Back => (keeping::went_back(), None, keeping::close()),
        };
        let bar = view! {
            <div class="offer">
                <p>{text}</p>
                {button}
                <button type="button" class="plain" on:click=close>
                    {close_text}
                </button>
            </div>
        };
        Some(bar.into_any())
    };
    view! { <div role="status">{live_option(bar)}</div> }.into_any()
}
