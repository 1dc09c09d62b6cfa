//! Cars from a file: read, checked, and opened beside one's own; none is one's own until it is kept.

use super::Desk;
use crate::parts::field::{Fault, fault_view};
use crate::store::raw::{self, LONGEST_RAW};
use crate::words::{cars as words, faults, received};
use js_sys::futures::JsFuture;
use laneside_core::car::file::FileError;
use laneside_core::car::several;
use leptos::prelude::*;
use leptos::task::spawn_local;
use web_sys::{Event, File, HtmlInputElement};

/// The button, and under it what was wrong with the last file.
pub fn open_file(desk: Desk) -> AnyView {
    let fault = RwSignal::new(None);
    let on_change = move |ev: Event| {
        let input: HtmlInputElement = event_target(&ev);
        let Some(file) = input.files().and_then(|files| files.get(0)) else {
            return;
        };
        // So that the same file, mended, can be picked again.
        input.set_value("");
        spawn_local(async move {
            let found = text_of(&file)
                .await
                .and_then(|text| opened(desk, &text))
                .err();
            // The person may have left the page meanwhile.
            let _ = fault.try_set(found);
        });
    };
    view! {
        <label class="button file">
            {words::open_file()}
            <input id="car-file" type="file" accept=".json,.txt,application/json,text/plain" on:change=on_change />
        </label>
        {fault_view("car-file-fault".to_owned(), fault.into())}
    }
    .into_any()
}

async fn text_of(file: &File) -> Result<String, Fault> {
    // What no car can be is not even read.
    if file.size() > LONGEST_RAW as f64 {
        let found = file.size() as usize;
        return Err(faults::file(&FileError::TooLong {
            found,
            most: LONGEST_RAW,
        }));
    }
    let read = JsFuture::from(file.text()).await.ok();
    read.and_then(|text| text.as_string())
        .ok_or_else(faults::unread_file)
}

/// Opens what is in it, beside one's own cars.
fn opened(desk: Desk, text: &str) -> Result<(), Fault> {
    let told = |error| faults::file(&error);
    let Some(found) = raw::read(text) else {
        let cars = several::read(text).map_err(told)?;
        return super::received::open(desk, cars);
    };
    let (cars, unread) = found.map_err(told)?;
    if !cars.is_empty() {
        super::received::open(desk, cars)?;
    }
    match unread {
        0 => Ok(()),
        count => Err(received::unread(count)),
    }
}
