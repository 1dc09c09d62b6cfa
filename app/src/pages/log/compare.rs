//! Two passes side by side: before a change and after it.

use super::evidence::list;
use super::found::Found;
use super::graph::{Overlay, graph};
use super::shot::{Shot, Source};
use crate::pages::Desk;
use crate::parts::chart::Role;
use crate::parts::choice::Choice;
use crate::parts::held::Held;
use crate::parts::live::{all, live, live_option};
use crate::parts::table::table;
use crate::parts::verdict::verdict_view;
use crate::words::log::kept as words;
use laneside_core::log::compare::compare as compared;
use laneside_core::log::kept::KeptPass;
use leptos::prelude::*;
use std::sync::Arc;

/// What can be compared: the kept passes, the newest first, and before them the one that is looked at.
type Candidates = Held<Vec<Candidate>>;

#[derive(Clone)]
struct Candidate {
    name: String,
    pass: Arc<KeptPass>,
}

impl PartialEq for Candidate {
    fn eq(&self, other: &Self) -> bool {
        self.name == other.name && Arc::ptr_eq(&self.pass, &other.pass)
    }
}

/// Two pickers, the verdict, the figures and the chart.
pub fn compare(desk: Desk, found: Option<Found>) -> AnyView {
    let kept = desk.logs.kept;
    let candidates: Candidates = Held::new(move || {
        let current = found.and_then(|found| found.current.get());
        let entries = kept.all.get();
        let others = entries.iter().rev().filter(|entry| {
            // The one that is looked at stands there already.
            current
                .as_ref()
                .is_none_or(|now| !super::kept::same(&entry.pass, now))
        });
        let others = others.map(|entry| Candidate {
            name: format!("{}, {}", entry.pass.name, entry.pass.date),
            pass: Arc::clone(&entry.pass),
        });
        let this = current.as_ref().map(|now| Candidate {
            name: words::this().to_owned(),
            pass: Arc::clone(now),
        });
        this.into_iter().chain(others).collect()
    });
    // The newest is after, the one before it before.
    let before = RwSignal::new(1_usize);
    let after = RwSignal::new(0_usize);
    let count = Held::new(move || candidates.with(Vec::len));
    live(move || match count.get() {
        0 => ().into_any(),
        1 => view! {
            <h2>{words::compare()}</h2>
            {list(vec![words::none_before().to_owned()])}
        }
        .into_any(),
        count => both(desk, candidates, (before, after), count),
    })
}

fn both(
    desk: Desk,
    candidates: Candidates,
    (before, after): (RwSignal<usize>, RwSignal<usize>),
    count: usize,
) -> AnyView {
    let picked = move |place: RwSignal<usize>| place.get().min(count - 1);
    let pick = move |id: &'static str, label: &'static str, place: RwSignal<usize>| {
        let names = candidates.get_untracked().into_iter().map(|one| one.name);
        Choice::new(
            id,
            label,
            names,
            Signal::derive(move || Some(picked(place))),
            Callback::new(move |at| place.set(at)),
        )
        .row()
    };
    let pair = Held::new(move || {
        candidates.with(|all| {
            let before = all.get(picked(before))?;
            let after = all.get(picked(after))?;
            Some((before.clone(), after.clone()))
        })
    });
    let result = live_option(move || {
        let (before, after) = pair.get()?;
        if Arc::ptr_eq(&before.pass, &after.pass) {
            return Some(view! { <p class="note">{words::same_pass()}</p> }.into_any());
        }
        Some(result(desk, &before.pass, &after.pass))
    });
    view! {
        <h2>{words::compare()}</h2>
        {pick("log-before", words::before(), before)}
        {pick("log-after", words::after(), after)}
        {result}
    }
    .into_any()
}

fn result(desk: Desk, before: &Arc<KeptPass>, after: &Arc<KeptPass>) -> AnyView {
    let found = compared(before, after);
    let head = ["", words::before(), words::after(), words::changed()];
    let head = head.map(str::to_owned).to_vec();
    // Kept passes count from their launch.
    let shot = |pass: &KeptPass, role, label: &str| Shot {
        source: Source::kept(pass),
        role,
        label: label.to_lowercase(),
    };
    let shots = vec![
        shot(before, Role::OnCar, words::before()),
        shot(after, Role::Try, words::after()),
    ];
    let verdict = words::cure(&found);
    let rows = words::pairs(&found.pairs);
    all([
        verdict_view(Signal::stored(verdict)),
        table(words::compare(), Signal::stored(head), Signal::stored(rows)),
        graph(desk, shots, Signal::stored(Overlay::default())),
    ])
}
