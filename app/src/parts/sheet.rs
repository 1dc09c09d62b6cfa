//! A sheet from the bottom, on the browser's own modal dialog: focus, Escape and the page behind are its business.

use super::words;
use crate::browser;
use leptos::{ev, html, prelude::*};

/// A sheet, open while `open` is true; its contents are made anew at each opening.
pub fn sheet(title: &'static str, open: RwSignal<bool>, content: ViewFn) -> AnyView {
    let dialog = NodeRef::<html::Dialog>::new();
    Effect::new(move || {
        let is_open = open.get();
        // The page must not scroll under a finger on the sheet.
        if let Some(root) = browser::root() {
            let _ = root.toggle_attribute_with_force("data-sheet", is_open);
        }
        if let Some(dialog) = dialog.get() {
            if is_open && !dialog.open() {
                let _ = dialog.show_modal();
            } else if !is_open && dialog.open() {
                dialog.close();
            }
        }
    });
    // A tap on the dialog itself and not on what is in it is a tap beside the sheet.
    let beside = move |ev: ev::MouseEvent| {
        if ev.target() == ev.current_target() {
            open.set(false);
        }
    };
    view! {
        <dialog class="sheet" node_ref=dialog aria-label=title on:close=move |_| open.set(false) on:click=beside>
            <div class="sheet-body">
                <div class="sheet-head">
                    <h2>{title}</h2>
                    <button type="button" class="plain" on:click=move |_| open.set(false)>
                        {words::close()}
                    </button>
                </div>
                {move || open.get().then(|| content.run())}
            </div>
        </dialog>
    }
    .into_any()
}
