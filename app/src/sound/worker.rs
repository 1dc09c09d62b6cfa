//! The worker's side: the same module as the page's, in a thread of its own.

use super::look_to_js;
use js_sys::Float32Array;
use laneside_core::belt::pluck::Ear;
use std::cell::RefCell;
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{DedicatedWorkerGlobalScope, MessageEvent};

/// The name of the worker that listens.
pub const NAME: &str = "sound";

/// Listens to the page for as long as the worker lives: first comes how many samples make a second, then sound.
pub fn start(scope: &DedicatedWorkerGlobalScope) {
    let ear = RefCell::new(None::<Ear>);
    let page = scope.clone();
    let heard = Closure::<dyn Fn(MessageEvent)>::new(move |event: MessageEvent| {
        let message = event.data();
        if let Some(rate) = message.as_f64() {
            ear.replace(Some(Ear::new(rate)));
        } else if let Some(piece) = message.dyn_ref::<Float32Array>()
            && let Some(look) = ear
                .borrow_mut()
                .as_mut()
                .and_then(|ear| ear.hear(&piece.to_vec()))
        {
            // Refused only where the page is gone.
            let _ = page.post_message(&look_to_js(&look));
        }
    });
    scope.set_onmessage(Some(heard.as_ref().unchecked_ref()));
    heard.forget();
    // That it listens: what is sent before may be lost.
    let _ = scope.post_message(&JsValue::TRUE);
}
