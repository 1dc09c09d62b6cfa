//! The readings of a span: those heard, and one typed by hand.

use super::State;
use crate::browser;
use crate::parts::field::Field;
use crate::parts::held::Held;
use crate::parts::live::live_option;
use crate::words::ear as words;
use leptos::prelude::*;

/// Most readings of a span that are kept.
pub(super) const MOST: usize = 12;
/// Where what was typed and not added yet is stored.
const TYPED: &str = "laneside.ear.typed";

/// The readings of the span looked at: their places among all, and their frequencies, Hz; tracked.
pub(super) fn own(state: State) -> Vec<(usize, f64)> {
    let at = state.span.get();
    state.ear.readings.with(|readings| {
        let own = readings
            .iter()
            .enumerate()
            .filter(|(_, one)| usize::from(one.span) == at);
        own.map(|(place, one)| (place, one.hz)).collect()
    })
}

/// The readings, each to be counted or not.
pub(super) fn list(state: State) -> AnyView {
    // Held: a plate that is tapped stays the same plate.
    let own = Held::new(move || own(state));
    live_option(move || {
        let own = own.get();
        if own.is_empty() {
            return None;
        }
        let full = (own.len() >= MOST).then(|| view! { <p class="note">{words::FULL}</p> });
        let plates = own
            .into_iter()
            .map(|(place, hz)| plate(state, place, hz))
            .collect_view();
        let view = view! {
            <fieldset class="choice" id="ear-readings">
                <legend>{words::READINGS}</legend>
                <div class="options">{plates}</div>
                <p class="note">{words::READINGS_NOTE}</p>
                {full}
            </fieldset>
            <div class="apart">
                <button type="button" class="plain" on:click=move |_| clear(state)>
                    {words::CLEAR}
                </button>
            </div>
        };
        Some(view.into_any())
    })
}

fn plate(state: State, place: usize, hz: f64) -> AnyView {
    let counts = move || {
        let readings = state.ear.readings;
        readings.with(|all| all.get(place).is_some_and(|one| !one.left_out))
    };
    view! {
        <label class="option">
            <input type="checkbox" prop:checked=counts on:change=move |_| toggle(state, place) />
            <span>{words::reading(hz)}</span>
        </label>
    }
    .into_any()
}

fn toggle(state: State, place: usize) {
    let mut readings = state.ear.readings.get_untracked();
    if let Some(one) = readings.get_mut(place) {
        one.left_out = !one.left_out;
        state.ear.on_readings.run(readings);
    }
}

fn clear(state: State) {
    let at = state.span.get_untracked();
    let mut readings = state.ear.readings.get_untracked();
    readings.retain(|one| usize::from(one.span) != at);
    state.ear.on_readings.run(readings);
}

/// The field for where there is no microphone. What is typed stays until it is added, over a reload too.
pub(super) fn by_hand(state: State) -> AnyView {
    let kept = browser::stored(TYPED).unwrap_or_default();
    let units = state.ear.units;
    let fault = RwSignal::new(
        Some(&kept)
            .filter(|kept| !kept.is_empty())
            .and_then(|kept| words::typed(kept, units.get_untracked()).err()),
    );
    let text = RwSignal::new(kept);
    let type_into = move |typed: String| {
        browser::store(TYPED, &typed);
        fault.set(None);
        text.set(typed);
    };
    let add = move || {
        let typed = text.get_untracked();
        if typed.trim().is_empty() {
            return;
        }
        match words::typed(&typed, units.get_untracked()) {
            Ok(hz) => {
                browser::forget(TYPED);
                text.set(String::new());
                state.add(hz);
            }
            Err(error) => fault.set(Some(error)),
        }
    };
    let field = Field::new("ear-hz", words::BY_HAND, text, Callback::new(type_into))
        .unit("Hz".to_owned())
        .note(words::BY_HAND_NOTE.to_owned())
        .fault(fault.into())
        .on_next(Callback::new(move |()| add()))
        .view(state.ear.pad);
    view! {
        {field}
        <button type="button" class="button" id="ear-add" on:click=move |_| add()>
            {words::ADD}
        </button>
    }
    .into_any()
}
