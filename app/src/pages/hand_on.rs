//! All the ways of the open car, and of what was found about it, to somebody else.

use super::received::told;
use super::{Desk, car_file};
use crate::carry::hand::{self, Handed};
use crate::carry::{link, pack};
use crate::parts::chart::picture;
use crate::parts::field::{Fault, fault_view};
use crate::parts::live::{live, live_option};
use crate::shell::route::Route;
use crate::words::{report, share as words};
use laneside_core::car::Car;
use leptos::prelude::*;
use leptos::task::spawn_local;

/// What is told after a tap.
#[derive(Clone, Copy)]
struct Told {
    text: RwSignal<String>,
    fault: RwSignal<Option<Fault>>,
    /// A link that was not copied.
    link: RwSignal<String>,
    /// Whether something is on its way: the phone's sheet takes one thing at a time.
    is_busy: RwSignal<bool>,
}

impl Told {
    fn start() -> Self {
        Self {
            text: RwSignal::new(String::new()),
            fault: RwSignal::new(None),
            link: RwSignal::new(String::new()),
            is_busy: RwSignal::new(false),
        }
    }

    /// Begins to hand something on; `false` while what was handed before is on its way.
    fn begins(self) -> bool {
        !self
            .is_busy
            .try_update(|is_busy| std::mem::replace(is_busy, true))
            .unwrap_or(true)
    }

    fn handed(self, done: &str, more: &str) {
        let text = format!("{done} {more}");
        let _ = self.text.try_set(text.trim_end().to_owned());
        let _ = self.fault.try_set(None);
        let _ = self.is_busy.try_set(false);
    }

    fn fault(self, fault: Fault) {
        let _ = self.text.try_set(String::new());
        let _ = self.fault.try_set(Some(fault));
        let _ = self.is_busy.try_set(false);
    }

    fn view(self) -> AnyView {
        let by_hand = live_option(move || {
            let link = self.link.get();
            (!link.is_empty()).then(|| {
                view! {
                    <label class="by-hand">
                        {words::link_label()}
                        <textarea rows="4" readonly=true prop:value=link></textarea>
                    </label>
                }
                .into_any()
            })
        });
        view! {
            {told(self.text.into())}
            {fault_view("hand-on-fault".to_owned(), self.fault.into())}
            {by_hand}
        }
        .into_any()
    }
}

/// The page's body.
pub fn page(desk: Desk) -> AnyView {
    // Made anew for every other car, and for every change of it: what was told, and a link to be copied, is of the one before.
    let car = Memo::new(move |_| desk.store.own_car());
    live(move || {
        // Read: a memo that is only tracked is never worked out, and so never tells.
        car.with(|_| ());
        whole(desk)
    })
}

fn whole(desk: Desk) -> AnyView {
    let store = desk.store;
    let told = Told::start();
    let button = |label: &'static str, tap: Callback<()>| {
        view! { <button type="button" class="button" on:click=move |_| tap.run(())>{label}</button> }
            .into_any()
    };
    let go = |label: &'static str, route: Route| {
        view! { <a class="button" href=route.href()>{label}</a> }.into_any()
    };
    let has_study = move || store.answer().is_some_and(|answer| answer.study.is_ok());
    let shown = live_option(move || {
        has_study().then(|| {
            view! {
                <h2>{words::found()}</h2>
                <p class="actions">
                    {go(words::card(), Route::Card)}
                    {go(words::report(), Route::Report)}
                    {button(words::chart(), Callback::new(move |()| chart(desk, told)))}
                </p>
            }
            .into_any()
        })
    });
    let passes = move || desk.logs.kept.all.with(|all| !all.is_empty());
    let car = live_option(move || {
        store.with_car(|_| ())?;
        let file = hand::shares_files().then(|| {
            button(
                words::send_file(),
                Callback::new(move |()| send_file(desk, told)),
            )
        });
        let view = view! {
            <h2>{words::car()}</h2>
            <p>{words::note()}</p>
            <p class="actions">
                {file}
                {button(words::send_link(), Callback::new(move |()| send_link(desk, told)))}
                {go(words::show(), Route::Codes)}
            </p>
            {live_option(move || {
                passes().then(|| view! { <p class="note">{words::without_passes()}</p> }.into_any())
            })}
        };
        Some(view.into_any())
    });
    view! {
        {told.view()}
        {shown}
        {car}
        <p class="apart">{go(words::all_cars(), Route::Cars)}</p>
    }
    .into_any()
}

/// The open car's name as a file's.
fn file_name(car: &Car, end: &str) -> String {
    super::cars::file_name(&car.name, end)
}

fn send_file(desk: Desk, told: Told) {
    let Some(written) = car_file::open_car(desk) else {
        return;
    };
    if !told.begins() {
        return;
    }
    spawn_local(async move {
        match written.await {
            Ok((file, more)) => {
                let handed = match file {
                    Some(file) => hand::hand_file(&file).await,
                    None => Handed::Failed,
                };
                told.handed(words::saved(handed), &more);
            }
            Err(fault) => told.fault(fault),
        }
    });
}

fn send_link(desk: Desk, told: Told) {
    let Some(car) = untrack(|| desk.store.own_car()) else {
        return;
    };
    if !told.begins() {
        return;
    }
    let has_passes = desk.logs.kept.all.with_untracked(|all| !all.is_empty());
    spawn_local(async move {
        let link = match pack(&car).await {
            Ok(bytes) => link::of(&bytes).ok_or_else(words::link_too_long),
            Err(fault) => Err(fault),
        };
        match link {
            Ok(link) => {
                let handed = hand::hand_link(&car.name, &link).await;
                let by_hand = if handed == Handed::Failed {
                    link
                } else {
                    String::new()
                };
                let _ = told.link.try_set(by_hand);
                let more = if has_passes {
                    words::without_passes()
                } else {
                    ""
                };
                told.handed(words::handed(handed), more);
            }
            Err(fault) => told.fault(fault),
        }
    });
}

/// The chart of the page Pulleys as a picture.
fn chart(desk: Desk, told: Told) {
    let Some(answer) = untrack(|| desk.store.answer()) else {
        return;
    };
    let Ok(study) = &answer.study else {
        return;
    };
    let spec = super::pulleys::plot(&answer.car, study, None);
    let title = report::chart_title(&answer.car, &crate::browser::today());
    if !told.begins() {
        return;
    }
    let Some(canvas) = picture::picture(&spec, &title, picture::PRINT_WIDTH) else {
        told.handed(words::saved(Handed::Failed), "");
        return;
    };
    let name = file_name(&answer.car, ".png");
    spawn_local(async move {
        let handed = match hand::picture(&canvas, &name).await {
            Some(file) => hand::hand_file(&file).await,
            None => Handed::Failed,
        };
        told.handed(words::saved(handed), "");
    });
}
