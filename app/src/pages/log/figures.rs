//! The figures of a pass, the time over the limits, and what the log holds besides.

use super::evidence::{lines, list};
use super::found::Found;
use crate::pages::{Desk, missing};
use crate::parts::live::{all, live};
use crate::parts::table::table;
use crate::words::log::{self as page_words, figures as words};
use leptos::prelude::*;

/// The tables.
pub fn figures(desk: Desk, found: Found) -> AnyView {
    live(move || {
        let Some(pass) = found.pass.get() else {
            return ().into_any();
        };
        let figures = &pass.figures;
        let head = |head: &[&str]| {
            Signal::stored(head.iter().map(|&cell| cell.to_owned()).collect::<Vec<_>>())
        };
        let over = match words::over(figures) {
            Some((head, rows)) => table(
                words::over_label(),
                Signal::stored(head),
                Signal::stored(rows),
            ),
            None => no_ratio(desk),
        };
        let gears = words::gears(&figures.gears);
        let gears = (!gears.is_empty()).then(|| {
            let note = words::of_alternator(&figures.gears);
            view! {
                {table(words::gears_label(), head(&words::gears_head()), Signal::stored(gears))}
                <p class="note">{note}</p>
            }
            .into_any()
        });
        all([
            view! { <p class="note">{words::pass_line(&pass.pass)}</p> }.into_any(),
            words::unknown(pass.dwell.unknown_s)
                .map(|line| view! { <p class="note">{line}</p> }.into_any())
                .into_any(),
            over,
            table(
                words::figures(),
                head(&words::head()),
                Signal::stored(words::rows(figures)),
            ),
            gears.into_any(),
        ])
    })
}

/// What is missing for the alternator's speed, with the way there.
fn no_ratio(desk: Desk) -> AnyView {
    let way = move || missing::way(&missing::missing(desk.store));
    view! {
        <h2>{words::over_label()}</h2>
        <p>{words::no_ratio()}</p>
        <p class="actions">
            <a class="button" href=way>{words::enter()}</a>
        </p>
    }
    .into_any()
}

/// What is in the log besides the pass, and what was passed over in reading it.
pub fn besides(found: Found) -> AnyView {
    let report = found.log.with_value(|log| log.report.clone());
    let (read, skipped) = report;
    let between = live(move || {
        let Some(analysis) = found.analysis.get() else {
            return ().into_any();
        };
        let between = analysis.between.iter().map(words::between);
        let cranks = analysis
            .cranks
            .found()
            .into_iter()
            .flatten()
            .map(words::crank);
        let cranks = cranks.chain(words::no_cranks(&analysis.cranks));
        let aside = analysis.found.aside.iter().map(words::aside);
        lines(
            words::between_label(),
            between.chain(cranks).chain(aside).collect(),
        )
    });
    let sampling = move || {
        let analysis = found.analysis.get();
        analysis.map(|analysis| page_words::sampling(&analysis.sampling))
    };
    view! {
        {between}
        <details class="rare">
            <summary>{page_words::file()}</summary>
            <p>{read} " " {sampling}</p>
            {list(skipped)}
        </details>
    }
    .into_any()
}
