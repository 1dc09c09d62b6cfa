//! The window of sizes as a ruler, and the sizes on hand, best first.

use crate::pages::Desk;
use crate::pages::sweep::{Pauses, late, worked_out};
use crate::parts::live::live_option;
use crate::store::Answer;
use crate::words::{names, pulleys as words, ruler as ruler_words};
use laneside_core::car::Car;
use laneside_core::car::entry::Field;
use laneside_core::choose::{Window, sizes_to_walk};
use laneside_core::drive::Pulley;
use laneside_core::quantity::InLength;
use laneside_core::race::{Ranked, rank};
use laneside_core::sort::sort_short;
use laneside_core::study::Study;
use leptos::prelude::*;
use std::sync::Arc;

/// Room left and right of what the ruler shows, as a part of it.
const ROOM: f64 = 0.08;
/// So many of the common sizes are enough.
const NEAREST: usize = 8;

/// Ruler and words of the window.
pub fn ruler(calm: Signal<Option<Arc<Answer>>>) -> AnyView {
    view! {
        <h2>{words::window()}</h2>
        {live_option(move || {
            let answer = calm.get()?;
            let study = answer.study.as_ref().ok()?;
            Some(drawn(&answer.car, study))
        })}
    }
    .into_any()
}

/// A ruler from one effective diameter to another, mm.
struct Scale {
    from: f64,
    to: f64,
}

impl Scale {
    fn around(window: &Window, sizes: &[f64]) -> Self {
        let edges = [
            window.sure_low.mm,
            window.sure_high.mm,
            window.possible_low.mm,
            window.possible_high.mm,
        ];
        // An edge that lies beyond every size that exists is not what the ruler is for.
        let shown = edges
            .into_iter()
            .filter(|mm| (25.0..=150.0).contains(mm))
            .chain(sizes.iter().copied());
        let (from, to) = shown.fold((f64::INFINITY, 0.0_f64), |(from, to), mm| {
            (from.min(mm), to.max(mm))
        });
        let (from, to) = if from < to { (from, to) } else { (40.0, 110.0) };
        let room = (to - from) * ROOM;
        Self {
            from: from - room,
            to: to + room,
        }
    }

    fn percent(&self, mm: f64) -> f64 {
        ((mm - self.from) / (self.to - self.from) * 100.0).clamp(0.0, 100.0)
    }

    /// A stretch of the ruler.
    fn stretch(&self, class: &'static str, (low, high): (f64, f64)) -> AnyView {
        let (left, right) = (self.percent(low), self.percent(high));
        let width = (right - left).max(0.0);
        view! { <div class=class style:left=format!("{left}%") style:width=format!("{width}%")></div> }.into_any()
    }

    fn mark(&self, class: &'static str, mm: f64, label: String) -> AnyView {
        let left = self.percent(mm);
        // A label near an end reads inwards.
        let side = if left > 50.0 {
            "mark-label end"
        } else {
            "mark-label"
        };
        view! {
            <div class=class style:left=format!("{left}%")>
                {(!label.is_empty()).then(|| view! { <span class=side>{label}</span> })}
            </div>
        }
        .into_any()
    }
}

fn drawn(car: &Car, study: &Study) -> AnyView {
    let effective = |pulley: &Pulley| pulley.effective(car.drive.belt).value.mm();
    let on_hand: Vec<f64> = car.drive.on_hand.iter().map(effective).collect();
    let on_car = car.drive.fitted.as_ref().map(effective);
    let tried = study.tried.as_ref().map(|tried| effective(&tried.pulley));
    let sizes: Vec<f64> = on_hand.iter().copied().chain(on_car).chain(tried).collect();
    let window = &study.window;
    let scale = Scale::around(window, &sizes);
    let possible = window
        .possible()
        .map(|stretch| scale.stretch("possible", stretch));
    let sure = window.sure().map(|stretch| scale.stretch("sure", stretch));
    let ticks = on_hand
        .iter()
        .map(|mm| scale.mark("tick", *mm, String::new()))
        .collect_view();
    let on_car = on_car.map(|mm| scale.mark("tick on-car", mm, words::on_car(&names::fitted(car))));
    let tried = study.tried.as_ref().map(|tried| {
        scale.mark(
            "tick try",
            effective(&tried.pulley),
            words::to_try(&names::tried(car, &tried.pulley)),
        )
    });
    let lines = ruler_words::window(car, study);
    view! {
        <div class="ruler" aria-hidden="true">
            <div class="ruler-on-car">{on_car}</div>
            <div class="ruler-body">{possible} {sure} {ticks}</div>
            <div class="ruler-try">{tried}</div>
        </div>
        {lines.into_iter().map(|line| view! { <p>{line}</p> }).collect_view()}
    }
    .into_any()
}

/// The sizes on hand, or those of the common ones that are near the window, each with its name.
async fn best_first(answer: Arc<Answer>, pauses: Pauses) -> (Arc<Answer>, Vec<(String, Ranked)>) {
    let (car, Ok(study)) = (&answer.car, &answer.study) else {
        return (answer, Vec::new());
    };
    let mut sizes = sizes_to_walk(car);
    if car.drive.on_hand.is_empty() {
        let middle = study.window.middle_mm();
        let off = |pulley: &Pulley| (pulley.effective(car.drive.belt).value.mm() - middle).abs();
        sort_short(&mut sizes, |a, b| off(a).total_cmp(&off(b)));
        sizes.truncate(NEAREST);
    }
    let ranked = rank(car, &study.tolerances, &study.window, &sizes, &pauses).await;
    let named = |ranked: Ranked| (names::size(car, &ranked.pulley), ranked);
    let ranked = ranked.into_iter().map(named).collect();
    (answer, ranked)
}

/// The sizes with how they stand, worked out once the page has been drawn.
pub fn ranking(desk: Desk, settled: Signal<Option<Arc<Answer>>>) -> AnyView {
    let store = desk.store;
    let ranked = worked_out(move || settled.get(), best_first);
    let row = move |(name, ranked): (String, Ranked)| {
        let pulley = ranked.pulley;
        // The list follows an entry late: a size that is no longer in the car's own is not put on it.
        let take = move |_| {
            let is_there = untrack(|| store.with_car(|car| sizes_to_walk(car).contains(&pulley)));
            if is_there == Some(true) {
                store.change(&[Field::Tried], |car| car.drive.tried = Some(pulley));
            }
        };
        view! {
            <li>
                <span class="rank-size">{name}</span>
                <span class="rank-stands">
                    {words::standing(ranked.standing)}
                    <span class="rank-day">{words::by_day(&ranked)}</span>
                </span>
                <button type="button" class="button small" on:click=take>{words::try_it()}</button>
            </li>
        }
        .into_any()
    };
    let rows = live_option(move || {
        let (_, ranked) = ranked.get()?;
        Some(ranked.into_iter().map(row).collect_view().into_any())
    });
    let list = view! { <ol class="ranking">{rows}</ol> }.into_any();
    view! {
        <h2>{words::on_hand()}</h2>
        <p class="note">{Signal::derive(move || store.with_car(ruler_words::whose_sizes).unwrap_or_default())} " " {words::by_day_label()}</p>
        {late(store, ranked, list)}
    }
    .into_any()
}
