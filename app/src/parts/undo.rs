//! The bar that offers to take back a deletion. It stays until it is used, closed or replaced.

use super::words;
use leptos::prelude::*;

/// The bar, shown while `what` says what was done ("Deleted Nettle.").
pub fn undo_bar(
    what: Signal<Option<String>>,
    on_undo: Callback<()>,
    on_close: Callback<()>,
) -> AnyView {
    view! {
        <div role="status">
            {move || {
                what.get()
                    .map(|what| {
                        view! {
                            <div class="undo">
                                <p>{what}</p>
                                <button type="button" class="button" on:click=move |_| on_undo.run(())>
                                    {words::UNDO}
                                </button>
                                <button type="button" class="plain" on:click=move |_| on_close.run(())>
                                    {words::CLOSE}
                                </button>
                            </div>
                        }
                    })
            }}
        </div>
    }
    .into_any()
}
