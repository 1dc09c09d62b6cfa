//! Whether saved cars are safe: what is told of them on every page, and what the browser promised.

use crate::parts::live::{all, live, live_option};
use crate::shell::route::Route;
use crate::store::Store;
use crate::words::keeping as words;
use leptos::prelude::*;

/// What is to be told of saved cars, on whatever page.
pub fn notices(store: Store) -> AnyView {
    let unsaved = live_option(move || {
        let told = words::safety(store.safety())?;
        Some(view! { <p class="caution" role="alert">{told}</p> }.into_any())
    });
    let told = live(move || {
        let lines: Vec<String> = store.told().iter().map(words::told).collect();
        notice(lines, false, Callback::new(move |()| store.close_told()))
    });
    let week = live(move || {
        let line = store.may_lose_in_a_week().then(|| words::week().to_owned());
        let lines = line.into_iter().collect();
        notice(
            lines,
            true,
            Callback::new(move |()| store.close_week_told()),
        )
    });
    all([unsaved, told, week])
}

/// Sentences with a button that closes them, and with the way to the files.
fn notice(lines: Vec<String>, to_files: bool, on_close: Callback<()>) -> AnyView {
    let shown = (!lines.is_empty()).then(|| {
        let lines = lines
            .into_iter()
            .map(|line| view! { <p>{line}</p> }.into_any())
            .collect::<Vec<_>>();
        let files = to_files.then(|| {
            view! { <a class="button" href=Route::Cars.href()>{words::to_files()}</a> }.into_any()
        });
        view! {
            <div class="notice">
                {lines}
                {files}
                <button type="button" class="plain" on:click=move |_| on_close.run(())>
                    {words::close()}
                </button>
            </div>
        }
        .into_any()
    });
    // Always there, so that what comes into it is read out.
    view! { <div role="status">{shown}</div> }.into_any()
}

/// What the browser promised, with the button that asks it again.
pub fn are_they_safe(store: Store) -> AnyView {
    live_option(move || {
        let stays = store.stays()?;
        let ask = (!stays).then(|| {
            view! {
                <p class="actions">
                    <button type="button" class="button" on:click=move |_| store.ask_again()>
                        {words::ask()}
                    </button>
                </p>
            }
            .into_any()
        });
        let said = if stays {
            words::stays()
        } else {
            words::may_go()
        };
        Some(
            view! {
                <section class="keeping">
                    <h2>{words::kept()}</h2>
                    <p role="status">{said}</p>
                    {ask}
                </section>
            }
            .into_any(),
        )
    })
}
