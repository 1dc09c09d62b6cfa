//! What is assumed, what matters first, each a link to where it can be entered.

use super::super::Desk;
use super::group::{note, rare};
use crate::parts::live::live_option;
use crate::shell::route::Route;
use crate::store::Answer;
use crate::words::{car as words, names, verdicts};
use laneside_core::gates::Settle;
use laneside_core::resolve::InputId;
use laneside_core::study::Assumed;
use leptos::prelude::*;

/// One assumed value as it is listed.
pub struct Line {
    /// What it is.
    pub name: String,
    /// What is assumed, and between what it may lie.
    pub value: String,
    /// Where it can be entered, if anywhere.
    href: Option<String>,
    /// Whether a verdict rests on it.
    pub matters: bool,
}

/// The list, under a line that counts it.
pub fn assumed(desk: Desk) -> AnyView {
    live_option(move || {
        let lines = lines(desk.store.answer()?.as_ref());
        (!lines.is_empty()).then(|| list(lines))
    })
}

fn list(mut lines: Vec<Line>) -> AnyView {
    let matter = lines.iter().filter(|line| line.matters).count();
    let count = words::assumed(lines.len(), matter);
    let rest = lines.split_off(matter);
    let about = if matter > 0 {
        words::assumed_note()
    } else {
        words::none_matters()
    };
    view! {
        <section class="assumed-list" id="assumed" tabindex="-1">
            <p class="count">{count}</p>
            {note(about)}
            {rows(lines)}
            {rare(words::the_rest().into_any(), [rows(rest)])}
        </section>
    }
    .into_any()
}

fn rows(lines: Vec<Line>) -> AnyView {
    let rows = lines
        .into_iter()
        .map(|line| {
            let name = match line.href {
                Some(href) => view! { <a href=href>{line.name}</a> }.into_any(),
                None => line.name.into_any(),
            };
            let value = view! { <dd>{line.value}</dd> };
            view! { <div><dt>{name}</dt>{value}</div> }
        })
        .collect_view();
    view! { <dl>{rows}</dl> }.into_any()
}

/// All of them, what matters first.
pub fn lines(answer: &Answer) -> Vec<Line> {
    let Ok(study) = &answer.study else {
        return Vec::new();
    };
    let mut lines: Vec<Line> = study
        .assumed()
        .into_iter()
        .map(|assumed| line(answer, &assumed))
        .collect();
    let limits = &study.tolerances.resolved().limits;
    if limits.assumed {
        let (low, high) = limits.continuous;
        let id = if limits.fan_unknown {
            "fan"
        } else {
            "continuous"
        };
        let limit = Line {
            name: words::speed_limit().to_owned(),
            value: words::speeds(low, high),
            href: Some(Route::Car.href_to(id)),
            matters: study.assumed_limit_matters(),
        };
        let place = if limit.matters {
            0
        } else {
            lines.iter().filter(|line| line.matters).count()
        };
        lines.insert(place, limit);
    }
    lines
}

fn line(answer: &Answer, assumed: &Assumed) -> Line {
    let input = &assumed.input;
    let say = |value| names::input_value(&answer.car, input, value);
    let href = match input.id {
        // Nobody measures these at the track.
        InputId::Slip | InputId::FieldExponent => None,
        InputId::Load(_) | InputId::LoadsScale => Some(Route::Car.href_to("loads")),
        id => verdicts::settle_action(&answer.car, Settle::Input(id)).map(|(_, href)| href),
    };
    Line {
        name: words::assumed_name(input.id)
            .map_or_else(|| names::input(&answer.car, input.id), str::to_owned),
        value: words::range(&say(input.value), &say(input.lowest), &say(input.highest)),
        href,
        matters: assumed.matters,
    }
}
