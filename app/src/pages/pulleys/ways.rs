//! Ways out when no size surely does both: each computed, applied and studied again.

use crate::pages::Desk;
use crate::parts::live::live_option;
use crate::store::Answer;
use crate::words::pulleys as words;
use laneside_core::choose::{WayOut, ways_out};
use leptos::prelude::*;
use std::sync::Arc;

/// The ways out, worked out once the page has been drawn.
pub fn ways(desk: Desk, settled: Signal<Option<Arc<Answer>>>) -> AnyView {
    let store = desk.store;
    let found = Memo::new(move |_| {
        let answer = settled.get()?;
        let study = answer.study.as_ref().ok()?;
        study.window.sure().is_none().then(|| ways_out(&answer.car))
    });
    let row = move |way: WayOut| {
        let units = way.car.units;
        let becomes = way
            .window
            .sure()
            .map(|(low, high)| words::way_window(low, high, units));
        let text = words::way(way.kind, way.from, way.to, units, way.needed_output);
        // The suggested pulley belongs to the way: what was chosen before stays only if asked for.
        let take = move |_| {
            let changed = way.car.clone();
            store.change(&[], |car| {
                *car = changed;
                car.drive.tried = None;
            });
        };
        view! {
            <li>
                <p>{text} " " {becomes}</p>
                <button type="button" class="button" on:click=take>{words::TRY}</button>
            </li>
        }
    };
    live_option(move || {
        found.get().map(|found| {
            let body = if found.is_empty() {
                view! { <p>{words::NO_WAY}</p> }.into_any()
            } else {
                view! {
                    <p class="note">{words::WAYS_NOTE}</p>
                    <ol class="ways">{found.into_iter().map(row).collect_view()}</ol>
                }
                .into_any()
            };
            view! { <h2 id="ways-out">{words::WAYS}</h2> {body} }.into_any()
        })
    })
}
