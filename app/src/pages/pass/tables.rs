//! The moments that matter, time over the limits, and what the voltage costs.

use super::Found;
use crate::pages::Desk;
use crate::pages::car::group::fields;
use crate::parts::live::{all, live_option};
use crate::parts::table::table;
use crate::words::pass as words;
use laneside_core::car::entry::Field;
use laneside_core::race::PassStudy;
use leptos::prelude::*;

/// Both pulleys at the moments that matter.
pub fn moments(found: Found) -> AnyView {
    let rows = Signal::derive(move || {
        let Some(Ok(passes)) = found.get() else {
            return Vec::new();
        };
        let Some((_, first)) = passes.each.first() else {
            return Vec::new();
        };
        first
            .moments_s()
            .into_iter()
            .map(|(kind, at_s)| {
                let mut row = vec![
                    words::moment(kind),
                    words::seconds(at_s),
                    words::rpm(first.pass.trace.at(at_s)),
                ];
                row.extend(
                    passes
                        .each
                        .iter()
                        .map(|(_, pass)| words::volts_at(pass, at_s)),
                );
                row
            })
            .collect()
    });
    let head = Signal::derive(move || {
        let pulleys = count(found);
        words::moments_head()
            .iter()
            .take(3 + pulleys)
            .map(|head| (*head).to_owned())
            .collect()
    });
    table(words::moments(), head, rows)
}

fn count(found: Found) -> usize {
    found.with(|found| match found {
        Some(Ok(passes)) => passes.each.len(),
        _ => 0,
    })
}

/// Time above each limit, and what is assumed of the pass.
pub fn over(found: Found) -> AnyView {
    live_option(move || {
        let passes = found.get()?.ok()?;
        let mut lines: Vec<String> = passes
            .each
            .iter()
            .map(|(name, pass)| words::over(name, pass))
            .collect();
        lines.extend(passes.each.first().map(|(_, pass)| words::assumed(pass)));
        let lines = lines
            .into_iter()
            .filter(|line| !line.is_empty())
            .map(|line| view! { <p>{line}</p> }.into_any());
        Some(all(lines.collect::<Vec<_>>()))
    })
}

/// What the voltage costs, with the person's own devices.
pub fn costs(found: Found) -> AnyView {
    let rows = Signal::derive(move || {
        let Some(Ok(passes)) = found.get() else {
            return Vec::new();
        };
        let low = |pass: &PassStudy| pass.gone.as_ref().unwrap_or(&pass.holds).lowest.1;
        let volts: Vec<f64> = passes.each.iter().map(|(_, pass)| low(pass)).collect();
        words::costs(&passes.answer.car.course.costs, &volts)
    });
    let head = Signal::derive(move || {
        let pulleys = count(found);
        words::costs_head()
            .iter()
            .take(1 + pulleys)
            .map(|head| (*head).to_owned())
            .collect()
    });
    view! {
        {table(words::costs_label(), head, rows)}
        <p class="note">{words::costs_note()}</p>
    }
    .into_any()
}

/// The person's own devices, for what the voltage costs.
pub fn own_devices(desk: Desk) -> AnyView {
    view! {
        <details class="more">
            <summary>{words::own_devices()}</summary>
            {fields(
                desk,
                &[
                    Field::Flow12,
                    Field::Flow13,
                    Field::Dead12,
                    Field::Dead14,
                    Field::CoilInductance,
                    Field::CoilResistance,
                    Field::CoilCurrent,
                ],
            )}
        </details>
    }
    .into_any()
}
