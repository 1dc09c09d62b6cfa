//! The ways out of the app: the phone's share sheet where there is one, a download, the clipboard.

use js_sys::futures::JsFuture;
use js_sys::{Array, Promise, Reflect, Uint8Array};
use leptos::prelude::{document, set_timeout, window};
use std::time::Duration;
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{
    Blob, DomException, File, FilePropertyBag, HtmlAnchorElement, HtmlCanvasElement, ShareData, Url,
};

/// A download has been begun by then.
const BEGUN: Duration = Duration::from_secs(60);

/// How it was handed on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Handed {
    /// To the phone's share sheet.
    Shared,
    /// The person closed the sheet.
    Closed,
    /// Not yet: the sheet is open already, with what was handed before.
    Busy,
    /// As a download.
    Saved,
    /// To the clipboard.
    Copied,
    /// Not at all.
    Failed,
}

fn has(of: &JsValue, name: &str) -> bool {
    Reflect::get(of, &name.into()).is_ok_and(|found| !found.is_undefined())
}

/// A file of these bytes.
pub fn file(name: &str, kind: &str, bytes: &[u8]) -> Option<File> {
    let options = FilePropertyBag::new();
    options.set_type(kind);
    let parts = Array::of1(&Uint8Array::from(bytes));
    File::new_with_u8_array_sequence_and_options(&parts, name, &options).ok()
}

/// Whether the share sheet takes this.
fn can_share(data: &ShareData) -> bool {
    let navigator = window().navigator();
    has(&navigator, "share") && has(&navigator, "canShare") && navigator.can_share_with_data(data)
}

/// Whether the share sheet takes files.
pub fn shares_files() -> bool {
    let data = ShareData::new();
    file("a.json", "application/json", b"{}").is_some_and(|file| {
        data.set_files(&Array::of1(&file));
        can_share(&data)
    })
}

async fn share(data: &ShareData) -> Handed {
    match JsFuture::from(window().navigator().share_with_data(data)).await {
        Ok(_) => Handed::Shared,
        Err(error) => match error.dyn_ref::<DomException>() {
            Some(error) if error.name() == "AbortError" => Handed::Closed,
            Some(error) if error.name() == "InvalidStateError" => Handed::Busy,
            _ => Handed::Failed,
        },
    }
}

/// Hands a file to the share sheet, else saves it.
pub async fn hand_file(file: &File) -> Handed {
    let data = ShareData::new();
    data.set_files(&Array::of1(file));
    if can_share(&data) {
        let handed = share(&data).await;
        if handed != Handed::Failed {
            return handed;
        }
    }
    save(file)
}

/// Saves a file as a download.
pub fn save(file: &File) -> Handed {
    let Ok(address) = Url::create_object_url_with_blob(file) else {
        return Handed::Failed;
    };
    let link = document().create_element("a").ok();
    let Some(link) = link.and_then(|link| link.dyn_into::<HtmlAnchorElement>().ok()) else {
        return Handed::Failed;
    };
    link.set_href(&address);
    link.set_download(&file.name());
    link.click();
    set_timeout(
        move || {
            let _ = Url::revoke_object_url(&address);
        },
        BEGUN,
    );
    Handed::Saved
}

/// Hands a link to the share sheet, else copies it.
pub async fn hand_link(title: &str, link: &str) -> Handed {
    let data = ShareData::new();
    data.set_title(title);
    data.set_url(link);
    if can_share(&data) {
        let handed = share(&data).await;
        if handed != Handed::Failed {
            return handed;
        }
    }
    copy(link).await
}

/// Copies a text; [`Handed::Failed`] where the clipboard is not to be had.
pub async fn copy(text: &str) -> Handed {
    let navigator = window().navigator();
    if !has(&navigator, "clipboard") {
        return Handed::Failed;
    }
    match JsFuture::from(navigator.clipboard().write_text(text)).await {
        Ok(_) => Handed::Copied,
        Err(_) => Handed::Failed,
    }
}

/// A canvas as a PNG file.
pub async fn picture(canvas: &HtmlCanvasElement, name: &str) -> Option<File> {
    let promise = Promise::new(&mut |done, failed| {
        let made = Closure::once_into_js(move |blob: JsValue| {
            let _ = done.call1(&JsValue::UNDEFINED, &blob);
        });
        if canvas.to_blob(made.unchecked_ref()).is_err() {
            let _ = failed.call0(&JsValue::UNDEFINED);
        }
    });
    let blob: Blob = JsFuture::from(promise).await.ok()?.dyn_into().ok()?;
    let options = FilePropertyBag::new();
    options.set_type("image/png");
    File::new_with_blob_sequence_and_options(&Array::of1(&blob), name, &options).ok()
}
