//! What speaks for the verdict and against it, what the log cannot tell, and the next check.

use super::found::Found;
use crate::parts::live::{all, live_option};
use crate::words::log::{diagnosis as words, signs};
use laneside_core::log::diagnose::{Check, Diagnosis, Judged, Sign};
use leptos::prelude::*;

/// All of it, for the pass that is looked at.
pub fn evidence(found: Found) -> AnyView {
    live_option(move || found.with_diagnosis(told))
}

/// The evidence of a diagnosis.
pub fn told(diagnosis: &Diagnosis) -> AnyView {
    let meant = words::causes(diagnosis);
    let shared = shared(&meant);
    // Causes of which nothing of their own shows are told in one line.
    let is_told = |judged: &&&Judged| {
        let mut own = judged.support.iter().filter(|sign| !shared.contains(sign));
        own.next().is_some() || !judged.against.is_empty() || meant.len() == 1
    };
    let causes = meant
        .iter()
        .filter(is_told)
        .map(|judged| cause(judged, &shared));
    let causes: Vec<AnyView> = causes.collect();
    let others = meant.iter().filter(|judged| !is_told(judged));
    let others: Vec<_> = others
        .map(|judged| words::name(judged.cause).to_owned())
        .collect();
    let shared = shared.iter().map(signs::sign).collect();
    let alike = diagnosis.alike.iter().map(|causes| words::alike(causes));
    let blind = diagnosis
        .blind
        .iter()
        .map(|blind| words::blind(*blind).to_owned());
    all([
        lines(words::shared(), shared),
        all(causes),
        lines(words::unopposed(), others),
        lines(words::alike_label(), alike.collect()),
        checks(&diagnosis.checks),
        every(diagnosis),
        lines(words::blind_label(), blind.collect()),
    ])
}

/// Sentences under a heading; nothing where there are none.
pub fn lines(head: &'static str, lines: Vec<String>) -> AnyView {
    if lines.is_empty() {
        return ().into_any();
    }
    view! {
        <h2>{head}</h2>
        {list(lines)}
    }
    .into_any()
}

/// Sentences one under the other.
pub fn list(lines: Vec<String>) -> AnyView {
    let lines = lines.into_iter().map(|line| view! { <li>{line}</li> });
    view! { <ul class="findings">{lines.collect_view()}</ul> }.into_any()
}

/// What speaks for each of several causes alike: said once.
fn shared(causes: &[&Judged]) -> Vec<Sign> {
    let [first, others @ ..] = causes else {
        return Vec::new();
    };
    let is_shared = |sign: &&Sign| {
        !others.is_empty() && others.iter().all(|other| other.support.contains(sign))
    };
    first.support.iter().filter(is_shared).copied().collect()
}

fn cause(judged: &Judged, shared: &[Sign]) -> AnyView {
    let own = judged.support.iter().filter(|sign| !shared.contains(sign));
    let own = own.map(signs::sign).collect();
    let against: Vec<String> = judged.against.iter().map(signs::sign).collect();
    let nothing = against.is_empty().then_some(words::nothing());
    view! {
        <section>
            <h2>{words::name(judged.cause)}</h2>
            {said(words::speaks_for(), own)}
            {said(words::against(), against)}
            <p class="note">{nothing}</p>
        </section>
    }
    .into_any()
}

fn said(head: &'static str, signs: Vec<String>) -> AnyView {
    if signs.is_empty() {
        return ().into_any();
    }
    view! {
        <h3 class="log-signs">{head}</h3>
        {list(signs)}
    }
    .into_any()
}

/// The checks, the most telling one open.
fn checks(checks: &[Check]) -> AnyView {
    if checks.is_empty() {
        return ().into_any();
    }
    let rows = checks.iter().enumerate().map(|(place, check)| {
        let (what, how) = words::check(*check);
        view! {
            <details class="item" open=place == 0>
                <summary>
                    <span class="item-name">{what}</span>
                </summary>
                <p>{how}</p>
            </details>
        }
    });
    view! {
        <h2>{words::next()}</h2>
        {rows.collect_view()}
        <p class="caution">{words::caution()}</p>
    }
    .into_any()
}

/// Every cause with how it stands, and why.
fn every(diagnosis: &Diagnosis) -> AnyView {
    let rows = diagnosis.causes.iter().map(|judged| {
        let signs = judged
            .support
            .iter()
            .chain(&judged.against)
            .map(signs::sign);
        view! {
            <div class="log-cause">
                <p>
                    <strong>{words::name(judged.cause)}</strong>
                    ": "
                    {words::standing(judged.standing)}
                </p>
                <p class="note">{signs.collect::<Vec<_>>().join(" ")}</p>
            </div>
        }
    });
    view! {
        <details class="rare">
            <summary>{words::others()}</summary>
            {rows.collect_view()}
        </details>
    }
    .into_any()
}
