//! The frame: what stands around every page.

use super::language;
use super::route::{Nav, Place};
use super::settings::{Units, settings};
use super::update::update_offer;
use super::{route, route::Route, theme::Theme, words};
use crate::browser;
use crate::parts::live::{live, live_option};
use crate::parts::pad::{Pad, pad_view};
use crate::words::access;
use leptos::{ev, prelude::*};
use wasm_bindgen::JsCast;
use web_sys::Element;

/// What the frame is filled with.
pub struct Slots {
    /// The name of the car that is open; empty while there is none.
    pub car_name: Signal<String>,
    /// The verdict strip of every page.
    pub verdict: ViewFn,
    /// What lies over the page's end, above the bottom bar: the undo bar.
    pub over: ViewFn,
    /// The theme, which the settings choose.
    pub theme: Theme,
    /// The units of the open car.
    pub units: Units,
    /// The body of a page; the frame brings its heading.
    pub page: Callback<Route, AnyView>,
}

/// The whole app. The pages put their number inputs on `pad`.
pub fn frame(nav: Nav, pad: Pad, slots: Slots) -> AnyView {
    let Slots {
        car_name,
        verdict,
        over,
        theme,
        units,
        page,
    } = slots;
    let settings_open = RwSignal::new(false);
    // A pad left open would go on typing into a page that is gone.
    Effect::new(move || {
        nav.route();
        pad.close();
    });
    // A tap on a link to a field means to type there; one to where the page is already is no way in
    // the history, and still leads there.
    let _ = window_event_listener(ev::click, move |ev| {
        if let Some(href) = field_link(&ev) {
            pad.pressed();
            if href == browser::hash() {
                route::land_on(&href);
            }
        }
    });
    let to_page = |ev: ev::MouseEvent| {
        ev.prevent_default();
        if let Some(heading) = browser::by_id("title") {
            browser::focus(&heading);
        }
    };
    let name = move || {
        Some(car_name.get())
            .filter(|n| !n.is_empty())
            .unwrap_or_else(|| words::cars().into())
    };
    view! {
        <a class="skip" href="#title" on:click=to_page>{words::skip()}</a>
        <header>
            <div class="header-line">
                <a class="car-name" href=Route::Cars.href()><span>{name}</span></a>
                <button type="button" class="plain" on:click=move |_| settings_open.set(true)>
                    {words::settings()}
                </button>
            </div>
            {update_offer()}
            {lost()}
        </header>
        <section class="verdict-slot" aria-label=access::verdict()>{verdict.run()}</section>
        <main>
            {live_option(move || switch(nav.route()))}
            <h1 id="title" tabindex="-1">{Signal::derive(move || words::question(nav.route()).to_owned())}</h1>
            {live(move || page.run(nav.route()))}
        </main>
        <div class="foot">
            {over.run()}
            <nav class="places" aria-label=words::places()>
                {Place::ALL.map(|place| place_link(nav, place)).into_iter().collect::<Vec<_>>()}
            </nav>
        </div>
        {pad_view(pad)}
        {settings(settings_open, theme, pad, units)}
    }
    .into_any()
}

/// That the language wanted could not be had. It goes with the next start that has signal.
fn lost() -> Option<AnyView> {
    let name = language::lost()?;
    Some(view! { <p class="note" role="status">{words::lost_language(name)}</p> }.into_any())
}

/// The link to a field of a page that was tapped.
fn field_link(ev: &ev::MouseEvent) -> Option<String> {
    let tapped = ev.target()?.dyn_into::<Element>().ok()?;
    let link = tapped.closest("a[href^='#/']").ok()??;
    let href = link.get_attribute("href")?;
    route::names_field(&href).then_some(href)
}

/// A place of the bottom bar: leads to the page of it that was open last.
fn place_link(nav: Nav, place: Place) -> AnyView {
    let current = move || {
        let route = nav.route();
        // `page` on the page itself, `true` on another page of the place, which this link still leads to.
        (route.place() == place).then_some(if nav.last_of(place) == route {
            "page"
        } else {
            "true"
        })
    };
    view! {
        <a href=move || nav.last_of(place).href() aria-current=current>
            {words::place(place)}
        </a>
    }
    .into_any()
}

/// The switch between the two pages of a place; nothing where a place has one page.
fn switch(route: Route) -> Option<AnyView> {
    let pages = route.place().pages();
    if pages.len() < 2 {
        return None;
    }
    let links = pages
        .iter()
        .map(|&page| {
            let current = (page == route).then_some("page");
            view! { <a href=page.href() aria-current=current>{words::title(page)}</a> }
        })
        .collect::<Vec<_>>();
    Some(view! { <nav class="switch" aria-label=words::pages()>{links}</nav> }.into_any())
}
