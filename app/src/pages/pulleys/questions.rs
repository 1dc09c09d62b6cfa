//! The questions that settle what is too close to call: one tap or one entry each.

use crate::pages::Desk;
use crate::pages::entry::entry_field;
use crate::parts::choice::Choice;
use crate::parts::live::{live_option, places};
use crate::store::{ShownCar, Store};
use crate::words::{fields, measures, pulleys as words};
use laneside_core::alternator::Fan;
use laneside_core::car::entry::Field;
use laneside_core::drive::Measure;
use laneside_core::gates::{Settle, Verdict};
use laneside_core::resolve::InputId;
use leptos::prelude::*;

/// How a question is put.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Ask {
    /// Inside or outside: one tap.
    Fan,
    /// How a pulley was measured: one tap.
    Measured(Field),
    /// One entry.
    Entry(Field),
}

/// The question that settles it, where it can be put on this page.
fn ask(settle: Settle) -> Option<Ask> {
    Some(match settle {
        Settle::Fan => Ask::Fan,
        Settle::MakersLimit => Ask::Entry(Field::Continuous),
        Settle::Input(id) => match id {
            InputId::Crank => Ask::Measured(Field::Crank),
            InputId::FittedPulley => Ask::Measured(Field::Fitted),
            InputId::TriedPulley => Ask::Measured(Field::Tried),
            InputId::Overshoot => Ask::Entry(Field::Overshoot),
            InputId::Idle => Ask::Entry(Field::Idle),
            InputId::InGearDrop => Ask::Entry(Field::IdleInGear),
            InputId::SetPoint => Ask::Entry(Field::SetPoint),
            InputId::UnderHood => Ask::Entry(Field::UnderHood),
            _ => return None,
        },
    })
}

/// Whether a question is put on this page, so that no way to another one is needed.
pub fn is_asked_here(settle: Settle) -> bool {
    ask(settle).is_some()
}

/// The open questions of both pulleys, each once.
///
/// A question stays until another car is opened: an answer half typed would otherwise take away
/// the entry that it is typed into as soon as it turns the verdict.
pub fn questions(desk: Desk) -> AnyView {
    let store = desk.store;
    let asked = Memo::new(move |before: Option<&(ShownCar, Vec<Ask>)>| {
        let car = store.shown_car();
        let mut asks = before
            .filter(|(of, _)| *of == car)
            .map(|(_, asks)| asks.clone())
            .unwrap_or_default();
        for ask in open_now(store) {
            if !asks.contains(&ask) {
                asks.push(ask);
            }
        }
        (car, asks)
    });
    let some = Memo::new(move |_| asked.with(|(_, asks)| !asks.is_empty()));
    let car = Memo::new(move |_| asked.with(|(car, _)| *car));
    live_option(move || {
        // Read, since a memo that is never read does not tell of a change.
        car.with(|_| ());
        some.get().then(|| {
            let count = Signal::derive(move || (0..asked.with(|(_, asks)| asks.len())).collect());
            let view = Callback::new(move |place: usize| {
                let ask = asked.with_untracked(|(_, asks)| asks.get(place).copied());
                ask.map_or_else(|| ().into_any(), |ask| question(desk, ask))
            });
            view! {
                <section class="questions">
                    <h2>{words::settles()}</h2>
                    {places(count, view)}
                </section>
            }
            .into_any()
        })
    })
}

/// The questions that the verdicts leave open now.
fn open_now(store: Store) -> Vec<Ask> {
    let Some(answer) = store.answer() else {
        return Vec::new();
    };
    let Ok(study) = &answer.study else {
        return Vec::new();
    };
    let judged = [
        Some(&study.on_car),
        study.tried.as_ref().map(|tried| &tried.judged),
    ];
    judged
        .into_iter()
        .flatten()
        .filter_map(|judged| match judged.verdict {
            Verdict::TooClose { settle, .. } => ask(settle),
            _ => None,
        })
        .collect()
}

fn question(desk: Desk, ask: Ask) -> AnyView {
    let store = desk.store;
    match ask {
        Ask::Entry(field) => entry_field(desk, field).view(desk.pad),
        Ask::Fan => {
            const FANS: [Fan; 3] = [Fan::Inside, Fan::Outside, Fan::HeavyDuty];
            let picked = Signal::derive(move || {
                let fan = store.with_car(|car| car.alternator.fan).flatten();
                FANS.iter().position(|one| Some(*one) == fan)
            });
            let on_pick = Callback::new(move |at: usize| {
                store.change(&[], |car| car.alternator.fan = FANS.get(at).copied());
            });
            let choice = Choice::new(
                "ask-fan",
                words::fan_question(),
                words::fans(),
                picked,
                on_pick,
            );
            choice.view()
        }
        Ask::Measured(field) => {
            let belt = untrack(|| store.with_car(|car| car.drive.belt));
            let ways = Measure::for_belt(belt.unwrap_or_default());
            let picked = Signal::derive(move || {
                let measure = store.measure(field);
                ways.iter().position(|one| *one == measure)
            });
            let on_pick = Callback::new(move |at: usize| {
                if field == Field::Tried {
                    // A suggested size becomes the person's own by saying how it was measured.
                    store.take_suggestion();
                }
                if let Some(measure) = ways.get(at) {
                    store.set_measure(field, *measure);
                }
            });
            let legend = words::measured_question(fields::label(field));
            let options = ways.iter().map(|way| measures::label(*way));
            let name = format!("ask-{}-measured", field.key());
            Choice::new(name, legend, options, picked, on_pick).view()
        }
    }
}
