//! Both pulleys, editable in place, each with its verdict.

use super::questions::{is_asked_here, questions};
use crate::pages::Desk;
use crate::pages::entry::entry_field;
use crate::parts::field::Tag;
use crate::parts::live::live_option;
use crate::parts::stepper::Stepper;
use crate::parts::verdict::{Status, Verdict, verdict_view};
use crate::store::Store;
use crate::words::{faults, names, pulleys as words, verdicts};
use laneside_core::car::Car;
use laneside_core::car::entry::Field;
use laneside_core::choose::sizes_to_walk;
use laneside_core::drive::Pulley;
use laneside_core::gates::{Judged, Verdict as Judgment};
use laneside_core::quantity::{InLength, System, show};
use laneside_core::study::Study;
use leptos::prelude::*;

/// What is typed about the pulley to try.
const TRIED: [Field; 2] = [Field::Tried, Field::TriedRating];

/// Which of the two pulleys.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Which {
    OnCar,
    ToTry,
}

/// Both boards, under the verdict that no size does both where that is so.
pub fn boards(desk: Desk) -> AnyView {
    let store = desk.store;
    let none_fits = Memo::new(move |_| {
        let answer = store.answer()?;
        let study = answer.study.as_ref().ok()?;
        study
            .no_size_does_both()
            .then(|| verdicts::no_size(&answer.car, study))
    });
    view! {
        {live_option(move || none_fits.get().map(|verdict| verdict_view(Signal::stored(verdict))))}
        <div class="pair">{board(desk, Which::OnCar)} {board(desk, Which::ToTry)}</div>
        {questions(desk)}
    }
    .into_any()
}

impl Which {
    fn field(self) -> Field {
        match self {
            Self::OnCar => Field::Fitted,
            Self::ToTry => Field::Tried,
        }
    }

    /// The pulley that is judged here.
    fn pulley(self, car: &Car, study: &Study) -> Option<Pulley> {
        match self {
            Self::OnCar => car.drive.fitted,
            Self::ToTry => study.tried.as_ref().map(|tried| tried.pulley),
        }
    }

    fn judged(self, study: &Study) -> Option<&Judged> {
        match self {
            Self::OnCar => Some(&study.on_car),
            Self::ToTry => study.tried.as_ref().map(|tried| &tried.judged),
        }
    }

    fn put(self, store: Store, pulley: Pulley) {
        match self {
            Self::OnCar => store.step_fitted(pulley),
            Self::ToTry => store.change(&TRIED, |car| car.drive.tried = Some(pulley)),
        }
    }
}

fn board(desk: Desk, which: Which) -> AnyView {
    let verdict = Memo::new(move |_| words_of(desk, which));
    view! {
        <section class="pulley">
            {stepper(desk, which)}
            {verdict_view(verdict.into())}
            {turns_on(desk, which)}
            {(which == Which::ToTry).then(|| marked(desk))}
        </section>
    }
    .into_any()
}

/// The engine speed to rev to once, where some phase runs below it.
fn turns_on(desk: Desk, which: Which) -> AnyView {
    let line = Memo::new(move |_| {
        let answer = desk.store.answer()?;
        let judged = which.judged(answer.study.as_ref().ok()?)?;
        let mut running = judged.phases.iter().flat_map(|phase| &phase.running);
        let waits = running.find(|running| running.unexcited_net_a.is_some())?;
        Some(words::turns_on(waits.turn_on_rpm))
    });
    live_option(move || {
        line.get()
            .map(|line| view! { <p class="turns-on">{line}</p> }.into_any())
    })
}

/// What its maker marked on the pulley to try. A suggested one becomes the person's own by it.
fn marked(desk: Desk) -> AnyView {
    let store = desk.store;
    let type_into = Callback::new(move |text: String| {
        if !text.trim().is_empty() {
            store.take_suggestion();
        }
        store.type_into(Field::TriedRating, text);
    });
    view! {
        <details class="rare">
            <summary>{words::marked()}</summary>
            {entry_field(desk, Field::TriedRating).on_text(type_into).view(desk.pad)}
        </details>
    }
    .into_any()
}

fn words_of(desk: Desk, which: Which) -> Verdict {
    let blank = || Verdict {
        status: Status::Blank,
        word: String::new(),
        figure: String::new(),
        line: String::new(),
        action: None,
    };
    let Some(answer) = desk.store.answer() else {
        return blank();
    };
    let Ok(study) = &answer.study else {
        return blank();
    };
    let car = &answer.car;
    let Some(judged) = which.judged(study) else {
        return blank();
    };
    let mut verdict = verdicts::judged(car, study, judged);
    if which == Which::ToTry {
        let instruction = verdicts::instruction(car, study);
        verdict.line.push_str(&instruction.unwrap_or_default());
    }
    if let Judgment::TooClose { settle, .. } = judged.verdict {
        // Asked right below: no way to another page is needed.
        if is_asked_here(settle) {
            verdict.action = None;
        }
    }
    verdict
}

