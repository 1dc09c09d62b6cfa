//! The readings of a span: those heard, and one typed by hand.

use super::State;
use crate::browser;
use crate::pages::Desk;
use crate::parts::field::Field;
use crate::parts::held::Held;
use crate::parts::live::live_option;
use crate::words::ear as words;
use laneside_core::belt::pluck::Reading;
use laneside_core::car::check::MOST_HEARD;
use leptos::prelude::*;

/// Most readings of a span that are kept.
pub(super) const MOST: usize = 12;
/// Where what was typed and not added yet is stored.
const TYPED: &str = "laneside.ear.typed";

/// The span of the readings kept last.
pub(super) fn last_span(desk: Desk) -> Option<usize> {
    let last = desk
        .store
        .with_car(|car| car.belt_drive.heard.last().copied());
    last.flatten().map(|one| usize::from(one.span))
}

/// The readings of the span looked at, with their places among all; tracked.
pub(super) fn own(state: State) -> Vec<(usize, Reading)> {
    let span = state.span();
    let own = state.desk.store.with_car(|car| {
        let all = car.belt_drive.heard.iter().copied().enumerate();
        all.filter(|(_, one)| usize::from(one.span) == span)
            .collect()
    });
    own.unwrap_or_default()
}

/// Keeps readings of a span, as many as there is room for; `anew` takes those before them out.
/// Whether there was room at all.
pub(super) fn add(desk: Desk, span: usize, heard_hz: &[f64], anew: bool) -> bool {
    let Ok(span) = u8::try_from(span) else {
        return false;
    };
    let mut has_room = false;
    desk.store.change(&[], |car| {
        let all = &mut car.belt_drive.heard;
        if anew {
            all.retain(|one| one.span != span);
        }
        let kept = all.iter().filter(|one| one.span == span).count();
        let room = MOST
            .saturating_sub(kept)
            .min(MOST_HEARD.saturating_sub(all.len()));
        has_room = room > 0;
        all.extend(heard_hz.iter().take(room).map(|hz| Reading {
            span,
            // Finer than any belt rings.
            hz: (10.0 * hz).round() / 10.0,
            left_out: false,
        }));
    });
    has_room
}

/// The readings, each to be counted or not.
pub(super) fn list(state: State) -> AnyView {
    // A plate that is tapped stays the same plate.
    let shown = Held::new(move || {
        let own = own(state).into_iter();
        own.map(|(place, one)| (place, one.hz)).collect::<Vec<_>>()
    });
    live_option(move || {
        let shown = shown.get();
        if shown.is_empty() {
            return None;
        }
        let full =
            (shown.len() >= MOST).then(|| view! { <p class="note">{words::full_label()}</p> });
        let plates = shown
            .into_iter()
            .map(|(place, hz)| plate(state, place, hz))
            .collect_view();
        let view = view! {
            <fieldset class="choice" id="ear-readings">
                <legend>{words::readings()}</legend>
                <div class="options">{plates}</div>
                <p class="note">{words::readings_note()}</p>
                {full}
            </fieldset>
            <div class="apart">
                <button type="button" class="plain" on:click=move |_| clear(state)>
                    {words::clear()}
                </button>
            </div>
        };
        Some(view.into_any())
    })
}

fn plate(state: State, place: usize, hz: f64) -> AnyView {
    let store = state.desk.store;
    let counts = move || {
        store
            .with_car(|car| {
                let one = car.belt_drive.heard.get(place);
                one.is_some_and(|one| !one.left_out)
            })
            .unwrap_or_default()
    };
    let toggle = move |_| {
        store.change(&[], |car| {
            if let Some(one) = car.belt_drive.heard.get_mut(place) {
                one.left_out = !one.left_out;
            }
        });
    };
    view! {
        <label class="option">
            <input type="checkbox" prop:checked=counts on:change=toggle />
            <span>{words::reading(hz)}</span>
        </label>
    }
    .into_any()
}

fn clear(state: State) {
    let span = untrack(|| state.span());
    state.desk.store.change(&[], |car| {
        let heard = &mut car.belt_drive.heard;
        heard.retain(|one| usize::from(one.span) != span);
    });
}

/// The field for where there is no microphone. What is typed stays until it is added, over a reload too.
pub(super) fn by_hand(state: State) -> AnyView {
    let kept = browser::stored(TYPED).unwrap_or_default();
    let units = move || untrack(|| state.desk.store.units());
    let fault = RwSignal::new(
        Some(&kept)
            .filter(|kept| !kept.is_empty())
            .and_then(|kept| words::typed(kept, units()).err()),
    );
    let text = RwSignal::new(kept);
    let type_into = move |typed: String| {
        browser::store(TYPED, &typed);
        fault.set(None);
        text.set(typed);
    };
    let take = move || {
        let typed = text.get_untracked();
        if typed.trim().is_empty() {
            return;
        }
        match words::typed(&typed, units()) {
            Ok(hz) if add(state.desk, untrack(|| state.span()), &[hz], false) => {
                browser::forget(TYPED);
                text.set(String::new());
            }
            Ok(_) => fault.set(Some(words::full())),
            Err(error) => fault.set(Some(error)),
        }
    };
    let field = Field::new("ear-hz", words::by_hand(), text, Callback::new(type_into))
        .unit("Hz".to_owned())
        .note(words::by_hand_note().to_owned())
        .fault(fault.into())
        .on_next(Callback::new(move |()| take()))
        .view(state.desk.pad);
    view! {
        {field}
        <button type="button" class="button" id="ear-add" on:click=move |_| take()>
            {words::add()}
        </button>
    }
    .into_any()
}
