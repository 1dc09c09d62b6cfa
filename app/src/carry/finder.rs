//! The browser's own finder of codes (the Barcode Detection API), where there is one: quicker than the app's, and cooler.

use js_sys::futures::JsFuture;
use js_sys::{Array, Function, Object, Promise, Reflect};
use wasm_bindgen::{JsCast, JsValue};
use web_sys::HtmlVideoElement;

/// One that is ready.
#[derive(Clone)]
pub struct Finder {
    finder: JsValue,
    detect: Function,
}

impl Finder {
    /// `None` where the browser has none.
    pub fn new() -> Option<Self> {
        let made = Reflect::get(&js_sys::global(), &"BarcodeDetector".into()).ok()?;
        let made: Function = made.dyn_into().ok()?;
        let options = Object::new();
        let formats = Array::of1(&"qr_code".into());
        Reflect::set(&options, &"formats".into(), &formats).ok()?;
        // One that knows no such codes throws.
        let finder = Reflect::construct(&made, &Array::of1(&options)).ok()?;
        let detect = Reflect::get(&finder, &"detect".into()).ok()?;
        Some(Self {
            detect: detect.dyn_into().ok()?,
            finder,
        })
    }

    /// The texts of the codes in a picture; `None` where it fails.
    pub async fn texts(&self, video: &HtmlVideoElement) -> Option<Vec<String>> {
        let asked = self.detect.call1(&self.finder, video).ok()?;
        let asked: Promise = asked.dyn_into().ok()?;
        let found: Array = JsFuture::from(asked).await.ok()?.dyn_into().ok()?;
        let text = |code: JsValue| {
            let text = Reflect::get(&code, &"rawValue".into()).ok()?;
            text.as_string()
        };
        Some(found.iter().filter_map(text).collect())
    }
}
