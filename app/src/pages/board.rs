//! The board with blanks: the five entries, one at a time.

use super::entry::{entry_field, measured_id};
use super::{Desk, missing, welcome};
use crate::browser;
use crate::parts::board::{Row, board};
use crate::parts::choice::Choice;
use crate::parts::field::Tag;
use crate::parts::live::{live_option, live_text, places};
use crate::parts::readout::readout;
use crate::shell::route::{Route, go};
use crate::store::Store;
use crate::words::car::one_number_note;
use crate::words::{board as words, fields, measures, verdicts};
use laneside_core::car::RatingBy;
use laneside_core::car::entry::{Field, shown};
use laneside_core::drive::Measure;
use laneside_core::quantity::show;
use leptos::prelude::*;

/// The five entries, in the order they are asked for.
pub const ENTRIES: [Field; 5] = [
    Field::Crank,
    Field::Fitted,
    Field::Limiter,
    Field::Idle,
    Field::Rated,
];

/// The page's body.
pub fn page(desk: Desk) -> AnyView {
    let store = desk.store;
    if !store.has_any() {
        welcome::add_blank(desk);
    }
    let at =
        RwSignal::new(untrack(|| first_missing(store).or_else(|| first_open(store))).unwrap_or(0));
    let on_next = Callback::new(move |()| advance(desk, at, false));
    let on_pad_next = Callback::new(move |()| advance(desk, at, true));
    let rows = Signal::derive(move || ENTRIES.map(|field| row(store, field)).to_vec());
    let pick = Callback::new(move |place| {
        desk.pad.pressed();
        at.set(place);
        focus_soon(place);
    });
    if desk.pad.is_expected() {
        focus_soon(at.get_untracked());
    }
    let only = Signal::derive(move || vec![at.get()]);
    let is_done = Memo::new(move |_| is_studied(store));
    view! {
        // Keyed: each entry is an input of its own, which takes focus anew.
        {places(only, Callback::new(move |at| entry(desk, at, on_pad_next)))}
        {speed(store)}
        <h2>{words::list()}</h2>
        {board(rows, at.into(), pick)}
        <p class="quiet">{words::rest_on_car()}</p>
        <div class="thumb">
            <button type="button" class="button" on:click=move |_| on_next.run(())>
                {live_text(move || (if is_done.get() { words::see() } else { words::next() }).to_owned())}
            </button>
        </div>
    }
    .into_any()
}

fn row(store: Store, field: Field) -> Row {
    let wrong = store.error(field).is_some();
    let value = if wrong {
        store.text(field)
    } else {
        store.with_car(|car| shown(car, field)).unwrap_or_default()
    };
    Row {
        label: fields::label(field).to_owned(),
        value,
        tag: Tag::None,
    }
}

/// Whether an entry is blank, or holds a text that was not taken.
fn is_open(store: Store, field: Field) -> bool {
    store.is_refused(field)
        || store
            .with_car(|car| shown(car, field).is_empty())
            .unwrap_or(true)
}

fn is_studied(store: Store) -> bool {
    store.answer().is_some_and(|answer| answer.study.is_ok())
}

fn first_open(store: Store) -> Option<usize> {
    ENTRIES.iter().position(|field| is_open(store, *field))
}

/// The first entry without which there is no answer: a size need not be, where turns were counted.
fn first_missing(store: Store) -> Option<usize> {
    let missing = missing::missing(store);
    ENTRIES.iter().position(|field| missing.contains(field))
}

