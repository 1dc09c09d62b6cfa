//! Four readings by hand: the same diagnosis, with more doubt.

use super::evidence;
use crate::pages::Desk;
use crate::parts::field::Field;
use crate::parts::held::Held;
use crate::parts::live::{all, live};
use crate::parts::pad::Keys;
use crate::parts::verdict::verdict_view;
use crate::words::log::{diagnosis, readings as words};
use laneside_core::log::Known;
use laneside_core::log::readings::{Reading, Readings, diagnose};
use laneside_core::quantity::{InElectricPotential, InRotationalSpeed, parse};
use leptos::prelude::*;

/// The fields, and what they say.
pub fn readings(desk: Desk) -> AnyView {
    let logs = desk.logs;
    let known = Held::new(move || desk.store.with_car(Known::of));
    let found = Held::new(move || {
        let readings = logs.readings.with(read);
        let given = [
            readings.idle,
            readings.launch,
            readings.stripe,
            readings.shutdown,
        ];
        let count = given
            .iter()
            .filter(|reading| reading.volts.is_some())
            .count();
        (count >= words::LEAST)
            .then(|| diagnose(&readings, &known.get().unwrap_or_else(Known::nothing)))
    });
    let told = live(move || match found.get() {
        Some(found) => all([
            verdict_view(Signal::stored(diagnosis::verdict(&found, None))),
            evidence::told(&found),
        ]),
        None => view! { <p class="answers">{words::needs()}</p> }.into_any(),
    });
    let entries = |is_rpm| {
        let each = (0..words::moments().len()).map(|place| entry(desk, place, is_rpm));
        all(each.collect::<Vec<_>>())
    };
    view! {
        <p class="note">{words::note()}</p>
        {entries(false)}
        <details class="rare">
            <summary>{words::speeds()}</summary>
            {entries(true)}
        </details>
        {told}
        <p class="apart">
            <button type="button" class="plain" on:click=move |_| logs.by_hand.set(false)>
                {words::back()}
            </button>
        </p>
    }
    .into_any()
}

fn entry(desk: Desk, place: usize, is_rpm: bool) -> AnyView {
    let logs = desk.logs;
    let (name, about) = words::moments()[place];
    let which = usize::from(is_rpm);
    let text = Signal::derive(move || logs.readings.with(|all| all[place][which].clone()));
    let on_text = Callback::new(move |typed| logs.readings.update(|all| all[place][which] = typed));
    let fault = Signal::derive(move || {
        let text = text.get();
        let is_wrong = !text.trim().is_empty() && number(&text, is_rpm).is_none();
        is_wrong.then(|| words::fault(&text, is_rpm))
    });
    let field = Field::new(format!("reading-{place}-{which}"), name, text, on_text).fault(fault);
    let field = if is_rpm {
        field.keys(Keys::Rpm).unit(words::RPM.to_owned())
    } else {
        field.note(about.to_owned()).unit(words::VOLTS.to_owned())
    };
    field.view(desk.pad)
}

fn number(text: &str, is_rpm: bool) -> Option<f64> {
    let (value, most) = if is_rpm {
        (parse::speed(text).ok()?.rpm(), words::RPM_MOST)
    } else {
        (parse::voltage(text).ok()?.volts(), words::VOLTS_MOST)
    };
    (0.0..=most).contains(&value).then_some(value)
}

fn read(texts: &[[String; 2]; 4]) -> Readings {
    let [idle, launch, stripe, shutdown] = texts.each_ref().map(|[volts, rpm]| Reading {
        volts: number(volts, false),
        rpm: number(rpm, true),
    });
    Readings {
        idle,
        launch,
        stripe,
        shutdown,
    }
}
