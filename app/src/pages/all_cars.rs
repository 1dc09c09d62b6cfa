//! All saved cars with their kept passes as one file.

use super::Desk;
use super::car_file::{self, JSON};
use super::received::told;
use crate::carry::hand::{self, Handed};
use crate::parts::live::live_option;
use crate::words::{faults, share as words};
use laneside_core::car::several;
use leptos::prelude::*;
use leptos::task::spawn_local;

/// The button, and under it what was done; only where there are several cars.
pub fn save_all(desk: Desk) -> AnyView {
    let text = RwSignal::new(String::new());
    let several = Memo::new(move |_| desk.store.listed().len() > 1);
    let tap = move |_| {
        spawn_local(async move {
            let said = write(desk).await;
            let _ = text.try_set(said);
        });
    };
    live_option(move || {
        several.get().then(|| {
            view! {
                <p class="actions">
                    <button type="button" class="button" on:click=tap>{words::all()}</button>
                </p>
                {told(text.into())}
            }
            .into_any()
        })
    })
}

async fn write(desk: Desk) -> String {
    let mut all = Vec::new();
    let mut is_whole = true;
    for (car, owner) in desk.store.all_cars() {
        let (passes, is_all) = match owner {
            Some(owner) => desk.logs.kept.passes(owner).await,
            None => (Vec::new(), true),
        };
        is_whole &= is_all;
        all.push((car, passes));
    }
    let pairs: Vec<_> = all
        .iter()
        .map(|(car, passes)| (car, passes.iter().rev()))
        .collect();
    let (text, left_out) = match several::write(&pairs) {
        Ok(written) => written,
        Err(error) => {
            let fault = faults::file(&error);
            return format!("{} {}", fault.found, fault.needed);
        }
    };
    let file = hand::file(words::ALL_NAME, JSON, text.as_bytes());
    let handed = file.map_or(Handed::Failed, |file| hand::save(&file));
    let more = car_file::not_in_it(left_out, is_whole);
    format!("{} {more}", words::saved(handed))
        .trim_end()
        .to_owned()
}