/// The large entry, and for a pulley how it was measured.
fn entry(desk: Desk, at: usize, on_next: Callback<()>) -> AnyView {
    let store = desk.store;
    let field = ENTRIES[at.min(ENTRIES.len() - 1)];
    let large = entry_field(desk, field)
        .large()
        .on_next(on_next)
        .view(desk.pad);
    let is_pulley = matches!(field, Field::Crank | Field::Fitted);
    let measured = is_pulley.then(|| {
        Choice::new(
            measured_id(field),
            words::measured(),
            Measure::ALL.map(measures::label),
            Signal::derive(move || {
                let measure = store.measure(field);
                Measure::ALL.iter().position(|one| *one == measure)
            }),
            Callback::new(move |place: usize| {
                if let Some(measure) = Measure::ALL.get(place) {
                    store.set_measure(field, *measure);
                }
            }),
        )
        .view()
    });
    let units = is_pulley.then(|| units(desk));
    let one_number = (field == Field::Rated).then(|| {
        live_option(move || {
            let by = store.with_car(|car| car.alternator.rating_by);
            let is_one = by == Some(RatingBy::OneNumber);
            is_one.then(|| view! { <p class="note">{one_number_note()}</p> }.into_any())
        })
    });
    view! { {large} {units} {measured} {one_number} }.into_any()
}

/// Goes on: stays at an entry that was not taken, else to the next open one, else to the verdict. The
/// pad goes down the list once and closes; the big button comes back to what was left blank.
fn advance(desk: Desk, at: RwSignal<usize>, by_pad: bool) {
    let store = desk.store;
    store.end_typing();
    let here = at.get_untracked();
    let next = untrack(|| {
        if store.is_refused(ENTRIES[here]) {
            return Some(here);
        }
        let after = (here + 1..ENTRIES.len()).find(|place| is_open(store, ENTRIES[*place]));
        after.or_else(|| first_open(store))
    });
    match next {
        Some(next) if by_pad && next < here => desk.pad.close(),
        Some(next) if by_pad && next == here && !untrack(|| store.is_refused(ENTRIES[here])) => {
            desk.pad.close();
        }
        Some(next) if next == here => focus_soon(here),
        Some(next) => {
            // Whoever goes on by the big button means to type, too.
            desk.pad.pressed();
            at.set(next);
            focus_soon(next);
        }
        // What the board does not ask for (turns, points of a curve) stands on the page Car.
        None if untrack(|| is_studied(store)) => go(Route::Pulleys),
        None => go(Route::Car),
    }
}

/// Focuses the large entry once it is in the document, and after the page's heading was.
fn focus_soon(place: usize) {
    request_animation_frame(move || {
        request_animation_frame(move || {
            let key = ENTRIES[place.min(ENTRIES.len() - 1)].key();
            if let Some(input) = browser::by_id(&key) {
                browser::focus(&input);
            }
        });
    });
}

/// The alternator's speed at the limiter, as soon as it is known.
fn speed(store: Store) -> AnyView {
    let known = Memo::new(move |_| {
        let answer = store.answer()?;
        let gate = answer.speeds.as_ref().ok()?.first()?;
        let spread = gate.margin_rpm.spread.widest();
        let rounded = show::rounded_to_spread(gate.speed_rpm, spread.max(10.0));
        let assumed = answer.car.alternator.limits.is_none();
        Some((
            rounded.value_text(),
            words::limit(&rounded.spread_text(), &verdicts::limit(gate), assumed),
        ))
    });
    let part = move |pick: fn((String, String)) -> String| {
        Signal::derive(move || known.get().map(pick).unwrap_or_default())
    };
    let is_known = Memo::new(move |_| known.with(Option::is_some));
    live_option(move || {
        is_known.get().then(|| {
            readout(
                words::speed(),
                part(|known| known.0),
                words::RPM,
                part(|known| known.1),
                "on-car",
            )
        })
    })
}

fn units(desk: Desk) -> AnyView {
    let store = desk.store;
    view! {
        <p class="units">
            <span class="quiet">{live_text(move || words::units(store.units()).0.to_owned())}</span>
            " "
            <button
                type="button"
                class="plain"
                on:click=move |_| store.set_units(untrack(|| store.units()).other())
            >
                {live_text(move || words::units(store.units()).1.to_owned())}
            </button>
        </p>
    }
    .into_any()
}
