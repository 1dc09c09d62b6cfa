//! What counts as a pass, where the log's own guess is not the person's.

use super::found::Found;
use crate::pages::Desk;
use crate::parts::field::Field;
use crate::parts::live::all;
use crate::parts::pad::Keys;
use crate::words::log::rules as words;
use laneside_core::quantity::show;
use leptos::prelude::*;

/// The two entries.
pub fn rules(desk: Desk, found: Found) -> AnyView {
    let high = entry(found, true, desk);
    let least = entry(found, false, desk);
    view! {
        <details class="rare">
            <summary>{words::RULES}</summary>
            {all([high, least])}
        </details>
    }
    .into_any()
}

/// Engine rpm over which it counts, or the seconds that it has to last.
fn entry(found: Found, is_rpm: bool, desk: Desk) -> AnyView {
    let text = RwSignal::new(String::new());
    let fault = RwSignal::new(None);
    let on_text = Callback::new(move |typed: String| {
        let value = typed.trim().replace(',', "").parse::<f64>().ok();
        let most = if is_rpm {
            words::RPM_MOST
        } else {
            words::SECONDS_MOST
        };
        let good = value.filter(|value| (0.0..=most).contains(value));
        let is_wrong = good.is_none() && !typed.trim().is_empty();
        fault.set(is_wrong.then(|| words::fault(&typed, is_rpm)));
        if !is_wrong {
            found.rules.update(|rules| {
                if is_rpm {
                    rules.high_rpm = good;
                } else {
                    rules.least_s =
                        good.unwrap_or(laneside_core::log::passes::Rules::default().least_s);
                }
            });
        }
        text.set(typed);
    });
    let assumed = Signal::derive(move || {
        if is_rpm {
            let analysis = found.analysis.get();
            let high = analysis.map(|analysis| analysis.found.high_rpm);
            high.map_or_else(String::new, |high| show::grouped(high, 0))
        } else {
            show::fixed(laneside_core::log::passes::Rules::default().least_s, 1)
        }
    });
    let (id, label, unit) = if is_rpm {
        ("log-high", words::HIGH, words::RPM)
    } else {
        ("log-least", words::LEAST, words::SECONDS)
    };
    Field::new(id, label, text, on_text)
        .keys(if is_rpm { Keys::Rpm } else { Keys::Decimal })
        .unit(unit.to_owned())
        .assumed(assumed)
        .fault(fault.into())
        .view(desk.pad)
}
