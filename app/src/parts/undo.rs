//! The bar that says what was done, and offers to take it back. It stays until it is used, closed or replaced.

use leptos::prelude::*;

/// A button of the bar.
pub type Act = (&'static str, Callback<()>);

/// The bar, shown while `what` says what was done ("Deleted Nettle.").
pub fn undo_bar(
    what: Signal<Option<String>>,
    (undo, on_undo): Act,
    (close, on_close): Act,
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
                                    {undo}
                                </button>
                                <button type="button" class="plain" on:click=move |_| on_close.run(())>
                                    {close}
                                </button>
                            </div>
                        }
                    })
            }}
        </div>
    }
    .into_any()
}
