//! A link that carries a car: read, opened beside one's own, or told what is wrong with it.

use super::{Desk, received};
use crate::browser;
use crate::carry::{link, unpack};
use crate::parts::field::{Fault, fault_view};
use crate::parts::live::live_option;
use crate::shell::route::Route;
use crate::words::received as words;
use leptos::{ev, prelude::*, task::spawn_local};

/// The page's body.
pub fn page(desk: Desk) -> AnyView {
    let fault = RwSignal::new(None::<Fault>);
    let newest = StoredValue::new(0_u32);
    take(desk, fault, newest);
    // Another link pasted while this one stands here.
    let again = window_event_listener(ev::hashchange, move |_| take(desk, fault, newest));
    on_cleanup(move || again.remove());
    view! {
        {live_option(move || {
            fault.with(Option::is_none).then(|| view! { <p role="status">{words::taking()}</p> }.into_any())
        })}
        {fault_view("take-fault".to_owned(), fault.into())}
        {live_option(move || {
            fault
                .with(Option::is_some)
                .then(|| {
                    view! {
                        <p>{words::own_safe()}</p>
                        <a class="button" href=Route::Cars.href()>{words::to_cars()}</a>
                    }
                    .into_any()
                })
        })}
    }
    .into_any()
}

fn take(desk: Desk, fault: RwSignal<Option<Fault>>, newest: StoredValue<u32>) {
    let hash = browser::hash();
    if !hash.starts_with(Route::Take.href().as_str()) {
        return;
    }
    let _ = fault.try_set(None);
    let mine = newest.try_get_value().unwrap_or_default() + 1;
    newest.try_set_value(mine);
    spawn_local(async move {
        let found = if link::carries(&hash) {
            read(desk, &hash).await
        } else {
            Err(words::no_car())
        };
        // What is told of a link that came since is not led away from.
        if newest.try_get_value().is_some_and(|newest| newest != mine) {
            return;
        }
        match found {
            Ok(()) => link::leave(&Route::Pulleys.href()),
            Err(found) => {
                let _ = fault.try_set(Some(found));
            }
        }
    });
}

async fn read(desk: Desk, hash: &str) -> Result<(), Fault> {
    let cars = unpack(&link::bytes(hash)?).await?;
    received::open(desk, cars)
}
