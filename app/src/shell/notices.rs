//! The license notices of what is built in, read from the build's own file when they are opened.

use super::words;
use js_sys::futures::JsFuture;
use leptos::{prelude::*, task::spawn_local};
use wasm_bindgen::JsCast;

/// What finish.mjs writes beside the app; it is stored with it, and so is there without signal.
const FILE: &str = "notices.txt";

async fn read() -> Option<String> {
    let response = JsFuture::from(window().fetch_with_str(FILE)).await.ok()?;
    let response: web_sys::Response = response.dyn_into().ok()?;
    if !response.ok() {
        return None;
    }
    let text = JsFuture::from(response.text().ok()?).await.ok()?;
    text.as_string()
}

/// The notices, closed until asked for.
pub fn notices() -> AnyView {
    let text = RwSignal::new(None);
    let open = move |_| {
        if text.with_untracked(Option::is_none) {
            spawn_local(async move {
                text.set(Some(
                    read()
                        .await
                        .unwrap_or_else(|| words::no_notices().to_owned()),
                ));
            });
        }
    };
    view! {
        <details class="notices" on:toggle=open>
            <summary>{words::notices()}</summary>
            <pre tabindex="0" dir="ltr">{text}</pre>
        </details>
    }
    .into_any()
}
