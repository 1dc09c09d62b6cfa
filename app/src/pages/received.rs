//! The strip over every page while a car from elsewhere is there and not kept.

use super::Desk;
use crate::parts::live::{live_option, live_text};
use crate::shell::route::{Route, go};
use crate::store::Shown;
use crate::words::received as words;
use leptos::prelude::*;
use std::time::Duration;

/// The strip; nothing while nothing came.
pub fn strip(desk: Desk) -> AnyView {
    let store = desk.store;
    let shown = Memo::new(move |_| store.shown());
    live_option(move || shown.get().map(|shown| bar(desk, &shown)))
}

fn bar(desk: Desk, shown: &Shown) -> AnyView {
    let store = desk.store;
    let (_, count) = shown.place;
    let keep = move || {
        let passes = store.keep_received();
        desk.logs.kept.keep(passes);
    };
    // What is looked at stays open.
    let keep_all = move |()| {
        keep();
        store.know_owners();
        keep_others(desk, count - 1);
    };
    let told = match (shown.is_looked_at, shown.has_own) {
        (true, _) => Some(words::looked_at()),
        (false, true) => Some(words::aside()),
        (false, false) => None,
    };
    // Not a part of what makes the strip anew: its buttons would move under a finger.
    let waits = live_text(move || {
        let told = match store.waiting_stays() {
            None => words::being_written(),
            Some(true) => words::waits(),
            Some(false) => words::fleeting(),
        };
        told.to_owned()
    });
    let unknown = (shown.unknown > 0).then(|| {
        let (found, needed) = (words::unknown(shown.unknown), words::unknown_needed());
        view! { <p>{found} " " {needed}</p> }
    });
    let surplus = (shown.surplus > 0).then(|| {
        let told = words::surplus(shown.surplus, laneside_core::car::several::MOST_PASSES);
        view! { <p>{told}</p> }
    });
    let refused = live_option(move || {
        store
            .has_refused()
            .then(|| view! { <p class="caution">{words::not_changed()}</p> }.into_any())
    });
    let button = |label: String, on_tap: Callback<()>| {
        view! { <button type="button" class="button" on:click=move |_| on_tap.run(())>{label}</button> }
            .into_any()
    };
    let look = (!shown.is_looked_at || count > 1).then(|| {
        let label = if shown.is_looked_at {
            words::next()
        } else {
            words::look()
        };
        button(label.to_owned(), Callback::new(move |()| store.look_on()))
    });
    let all = (count > 1).then(|| {
        let all = [
            button(words::keep_all(count), Callback::new(keep_all)),
            button(
                words::leave_all(count),
                Callback::new(move |()| leave(desk, true)),
            ),
        ];
        all.into_iter().collect_view()
    });
    let name = words::of(&shown.name, shown.place);
    view! {
        <section class="received screen-only" aria-label=words::strip()>
            <p role="status"><strong>{words::not_kept()}</strong> ": " <span class="received-name">{name}</span></p>
            <p class="note">{told} " " {waits}</p>
            {unknown}
            {surplus}
            <div role="alert">{refused}</div>
            <p class="actions">
                {button(words::keep().to_owned(), Callback::new(move |()| keep()))}
                {look}
                {button(words::leave().to_owned(), Callback::new(move |()| leave(desk, false)))}
                {all}
            </p>
        </section>
    }
    .into_any()
}

/// Keeps the others that came, so many, one in a turn, so that a touch need not wait for all of them. Once one of them is
/// looked at, those that are left wait on.
fn keep_others(desk: Desk, left: usize) {
    let next = move || {
        if left == 0 || untrack(|| desk.store.is_locked()) {
            return;
        }
        if let Some((name, owner, passes)) = desk.store.keep_next() {
            if !passes.is_empty() {
                desk.logs.kept.keep_with(owner, passes, name);
            }
            keep_others(desk, left - 1);
        }
    };
    set_timeout(next, Duration::ZERO);
}

fn leave(desk: Desk, all: bool) {
    desk.store.leave_received(all);
    if !desk.store.has_car() && untrack(|| desk.store.shown()).is_none() {
        go(Route::Cars);
    }
}

/// Opens what came; what is wrong with it otherwise.
pub fn open(
    desk: Desk,
    cars: Vec<laneside_core::car::several::Carried>,
) -> Result<(), crate::parts::field::Fault> {
    if desk.store.receive(cars) {
        Ok(())
    } else {
        Err(words::too_many(laneside_core::car::several::MOST_CARS))
    }
}

/// A quiet line that follows what is told.
pub fn told(text: Signal<String>) -> AnyView {
    view! { <p class="note" role="status">{live_text(move || text.get())}</p> }.into_any()
}
