//! The log against the car's model, and what it offers for the car: each accepted alone, and taken back.

use super::found::Found;
use crate::pages::{Desk, missing};
use crate::parts::held::Held;
use crate::parts::live::{all, live};
use crate::parts::undo::undo_bar;
use crate::words::log::model as words;
use laneside_core::car::Car;
use laneside_core::log::fit::{NoFit, Offer, accept};
use leptos::prelude::*;

/// What was taken over last: in words, and the car before and after.
type Taken = RwSignal<Option<(String, Car, Car)>>;

/// The simulated band: time, from, to; none without a whole car.
pub fn band(found: Found) -> Held<Vec<(f64, f64, f64)>> {
    Held::new(move || {
        let against = found.against.get();
        let held = against
            .iter()
            .filter_map(|against| against.as_ref().as_ref().ok());
        let band = held.flat_map(|held| &held.band);
        band.map(|moment| (moment.at_s, moment.low_v, moment.high_v))
            .collect()
    })
}

/// How the log lies to the model, and the offers.
pub fn model(desk: Desk, found: Found) -> AnyView {
    let store = desk.store;
    let taken: Taken = RwSignal::new(None);
    let told = live(move || {
        if !found.pass.with(Option::is_some) {
            return ().into_any();
        }
        let Some(against) = found.against.get() else {
            return ().into_any();
        };
        let against = match against.as_ref() {
            Ok(against) => against,
            Err(NoFit::Unresolved(_)) => return needed(desk),
            Err(NoFit::Pass(_)) => return ().into_any(),
        };
        let offers = against
            .offers
            .iter()
            .map(|offer| offered(desk, taken, offer.clone()));
        let offers: Vec<AnyView> = offers.collect();
        let none = offers.is_empty().then_some(words::no_offer());
        view! {
            <h2>{words::model()}</h2>
            <p>{words::inside(against)}</p>
            <p class="note">{none}</p>
            <ul class="ways">{all(offers)}</ul>
        }
        .into_any()
    });
    let undo = Callback::new(move |()| {
        if let Some((_, before, after)) = taken.get_untracked() {
            store.change(&[], |car| {
                // What was changed since then stays as it is.
                if *car == after {
                    *car = before;
                }
            });
        }
        taken.set(None);
    });
    let said = move || {
        let (what, _, after) = taken.get()?;
        // Once the car was changed in another way, it is its own again.
        (store.with_car(|car| *car == after) == Some(true)).then_some(what)
    };
    all([
        told,
        undo_bar(
            Signal::derive(said),
            (words::undo(), undo),
            (words::close(), Callback::new(move |()| taken.set(None))),
        ),
    ])
}

fn needed(desk: Desk) -> AnyView {
    let way = move || missing::way(&missing::missing(desk.store));
    view! {
        <h2>{words::model()}</h2>
        <p>{words::needed()}</p>
        <p class="actions">
            <a class="button" href=way>{words::enter()}</a>
        </p>
    }
    .into_any()
}

fn offered(desk: Desk, taken: Taken, offer: Offer) -> AnyView {
    let sentence = words::offer(&offer);
    let take = (!offer.edits.is_empty()).then(|| {
        let on_take = move |_| take(desk, taken, &offer);
        view! {
            <button type="button" class="button" on:click=on_take>
                {words::take()}
            </button>
        }
    });
    view! {
        <li>
            <p>{sentence}</p>
            {take}
        </li>
    }
    .into_any()
}

fn take(desk: Desk, taken: Taken, offer: &Offer) {
    let store = desk.store;
    let Some(before) = untrack(|| store.with_car(Car::clone)) else {
        return;
    };
    // All of its edits or none.
    let Ok(after) = accept(&before, offer) else {
        return;
    };
    let fields: Vec<_> = offer.edits.iter().map(|(field, _)| *field).collect();
    let changed = after.clone();
    store.change(&fields, |car| *car = changed);
    taken.set(Some((words::taken(offer), before, after)));
}
