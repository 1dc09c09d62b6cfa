//! The screen kept on while the card is open, by the Screen Wake Lock API. The browser takes the lock away
//! whenever the page is hidden; shown again, it is asked for anew.

use js_sys::futures::JsFuture;
use js_sys::{Function, Promise, Reflect};
use leptos::ev::visibilitychange;
use leptos::prelude::*;
use leptos::task::spawn_local;
use wasm_bindgen::{JsCast, JsValue};

/// Keeps the screen on until its owner is gone. `None` until the browser has answered, then whether it does.
pub fn awake() -> RwSignal<Option<bool>> {
    let is_on = RwSignal::new(None);
    let held: StoredValue<Option<JsValue>, LocalStorage> = StoredValue::new_local(None);
    ask(is_on, held);
    let again = window_event_listener(visibilitychange, move |_| {
        if !document().hidden() {
            ask(is_on, held);
        }
    });
    on_cleanup(move || {
        again.remove();
        if let Some(Some(lock)) = held.try_update_value(Option::take) {
            release(&lock);
        }
    });
    is_on
}

fn ask(is_on: RwSignal<Option<bool>>, held: StoredValue<Option<JsValue>, LocalStorage>) {
    let Some(promise) = request() else {
        is_on.set(Some(false));
        return;
    };
    spawn_local(async move {
        match JsFuture::from(promise).await {
            Ok(lock) => {
                // The page may have been left meanwhile.
                if held.try_set_value(Some(lock.clone())).is_some() {
                    release(&lock);
                }
                let _ = is_on.try_set(Some(true));
            }
            Err(_) => {
                let _ = is_on.try_set(Some(false));
            }
        }
    });
}

/// Asks for the lock; `None` where the browser has none.
fn request() -> Option<Promise> {
    let navigator = window().navigator();
    let locks = Reflect::get(&navigator, &"wakeLock".into()).ok()?;
    let request: Function = Reflect::get(&locks, &"request".into())
        .ok()?
        .dyn_into()
        .ok()?;
    request
        .call1(&locks, &"screen".into())
        .ok()?
        .dyn_into()
        .ok()
}

fn release(lock: &JsValue) {
    let release = Reflect::get(lock, &"release".into());
    if let Ok(Ok(release)) = release.map(JsCast::dyn_into::<Function>) {
        // Released already, nothing is lost.
        let _ = release.call0(lock);
    }
}
