//! The job card, whole.

use super::awake::awake;
use super::boxes::part;
use super::done::done;
use super::readings::{beside, printed, readings};
use super::{Bin, Gone, fresh};
use crate::pages::Desk;
use crate::pages::entry::entry_text;
use crate::parts::held::Held;
use crate::parts::live::{all, live_option, live_text};
use crate::shell::route::Route;
use crate::words::swap as words;
use laneside_core::car::Car;
use laneside_core::car::entry::Field;
use laneside_core::car::swap::JobCard;
use laneside_core::job::Part;
use leptos::prelude::*;

/// The card.
pub fn card(desk: Desk, bin: Bin) -> AnyView {
    let notes = entry_text(desk, Field::CardNotes).lines().view();
    all([
        head(desk),
        outdated(desk),
        part(desk, Part::Bring),
        part(desk, Part::Before),
        readings(desk, 0),
        part(desk, Part::Off),
        done(desk),
        part(desk, Part::Again),
        readings(desk, 1),
        beside(desk),
        printed(desk),
        view! { <div class="card-notes">{notes}</div> }.into_any(),
        foot(desk, bin),
    ])
}

fn said(desk: Desk, read: impl Fn(&Car, &JobCard) -> String + Send + Sync + 'static) -> AnyView {
    live_text(move || {
        let read = |car: &Car| Some(read(car, car.swap.as_ref()?));
        desk.store.with_car(read).flatten().unwrap_or_default()
    })
}

fn head(desk: Desk) -> AnyView {
    let is_on = awake();
    let screen = live_option(move || {
        let told = if is_on.get()? {
            words::awake()
        } else {
            words::asleep()
        };
        Some(view! { <p class="note screen-only">{told}</p> }.into_any())
    });
    let print = move |_| {
        // Refused, the browser's own menu still prints.
        let _ = window().print();
    };
    view! {
        <div class="job-head">
            <p class="job-car paper-only">{said(desk, |car, _| car.name.clone())}</p>
            <p class="job-what">{said(desk, words::job)}</p>
            <p class="note">{said(desk, |_, card| words::made(card))}</p>
            <p class="caution">{words::practice()}</p>
            <p class="screen-only count">
                {said(desk, |_, card| words::progress(card.progress()))}
            </p>
            {screen}
            <p class="actions screen-only">
                <button type="button" class="button" on:click=print>
                    {words::print()}
                </button>
            </p>
        </div>
    }
    .into_any()
}

/// That the car is not what the card was made of any more, with the way to make it anew.
fn outdated(desk: Desk) -> AnyView {
    let store = desk.store;
    // Worked out anew only when something of the car itself changed: not with every tick and reading.
    let basis = Held::new(move || {
        store.with_car(|car| Car {
            swap: None,
            history: Vec::new(),
            ..car.clone()
        })
    });
    let made_now = Held::new(move || basis.with(|_| untrack(|| fresh(desk))));
    let changed = move || {
        let now = made_now.get()?;
        let outdated = |car: &Car| car.swap.as_ref()?.outdated(&now);
        let changed = store.with_car(outdated).flatten()?;
        let remake = move |_| {
            if let Some(now) = untrack(|| fresh(desk)) {
                store.change(&[], |car| {
                    car.swap = car.swap.take().map(|card| card.remade(now));
                });
            }
        };
        Some(
            view! {
                <div class="stale" role="status">
                    <div class="stale-text">
                        <p>{words::changed(changed)} " " {words::remake_note()}</p>
                        <button type="button" class="button screen-only" on:click=remake>
                            {words::remake()}
                        </button>
                    </div>
                </div>
            }
            .into_any(),
        )
    };
    live_option(changed)
}

/// What comes after the card: the log, the sources, putting it away.
fn foot(desk: Desk, bin: Bin) -> AnyView {
    let store = desk.store;
    let put_away = move |_| {
        let card = untrack(|| store.with_car(|car| car.swap.clone())).flatten();
        if let Some(card) = card {
            bin.0.set(Some(Gone::Card(Box::new(card))));
            store.change(&CARD_FIELDS, |car| car.swap = None);
        }
    };
    view! {
        <div class="screen-only">
            <p class="note">{words::log_note()}</p>
            <p class="actions">
                <a class="button large" href=Route::Log.href()>
                    {words::log()}
                </a>
            </p>
            <p class="note">{words::sources()}</p>
            <p class="apart">
                <button type="button" class="plain" on:click=put_away>
                    {words::put_away()}
                </button>
            </p>
        </div>
    }
    .into_any()
}

/// What is typed into a card.
const CARD_FIELDS: [Field; 13] = [
    Field::CardVolts(0),
    Field::CardVolts(1),
    Field::CardVolts(2),
    Field::CardVolts(3),
    Field::CardVolts(4),
    Field::CardVolts(5),
    Field::CardDrop(0),
    Field::CardDrop(1),
    Field::CardDrop(2),
    Field::CardDrop(3),
    Field::CardAmps(0),
    Field::CardAmps(1),
    Field::CardNotes,
];