fn stepper(desk: Desk, which: Which) -> AnyView {
    let store = desk.store;
    let field = which.field();
    let stands_in = Memo::new(move |_| {
        let answer = store.answer().filter(|_| which == Which::ToTry)?;
        let tried = answer.study.as_ref().ok()?.tried.as_ref()?;
        Some(show::length(tried.pulley.size, answer.car.units))
    });
    // A suggestion stands in the field until the person types: a cleared one stays clear for typing.
    let text = Signal::derive(move || {
        store.typed(field).unwrap_or_else(|| {
            let entered = store.text(field);
            match stands_in.get() {
                Some(size) if entered.is_empty() => size.to_string(),
                _ => entered,
            }
        })
    });
    let suggested = Memo::new(move |_| match which {
        Which::OnCar => Suggested::No,
        Which::ToTry => suggested(store),
    });
    let sides = Memo::new(move |_| neighbors(desk, which));
    let on_step = Callback::new(move |larger: bool| {
        let (smaller, bigger) = sides.get_untracked();
        if let Some(pulley) = if larger { bigger } else { smaller } {
            which.put(store, pulley);
        }
    });
    let label = match which {
        Which::OnCar => words::on_car_label(),
        Which::ToTry => words::to_try_label(),
    };
    let made = Stepper::new(
        field.key(),
        label,
        text,
        Callback::new(move |text| store.type_into(field, text)),
        on_step,
    )
    .unit(Signal::derive(move || {
        let unit = match store.units() {
            System::Inch => "in",
            System::Metric => "mm",
        };
        unit.to_owned()
    }))
    .assumed(Signal::derive(move || {
        stands_in.get().map(|size| size.number).unwrap_or_default()
    }))
    .ends(Signal::derive(move || {
        let (smaller, larger) = sides.get();
        (smaller.is_none(), larger.is_none())
    }))
    .tag(Signal::derive(move || {
        if suggested.get() == Suggested::ToPutOn {
            Tag::Suggested
        } else {
            Tag::None
        }
    }))
    .note(Signal::derive(move || {
        let crank = store.with_car(names::crank_to_try).flatten();
        let crank = crank.filter(|_| which == Which::ToTry);
        let to_compare = suggested.get() == Suggested::ToCompare;
        let notes = [
            crank.map(|crank| words::on_crank(&crank)),
            to_compare.then(|| words::to_compare().to_owned()),
        ];
        notes.into_iter().flatten().collect::<Vec<_>>().join(" · ")
    }))
    .fault(Signal::derive(move || {
        store
            .error(field)
            .map(|error| faults::entry(&error, &store.text(field), store.units()))
    }));
    let made = match which {
        Which::OnCar => made.on_car(),
        Which::ToTry => made.tried(),
    };
    let again = live_option(move || {
        let chosen = which == Which::ToTry
            && store
                .with_car(|car| car.drive.tried.is_some())
                .unwrap_or(false);
        chosen.then(|| {
            let take = move |_| store.change(&TRIED, |car| car.drive.tried = None);
            view! { <button type="button" class="plain" on:click=take>{words::suggest_again()}</button> }
                .into_any()
        })
    });
    let drop_crank = (which == Which::ToTry).then(|| drop_crank(desk));
    view! { {made.view(desk.pad)} {again} {drop_crank} }.into_any()
}

/// What the pulley to try is suggested for, while the person has chosen none.
#[derive(Clone, Copy, PartialEq)]
enum Suggested {
    No,
    ToPutOn,
    /// The one on the car holds, and this one does not.
    ToCompare,
}

fn suggested(store: Store) -> Suggested {
    let Some(answer) = store.answer() else {
        return Suggested::No;
    };
    let study = answer.study.as_ref().ok();
    let tried = study.and_then(|study| study.tried.as_ref());
    match study.filter(|_| tried.is_some_and(|tried| tried.suggested)) {
        None => Suggested::No,
        Some(study) if study.is_worse() => Suggested::ToCompare,
        Some(_) => Suggested::ToPutOn,
    }
}

/// The button that ends the trial of a crank pulley, while there is one.
pub fn drop_crank(desk: Desk) -> AnyView {
    let store = desk.store;
    let is_tried = Memo::new(move |_| store.with_car(|car| car.drive.tried_crank.is_some()));
    live_option(move || {
        (is_tried.get() == Some(true)).then(|| {
            let drop =
                move |_| store.change(&[Field::TriedCrank], |car| car.drive.tried_crank = None);
            view! { <button type="button" class="plain" on:click=drop>{words::crank_drop()}</button> }
                .into_any()
        })
    })
}

/// The next smaller and the next larger size to step to.
fn neighbors(desk: Desk, which: Which) -> (Option<Pulley>, Option<Pulley>) {
    let Some(answer) = desk.store.answer() else {
        return (None, None);
    };
    let Ok(study) = &answer.study else {
        return (None, None);
    };
    let car = &answer.car;
    let effective = |pulley: &Pulley| pulley.effective(car.drive.belt).value.mm();
    let Some(pulley) = which.pulley(car, study) else {
        return (None, None);
    };
    let now = effective(&pulley);
    // A hair's breadth: the same size read another way is no step.
    const HAIR_MM: f64 = 0.1;
    let mut sizes = sizes_to_walk(car);
    if which == Which::OnCar {
        // The way back leads to the very entry, as it was measured.
        let own = desk.store.own_fitted(pulley);
        sizes.retain(|size| (effective(size) - effective(&own)).abs() > HAIR_MM);
        sizes.push(own);
    }
    let off = |size: &&Pulley| (effective(size) - now).abs();
    let nearest = |larger: bool| {
        let side = |size: &&Pulley| {
            let by = effective(size) - now;
            if larger { by > HAIR_MM } else { by < -HAIR_MM }
        };
        let sizes = sizes.iter().filter(side);
        sizes.min_by(|a, b| off(a).total_cmp(&off(b))).copied()
    };
    (nearest(false), nearest(true))
}
