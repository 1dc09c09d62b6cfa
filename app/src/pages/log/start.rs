//! From nothing to a log that is read: the file, the progress, what is asked, what went wrong.

use crate::log::Asked;
use crate::pages::{Desk, welcome};
use crate::parts::field::{Fault, Field, fault_view};
use crate::parts::live::{live_option, live_text};
use crate::parts::pad::Keys;
use crate::words::log as words;
use leptos::prelude::*;
use web_sys::{Event, HtmlInputElement};

/// Rows a second that a logger may write.
const RATES: std::ops::RangeInclusive<f64> = 0.1..=100_000.0;

/// What the page answers and needs, and the one button.
pub fn empty(desk: Desk) -> AnyView {
    view! {
        <div class="empty">
            <p class="answers">{words::answers()}</p>
            <p>{words::needs()}</p>
            {choose(desk, words::choose())}
        </div>
        {by_hand(desk)}
    }
    .into_any()
}

/// The way for one with no logger.
fn by_hand(desk: Desk) -> AnyView {
    let (title, line) = words::by_hand();
    view! {
        <button type="button" class="door door-button" on:click=move |_| desk.logs.by_hand.set(true)>
            <span class="door-title">{title}</span>
            <span class="door-line">{line}</span>
        </button>
    }
    .into_any()
}

/// The way to the next log, once one is read.
pub fn another(desk: Desk) -> AnyView {
    view! {
        <p class="actions">{choose(desk, words::another())}</p>
        {close(desk)}
    }
    .into_any()
}

fn close(desk: Desk) -> AnyView {
    view! {
        <p class="apart">
            <button type="button" class="plain" on:click=move |_| desk.logs.close()>
                {words::close()}
            </button>
        </p>
    }
    .into_any()
}

/// The button that lets a file be chosen.
pub fn choose(desk: Desk, label: &'static str) -> AnyView {
    let on_change = move |ev: Event| {
        let input: HtmlInputElement = event_target(&ev);
        let Some(file) = input.files().and_then(|files| files.get(0)) else {
            return;
        };
        // So that the same file, exported anew, can be chosen again.
        input.set_value("");
        if !desk.store.has_any() {
            // What is found is kept with a car, be it one of which nothing is known yet.
            welcome::add_blank(desk);
        }
        desk.logs.read(&file);
    };
    view! {
        <label class="button large file">
            {label}
            // No list of endings: phones then grey out what loggers call their text files.
            <input id="log-file" type="file" on:change=on_change />
        </label>
    }
    .into_any()
}

/// How far the reading is, and the way out of it.
pub fn reading(desk: Desk) -> AnyView {
    let logs = desk.logs;
    let percent = Signal::derive(move || words::percent(logs.part.get()));
    view! {
        <section class="log-reading" aria-label=words::reading()>
            <p>
                {live_text(move || {
                    let (name, size) = logs.file.get();
                    words::progress(&name, size, logs.part.get())
                })}
            </p>
            <div
                class="log-bar"
                role="progressbar"
                aria-label=words::reading()
                aria-valuemin="0"
                aria-valuemax="100"
                aria-valuenow=percent
            >
                <div style:width=move || format!("{}%", percent.get())></div>
            </div>
            <button type="button" class="button" on:click=move |_| logs.close()>
                {words::cancel()}
            </button>
        </section>
    }
    .into_any()
}

/// One question about the file, each answer a tap.
pub fn question(desk: Desk, asked: Asked) -> AnyView {
    let logs = desk.logs;
    let answers = if asked.options.is_empty() {
        rate(desk)
    } else {
        asked
            .options
            .into_iter()
            .enumerate()
            .map(|(place, option)| {
                view! {
                    <button
                        type="button"
                        class="door door-button"
                        on:click=move |_| logs.answer(place.to_string())
                    >
                        <span class="door-line">{option}</span>
                    </button>
                }
            })
            .collect_view()
            .into_any()
    };
    let example = (!asked.example.is_empty())
        .then(|| view! { <p class="log-line">{asked.example}</p> }.into_any());
    view! {
        <section class="log-question">
            <p class="quiet">{words::question()}</p>
            <h2>{asked.text}</h2>
            {example}
            {answers}
            {cancel(desk)}
        </section>
    }
    .into_any()
}

/// The rate, where the file has no time.
fn rate(desk: Desk) -> AnyView {
    let text = RwSignal::new(String::new());
    let fault = RwSignal::new(None);
    let go_on = move || {
        let typed = text.get_untracked();
        match typed.trim().replace(',', ".").parse::<f64>() {
            Ok(rate) if RATES.contains(&rate) => desk.logs.answer(rate.to_string()),
            _ => fault.set(Some(words::rate_fault(&typed))),
        }
    };
    let on_text = Callback::new(move |typed| {
        fault.set(None);
        text.set(typed);
    });
    let field = Field::new("log-rate", words::rate(), text, on_text)
        .keys(Keys::Decimal)
        .unit(words::RATE_UNIT.to_owned())
        .fault(fault.into())
        .on_next(Callback::new(move |()| go_on()))
        .view(desk.pad);
    view! {
        {field}
        <p class="actions">
            <button type="button" class="button" on:click=move |_| go_on()>
                {words::go_on()}
            </button>
        </p>
    }
    .into_any()
}

/// The way back to no log.
pub fn cancel(desk: Desk) -> AnyView {
    view! {
        <p class="apart">
            <button type="button" class="plain" on:click=move |_| desk.logs.close()>
                {words::cancel()}
            </button>
        </p>
    }
    .into_any()
}

/// Why the file is no log.
pub fn failed(desk: Desk, fault: Fault) -> AnyView {
    let name = move || Some(view! { <p>{desk.logs.file.get().0}</p> }.into_any());
    view! {
        <div class="empty">
            <p class="answers">{words::no_log()}</p>
            {live_option(name)}
            {fault_view("log-fault".to_owned(), Signal::stored(Some(fault)))}
            {choose(desk, words::another())}
        </div>
        {cancel(desk)}
    }
    .into_any()
}
