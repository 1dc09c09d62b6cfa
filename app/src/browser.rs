//! The few things asked of the browser, each of which may be refused (private mode, odd embeds).
//! Whatever is refused is done without: none of it is needed to get an answer.

use leptos::prelude::{document, window};
use std::rc::{Rc, Weak};
use wasm_bindgen::convert::FromWasmAbi;
use wasm_bindgen::{JsCast, closure::Closure};
use web_sys::{
    Element, HtmlElement, HtmlInputElement, ScrollIntoViewOptions, ScrollLogicalPosition, Storage,
};

/// The browser's storage. Where it is refused, even asking for it may throw: nothing may reach for it
/// but through here, or after [`has_storage`].
pub fn storage() -> Option<Storage> {
    window().local_storage().ok().flatten()
}

/// Whether there is a storage at all; it may still be full.
pub fn has_storage() -> bool {
    storage().is_some()
}

/// A small setting, as stored on this phone.
pub fn stored(key: &str) -> Option<String> {
    storage()?.get_item(key).ok().flatten()
}

/// Stores a small setting; a full or refused storage only means that it is forgotten.
pub fn store(key: &str, value: &str) {
    if let Some(storage) = storage() {
        let _ = storage.set_item(key, value);
    }
}

/// Forgets a small setting.
pub fn forget(key: &str) {
    if let Some(storage) = storage() {
        let _ = storage.remove_item(key);
    }
}

/// The address's hash with its `#`, or an empty text.
pub fn hash() -> String {
    window().location().hash().unwrap_or_default()
}

/// Whether the address leads to one field of a page ("#/page/field").
pub fn leads_to_field() -> bool {
    hash().matches('/').count() > 1
}

/// The root element's mark as long as something of the page is still to come.
pub const UNFINISHED: &str = "data-unfinished";

/// Whether something of the page is still to come.
pub fn is_unfinished() -> bool {
    root().is_some_and(|root| root.has_attribute(UNFINISHED))
}

/// Sets the address's hash, which adds to the history.
pub fn set_hash(hash: &str) {
    let _ = window().location().set_hash(hash);
}

/// The element of this id.
pub fn by_id(id: &str) -> Option<Element> {
    document().get_element_by_id(id)
}

/// The input of this id.
pub fn input(id: &str) -> Option<HtmlInputElement> {
    by_id(id)?.dyn_into().ok()
}

/// Focuses an element, if it takes focus.
pub fn focus(element: &Element) {
    if let Some(element) = element.dyn_ref::<HtmlElement>() {
        let _ = element.focus();
    }
}

/// Brings an element into sight and focuses it, or the first thing in it that takes focus; disclosures around
/// it are opened.
pub fn reveal(element: &Element) {
    let mut around = element.closest("details").ok().flatten();
    while let Some(details) = around {
        let _ = details.set_attribute("open", "");
        around = details
            .parent_element()
            .and_then(|parent| parent.closest("details").ok().flatten());
    }
    // From its label on, which stands before it.
    let from = element.closest(".field,.select,.item").ok().flatten();
    let options = ScrollIntoViewOptions::new();
    options.set_block(ScrollLogicalPosition::Start);
    from.as_ref()
        .unwrap_or(element)
        .scroll_into_view_with_scroll_into_view_options(&options);
    focus(element);
    let took_focus = document().active_element().as_ref() == Some(element);
    if !took_focus && let Ok(Some(within)) = element.query_selector("summary,input,select,button") {
        focus(&within);
    }
}

/// The language that the phone speaks ("en-US").
pub fn language() -> String {
    window().navigator().language().unwrap_or_default()
}

/// Scrolls as little as it takes to have the element in sight.
pub fn show(element: &Element) {
    let options = ScrollIntoViewOptions::new();
    options.set_block(ScrollLogicalPosition::Nearest);
    element.scroll_into_view_with_scroll_into_view_options(&options);
}

/// Has a field in the middle of the sight, unless all of it is there already.
pub fn show_whole(input: &Element) {
    let row = input.closest(".field").ok().flatten();
    let element = row.as_ref().unwrap_or(input);
    let seen = element.get_bounding_client_rect();
    let height = window().inner_height().ok().and_then(|h| h.as_f64());
    // What sticks to the top and the bottom covers about this much.
    const COVERED: f64 = 120.0;
    if height.is_some_and(|height| seen.top() < COVERED || seen.bottom() > height - COVERED) {
        let options = ScrollIntoViewOptions::new();
        options.set_block(ScrollLogicalPosition::Center);
        element.scroll_into_view_with_scroll_into_view_options(&options);
    }
}

/// The root element, which carries the theme and the pad's mark for the style sheet.
pub fn root() -> Option<Element> {
    document().document_element()
}

/// Marks the root element for the style sheet, or takes the mark off.
pub fn mark(name: &str, is_on: bool) {
    if let Some(root) = root() {
        let _ = root.toggle_attribute_with_force(name, is_on);
    }
}

/// Time since the page was opened, ms: no clock sets it back.
pub fn page_ms() -> f64 {
    window().performance().map_or(0.0, |clock| clock.now())
}

/// Today, as the app writes dates.
pub fn today() -> String {
    crate::words::log::kept::date(&js_sys::Date::new_0())
}

/// Calls back whenever the phone itself goes dark or light, for as long as the app runs.
pub fn on_colors_change(call: impl Fn() + 'static) {
    let call = Closure::<dyn Fn()>::new(call);
    for media in ["(prefers-color-scheme: dark)", "(forced-colors: active)"] {
        if let Ok(Some(query)) = window().match_media(media) {
            let _ = query.add_event_listener_with_callback("change", call.as_ref().unchecked_ref());
        }
    }
    call.forget();
}

/// What the browser calls with an event.
pub type Call<E> = Closure<dyn Fn(E)>;

/// A call of the browser's that does nothing once what it is for is gone.
pub fn call<T: 'static, E: FromWasmAbi + 'static>(
    of: &Rc<T>,
    call: impl Fn(&Rc<T>, E) + 'static,
) -> Call<E> {
    let of: Weak<T> = Rc::downgrade(of);
    Closure::new(move |event: E| {
        if let Some(of) = of.upgrade() {
            call(&of, event);
        }
    })
}
