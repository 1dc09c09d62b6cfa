//! Which car? The saved cars, and what can be done with the open one.

use super::all_cars::save_all;
use super::entry::entry_text;
use super::open_file::open_file;
use super::received::told;
use super::{Desk, car_file, keeping, welcome};
use crate::carry::hand::{self, Handed};
use crate::parts::field::fault_view;
use crate::parts::live::{live, live_option};
use crate::shell::route::{Route, go};
use crate::store::{Aside, Listed, Told};
use crate::words::{cars as words, share};
use laneside_core::car::check::LONGEST_NAME;
use laneside_core::car::entry::Field;
use leptos::prelude::*;
use leptos::task::spawn_local;

/// The page's body.
pub fn page(desk: Desk) -> AnyView {
    let store = desk.store;
    let open = Memo::new(move |_| store.open_id());
    let add = move |_| {
        welcome::add_blank(desk);
        desk.pad.pressed();
        go(Route::Board);
    };
    view! {
        {live(move || list(desk, store.listed(), open.get()))}
        <button type="button" class="button large" on:click=add>
            {words::add()}
        </button>
        {open_file(desk)}
        <p class="actions"><a class="button" href=Route::Scan.href()>{share::scan()}</a></p>
        {live_option(move || open.get().map(|id| open_car(desk, id)))}
        {keeping::are_they_safe(desk.store)}
        {save_all(desk)}
        {welcome::demo_cars(desk)}
        {live_option(move || aside(desk, store.aside()))}
    }
    .into_any()
}

fn list(desk: Desk, cars: Vec<Listed>, open: Option<u32>) -> AnyView {
    if cars.is_empty() {
        return view! { <p>{words::none()}</p> }.into_any();
    }
    let rows = cars
        .into_iter()
        .map(|car| {
            let id = car.id;
            let is_open = open == Some(id);
            view! {
                <li>
                    <button
                        type="button"
                        aria-current=is_open.then_some("true")
                        on:click=move |_| desk.store.open_car(id)
                    >
                        <span class="which">
                            <span class="car">{car.name}</span>
                            <span class="quiet">{car.sizes}</span>
                        </span>
                        {is_open.then(|| view! { <span class="tag">{words::open()}</span> })}
                    </button>
                </li>
            }
        })
        .collect_view();
    view! { <ul class="board cars">{rows}</ul> }.into_any()
}

/// What can be done with the open car; to delete it is last and apart.
fn open_car(desk: Desk, id: u32) -> AnyView {
    let store = desk.store;
    let kept = desk.logs.kept;
    let is_copying = StoredValue::new(false);
    let copy = move |_| {
        if is_copying.get_value() {
            return;
        }
        is_copying.set_value(true);
        let name = store.with_car(|car| words::copy_of(&car.name));
        // A name that would be too long stays what it is.
        let name = name
            .filter(|name| name.chars().count() <= LONGEST_NAME)
            .or_else(|| store.with_car(|car| car.name.clone()))
            .unwrap_or_default();
        let passes = kept.of_shown();
        spawn_local(async move {
            let (passes, is_whole) = passes.await;
            let _ = is_copying.try_set_value(false);
            // It may have been deleted meanwhile.
            if store.copy_car(id, name.clone()) {
                kept.keep(passes);
                if !is_whole {
                    store.tell(Told::Unread(name));
                }
            }
        });
    };
    let said = RwSignal::new(String::new());
    let fault = RwSignal::new(None);
    let save = move |_| {
        let Some(written) = car_file::open_car(desk) else {
            return;
        };
        spawn_local(async move {
            let (told, found) = match written.await {
                Ok((file, more)) => {
                    let handed = file.map_or(Handed::Failed, |file| hand::save(&file));
                    let told = format!("{} {more}", share::saved(handed));
                    (told.trim_end().to_owned(), None)
                }
                Err(found) => (String::new(), Some(found)),
            };
            let _ = said.try_set(told);
            let _ = fault.try_set(found);
        });
    };
    let invented = live_option(move || {
        let is_invented = store.with_car(|car| car.invented) == Some(true);
        is_invented
            .then(|| view! { <p class="note">{crate::words::car::invented()}</p> }.into_any())
    });
    view! {
        <h2>{words::this()}</h2>
        {invented}
        {entry_text(desk, Field::Name).view()}
        <p class="actions">
            <button type="button" class="button" on:click=copy>
                {words::copy()}
            </button>
            <button type="button" class="button" on:click=save>
                {words::save()}
            </button>
            <a class="button" href=Route::HandOn.href()>{share::title()}</a>
        </p>
        {told(said.into())}
        {fault_view("save-fault".to_owned(), fault.into())}
        <p class="note">{words::save_note()}</p>
        <p class="apart">
            <button type="button" class="plain" on:click=move |_| store.delete_car(id)>
                {words::delete()}
            </button>
        </p>
    }
    .into_any()
}

/// Profiles that could not be read: told, offered as they are, and deleted only on a second tap.
pub fn aside(desk: Desk, profiles: Vec<Aside>) -> Option<AnyView> {
    if profiles.is_empty() {
        return None;
    }
    let told = words::aside(profiles.len());
    let rows = profiles
        .into_iter()
        .map(|profile| {
            let key = profile.key.clone();
            let link = data_link(&profile.text);
            view! {
                <li>
                    <a class="button" href=link download=format!("{}.txt", profile.key)>
                        {words::aside_save()}
                    </a>
                    <details class="rare">
                        <summary>{words::aside_delete()}</summary>
                        <button
                            type="button"
                            class="button"
                            on:click=move |_| desk.store.drop_aside(&key)
                        >
                            {words::aside_sure()}
                        </button>
                    </details>
                </li>
            }
        })
        .collect_view();
    let view = view! {
        <h2>{words::aside_label()}</h2>
        <p>{told}</p>
        <ul class="aside">{rows}</ul>
    };
    Some(view.into_any())
}

/// What a link starts with whose download is the text itself: no server, and nothing to clean up after.
const DATA: &str = "data:application/json;charset=utf-8,";

fn data_link(text: &str) -> String {
    format!("{DATA}{}", js_sys::encode_uri_component(text))
}

/// A file name that every system takes.
pub fn file_name(name: &str, end: &str) -> String {
    let safe: String = name
        .trim()
        .chars()
        .map(|c| if c.is_alphanumeric() { c } else { '-' })
        .collect();
    format!("{safe}{end}")
}
