//! The open car as codes, for another phone's camera.

use super::Desk;
use crate::carry::pack;
use crate::parts::code::code_view;
use crate::parts::field::{Fault, fault_view};
use crate::parts::live::{live, live_option, live_text};
use crate::words::share as words;
use laneside_core::car::Car;
use laneside_core::carry::code::Code;
use laneside_core::carry::parts::split;
use leptos::prelude::*;
use leptos::task::spawn_local;
use std::sync::Arc;
use std::time::Duration;

/// How long a code stands while they change by themselves: a camera finds it in less, and a hand has time to follow.
const STANDS: Duration = Duration::from_millis(2_500);

type Codes = Arc<Vec<Code>>;

/// The page's body.
pub fn page(desk: Desk) -> AnyView {
    // Made anew for every other car, and for every change of it: a code of what it was is a code of another.
    let car = Memo::new(move |_| desk.store.own_car());
    live(move || match car.get() {
        Some(car) => of(desk, car),
        None => view! { <p>{words::no_car()}</p> }.into_any(),
    })
}

fn of(desk: Desk, car: Car) -> AnyView {
    let codes = RwSignal::new(Codes::default());
    let fault = RwSignal::new(None::<Fault>);
    let at = RwSignal::new(0_usize);
    let changes = RwSignal::new(!prefers_stillness());
    spawn_local(async move {
        let found = pack(&car).await.and_then(|bytes| codes_of(&bytes));
        // The person may have left the page meanwhile, or opened another car.
        match found {
            Ok(found) => drop(codes.try_set(found)),
            Err(found) => drop(fault.try_set(Some(found))),
        }
    });
    let step = move |by: usize| {
        let count = codes.with_untracked(|codes| codes.len().max(1));
        at.update(|at| *at = (*at + by) % count);
    };
    let clock = set_interval_with_handle(
        move || {
            if changes.try_get_untracked() == Some(true) {
                step(1);
            }
        },
        STANDS,
    );
    on_cleanup(move || {
        if let Ok(clock) = clock {
            clock.clear();
        }
    });
    let shown = live_option(move || {
        let codes = codes.get();
        let place = at.get();
        let code = codes.get(place)?;
        let name = format!(
            "{} {}",
            words::code(),
            words::code_of(place + 1, codes.len())
        );
        Some(code_view(code, name))
    });
    let many = Memo::new(move |_| codes.with(|codes| codes.len()));
    let steps = live_option(move || {
        let count = many.get();
        (count > 1).then(|| {
            // By hand it stands still: nothing changes under one's thumb.
            let by_hand = move |by: usize| {
                changes.set(false);
                step(by);
            };
            let toggle = move |_| changes.update(|on| *on = !*on);
            let label = move || (if changes.get() { words::hold() } else { words::cycle() }).to_owned();
            view! {
                <p class="code-place"><strong>{live_text(move || words::code_of(at.get() + 1, count))}</strong></p>
                <p class="actions">
                    <button type="button" class="button" on:click=move |_| by_hand(count - 1)>{words::back()}</button>
                    <button type="button" class="button" on:click=move |_| by_hand(1)>{words::forward()}</button>
                    <button type="button" class="button" on:click=toggle>{live_text(label)}</button>
                </p>
            }
            .into_any()
        })
    });
    let passes = move || desk.logs.kept.all.with(|all| !all.is_empty());
    view! {
        <p>{words::codes_note()}</p>
        {fault_view("codes-fault".to_owned(), fault.into())}
        <div class="code-place">{shown}</div>
        {steps}
        {live_option(move || passes().then(|| view! { <p class="note">{words::without_passes()}</p> }.into_any()))}
    }
    .into_any()
}

fn codes_of(bytes: &[u8]) -> Result<Codes, Fault> {
    let texts = split(bytes).ok_or_else(words::too_long_for_codes)?;
    let codes: Option<Vec<Code>> = texts.iter().map(|text| Code::of_part(text)).collect();
    Ok(Arc::new(codes.ok_or_else(words::too_long_for_codes)?))
}

fn prefers_stillness() -> bool {
    let query = window().match_media("(prefers-reduced-motion: reduce)");
    query.ok().flatten().is_some_and(|query| query.matches())
}
