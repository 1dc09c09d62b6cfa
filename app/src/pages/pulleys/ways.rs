//! Ways out when no size surely does both: each computed, applied and studied again.

use crate::pages::Desk;
use crate::parts::live::live_option;
use crate::store::Answer;
use crate::words::pulleys as words;
use laneside_core::choose::{WayOut, ways_out, with_way};
use leptos::prelude::*;
use std::sync::Arc;

/// The ways out, worked out once the page has been drawn.
pub fn ways(desk: Desk, settled: Signal<Option<Arc<Answer>>>) -> AnyView {
    let store = desk.store;
    let found = Memo::new(move |_| {
        let answer = settled.get()?;
        let study = answer.study.as_ref().ok()?;
        let limits = &study.tolerances.resolved().limits;
        let assumed = limits.assumed.then_some(limits.continuous);
        let ways = || (ways_out(&answer.car), assumed);
        study.window.sure().is_none().then(ways)
    });
    let row = move |way: WayOut, assumed: Option<(f64, f64)>| {
        let units = way.car.units;
        let becomes = way
            .window
            .sure()
            .map(|(low, high)| words::way_window(low, high, units));
        let text = words::way(
            way.kind,
            way.from,
            way.to,
            units,
            way.needed_output,
            assumed,
        );
        let take = move |_| {
            store.try_out(words::way_change(way.kind, way.to, units), |car| {
                let mut car = with_way(car, way.kind, way.to)?;
                // The suggested pulley belongs to the way.
                car.drive.tried = None;
                Some(car)
            });
        };
        view! {
            <li>
                <p>{text} " " {becomes}</p>
                <button type="button" class="button" on:click=take>{words::try_it()}</button>
            </li>
        }
    };
    live_option(move || {
        found.get().map(|(found, assumed)| {
            let body = if found.is_empty() {
                view! { <p>{words::no_way()}</p> }.into_any()
            } else {
                view! {
                    <p class="note">{words::ways_note()}</p>
                    <ol class="ways">{found.into_iter().map(|way| row(way, assumed)).collect_view()}</ol>
                }
                .into_any()
            };
            view! { <h2 id="ways-out">{words::ways()}</h2> {body} }.into_any()
        })
    })
}
