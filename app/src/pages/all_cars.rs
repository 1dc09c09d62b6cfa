//! All saved cars with their kept passes as one file.

use super::Desk;
use super::received::told;
use crate::carry::hand::{self, Handed};
use crate::parts::live::live_option;
use crate::store::shelf;
use crate::words::{faults, share as words};
use laneside_core::car::several;
use laneside_core::log::kept::KeptPass;
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
    let mut cars = Vec::new();
    let mut is_whole = true;
    for (car, owner) in desk.store.all_cars() {
        let texts = match owner {
            Some(owner) => shelf::texts(owner).await,
            None => Ok(Vec::new()),
        };
        is_whole &= texts.is_ok();
        let texts = texts.unwrap_or_default();
        let count = texts.len();
        let passes = texts
            .iter()
            .rev()
            .filter_map(|(_, text)| KeptPass::from_text(text));
        let passes: Vec<KeptPass> = passes.collect();
        is_whole &= passes.len() == count;
        cars.push((car, passes));
    }
    let pairs: Vec<_> = cars
        .iter()
        .map(|(car, passes)| (car, passes.iter()))
        .collect();
    let (text, left_out) = match several::write(&pairs) {
        Ok(written) => written,
        Err(error) => {
            let fault = faults::file(&error);
            return format!("{} {}", fault.found, fault.needed);
        }
    };
    let file = hand::file(words::ALL_NAME, "application/json", text.as_bytes());
    let handed = file.map_or(Handed::Failed, |file| hand::save(&file));
    let mut said = words::saved(handed).to_owned();
    if left_out > 0 {
        said = format!("{said} {}", words::left_out(left_out));
    }
    if !is_whole {
        said = format!("{said} {}", words::passes_unread());
    }
    said
}
