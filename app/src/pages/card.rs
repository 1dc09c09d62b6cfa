//! The verdict on one screen, for a friend or a seller: drawn once, shown, printed and shared as a picture alike.

use super::Desk;
use super::received::told;
use crate::browser;
use crate::carry::hand::{self, Handed};
use crate::carry::{link, pack};
use crate::parts::drawn::{Drawn, Ink, drawn_view, rastered};
use crate::parts::field::fault_view;
use crate::parts::live::{live, live_option};
use crate::shell::route::Route;
use crate::store::Answer;
use crate::words::{names, pulleys, report as words, share, verdicts};
use laneside_core::car::Car;
use laneside_core::carry::code::Code;
use laneside_core::gates::Judged;
use laneside_core::study::Study;
use leptos::prelude::*;
use leptos::task::spawn_local;
use std::sync::Arc;

/// Pixels of the shared picture for each of the drawing.
const DENSITY: f64 = 3.0;

/// The page's body.
pub fn page(desk: Desk) -> AnyView {
    let store = desk.store;
    let code = RwSignal::new(None::<Arc<Code>>);
    let text = RwSignal::new(String::new());
    let fault = RwSignal::new(None);
    let generation = StoredValue::new(0_u32);
    Effect::new(move || {
        generation.update_value(|generation| *generation += 1);
        code.set(None);
        fault.set(None);
        let Some(car) = store.own_car() else {
            return;
        };
        let mine = generation.get_value();
        spawn_local(async move {
            let packed = pack(&for_verdict(car)).await;
            // Another car's would be on this one's card.
            if generation.try_get_value() != Some(mine) {
                return;
            }
            match packed {
                Ok(bytes) => {
                    let found = link::of(&bytes).and_then(|link| Code::of_link(&link));
                    code.set(found.map(Arc::new));
                }
                Err(found) => fault.set(Some(found)),
            }
        });
    });
    browser::mark("data-bare", true);
    on_cleanup(|| browser::mark("data-bare", false));
    let drawn = Memo::new(move |_| {
        let answer = store.answer()?;
        let study = answer.study.as_ref().ok()?;
        Some(draw(&answer, study, code.get().as_deref()))
    });
    let share = move |_| {
        let (Some(drawn), Some(name)) = (
            drawn.get_untracked(),
            untrack(|| store.with_car(|car| super::cars::file_name(&car.name, words::CARD_END))),
        ) else {
            return;
        };
        spawn_local(async move {
            let file = match rastered(&drawn, DENSITY).await {
                Some(canvas) => hand::picture(&canvas, &name).await,
                None => None,
            };
            let handed = match file {
                Some(file) => hand::hand_file(&file).await,
                None => Handed::Failed,
            };
            let _ = text.try_set(share::saved(handed).to_owned());
        });
    };
    let print = move |_| {
        let _ = window().print();
    };
    view! {
        <div class="card-page">
            {live(move || match drawn.get() {
                Some(drawn) => drawn_view(&drawn),
                None => view! { <p>{words::no_verdict()}</p> }.into_any(),
            })}
            <div class="screen-only">
                <p class="card-actions">
                    <a class="button" href=Route::HandOn.href()>{words::back()}</a>
                    <button type="button" class="button" on:click=share>{words::share_picture()}</button>
                    <button type="button" class="button" on:click=print>{words::print()}</button>
                </p>
                {fault_view("card-fault".to_owned(), fault.into())}
                {live_option(move || (!text.get().is_empty()).then(|| told(text.into())))}
            </div>
        </div>
    }
    .into_any()
}

/// What of a car its verdict rests on: the rest would make the link too long for one code.
fn for_verdict(car: Car) -> Car {
    Car {
        belt_drive: Default::default(),
        course: Default::default(),
        day: Default::default(),
        swap: None,
        history: Vec::new(),
        ..car
    }
}

fn draw(answer: &Answer, study: &Study, code: Option<&Code>) -> Drawn {
    let car = &answer.car;
    let mut card = Drawn::new(&car.name);
    card.line(&words::engine(car, study), 15.0, Ink::Quiet);
    let mut side = |label: &str, judged: &Judged, instruction: Option<String>| {
        let verdict = verdicts::judged(car, study, judged);
        card.gap(10.0);
        card.line(label, 16.0, Ink::Quiet);
        card.plate(&verdict.word, verdict.status, 28.0);
        card.line(&verdict.figure, 22.0, Ink::Strong);
        let line = format!("{}{}", verdict.line, instruction.unwrap_or_default());
        card.line(&line, 15.0, Ink::Plain);
    };
    side(&pulleys::on_car(&names::fitted(car)), &study.on_car, None);
    if let Some(tried) = &study.tried {
        side(
            &pulleys::to_try(&names::tried(car, &tried.pulley)),
            &tried.judged,
            verdicts::instruction(car, study),
        );
    }
    card.gap(8.0);
    card.line(&words::limit(study), 15.0, Ink::Plain);
    if code.is_some() {
        card.line(words::code_note(), 14.0, Ink::Quiet);
    }
    if let Some(code) = code {
        card.code(code, 250.0);
    }
    card.line(&words::signed(&browser::today()), 14.0, Ink::Quiet);
    card.line(words::computed(), 14.0, Ink::Quiet);
    card
}
