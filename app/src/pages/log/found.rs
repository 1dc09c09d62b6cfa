//! A log that is read: what it says first, then the figures, the chart and the rest.

use super::{compare, evidence, figures, graph, kept, model, rules, start};
use crate::log::{Look, OpenLog};
use crate::pages::Desk;
use crate::parts::choice::Choice;
use crate::parts::held::Held;
use crate::parts::live::{all, live_option};
use crate::parts::verdict::verdict_view;
use crate::words::log as words;
use laneside_core::log::Seen;
use laneside_core::log::analysis::{Analysis, PassFound};
use laneside_core::log::diagnose::Diagnosis;
use laneside_core::log::fit::{Against, NoFit, against};
use laneside_core::log::kept::KeptPass;
use laneside_core::log::passes::Rules;
use leptos::leptos_dom::helpers::TimeoutHandle;
use leptos::prelude::*;
use std::sync::Arc;
use std::time::Duration;

/// Nothing has changed for so long.
const SETTLED_AFTER: Duration = Duration::from_millis(300);

/// A log with what was found in it.
#[derive(Clone, Copy)]
pub struct Found {
    /// The log.
    pub log: StoredValue<Arc<OpenLog>>,
    /// What counts as a pass.
    pub rules: RwSignal<Rules>,
    /// All of it, looked through.
    pub analysis: RwSignal<Option<Arc<Analysis>>>,
    /// Whether a long log is being looked through once more.
    pub working: RwSignal<bool>,
    /// The pass that is looked at, by its place.
    pub which: RwSignal<usize>,
    /// The pass itself; none in a log without one.
    pub pass: Held<Option<Arc<PassFound>>>,
    /// What the person calls it.
    pub name: RwSignal<String>,
    /// The pass as it would be kept.
    pub current: Held<Option<Arc<KeptPass>>>,
    /// The pass against the car's model; none without a whole car.
    pub against: RwSignal<Option<Arc<Result<Against, NoFit>>>>,
}

impl Found {
    fn new(desk: Desk, log: Arc<OpenLog>) -> Self {
        let store = desk.store;
        let rules = RwSignal::new(Rules::default());
        let which = RwSignal::new(0);
        let look = Look::start(store, Arc::clone(&log), rules);
        let analysis = look.found;
        let pass = Held::new(move || {
            let analysis = analysis.get()?;
            let passes = &analysis.passes;
            let last = passes.len().checked_sub(1)?;
            Some(Arc::new(passes.get(which.get().min(last))?.clone()))
        });
        // A name that was typed is that pass's alone.
        let name = RwSignal::new(String::new());
        let file = log.name.clone();
        Effect::new(move || {
            let place = which.get();
            let called = pass.with(|pass| {
                pass.as_ref().map(|pass| {
                    words::kept::name_of(&words::figures::pass_name(place, &pass.pass), &file)
                })
            });
            name.set(called.unwrap_or_default());
        });
        let read = Arc::clone(&log);
        let current = Held::new(move || {
            let pass = pass.get()?;
            let bands = analysis.get()?.bands;
            let date = words::kept::date(&js_sys::Date::new_0());
            let kept = store.with_car(|car| {
                KeptPass::new(&name.get(), &date, car, &read.recording, &pass, bands)
            });
            kept.map(Arc::new)
        });
        let read = Arc::clone(&log);
        let against = held_against(desk, read, analysis, pass);
        Self {
            log: StoredValue::new(log),
            rules,
            analysis,
            working: look.working,
            which,
            pass,
            name,
            current,
            against,
        }
    }

    /// What the pass says; in a log without one, all of it. Tracked.
    pub fn with_diagnosis<T>(self, read: impl FnOnce(&Diagnosis) -> T) -> Option<T> {
        match self.pass.get() {
            Some(pass) => Some(read(&pass.diagnosis)),
            None => self
                .analysis
                .get()
                .map(|analysis| read(&analysis.diagnosis)),
        }
    }
}

/// The page of a log that is read.
pub fn found(desk: Desk, log: Arc<OpenLog>) -> AnyView {
    let found = Found::new(desk, log);
    all([
        which(found),
        verdict(found),
        evidence::evidence(found),
        kept::keep(desk, found),
        figures::figures(desk, found),
        graph::of_log(desk, found),
        model::model(desk, found),
        compare::compare(desk, Some(found)),
        kept::kept(desk),
        figures::besides(found),
        rules::rules(desk, found),
        start::another(desk),
    ])
}

/// Holds the pass against the model once nothing has changed for a moment: it takes longer than a frame.
fn held_against(
    desk: Desk,
    log: Arc<OpenLog>,
    analysis: RwSignal<Option<Arc<Analysis>>>,
    pass: Held<Option<Arc<PassFound>>>,
) -> RwSignal<Option<Arc<Result<Against, NoFit>>>> {
    let found = RwSignal::new(None);
    let waiting = StoredValue::new(None::<TimeoutHandle>);
    let stop = move || {
        if let Some(Some(handle)) = waiting.try_update_value(Option::take) {
            handle.clear();
        }
    };
    on_cleanup(stop);
    Effect::new(move || {
        let (analysis, pass, answer) = (analysis.get(), pass.get(), desk.store.answer());
        stop();
        found.set(None);
        let (Some(analysis), Some(pass), Some(answer)) = (analysis, pass, answer) else {
            return;
        };
        let log = Arc::clone(&log);
        let begin = move || {
            let held = against(&log.recording, &analysis, &pass, &answer.car);
            found.set(Some(Arc::new(held)));
        };
        waiting.set_value(set_timeout_with_handle(begin, SETTLED_AFTER).ok());
    });
    found
}

/// Which pass, where there are several.
fn which(found: Found) -> AnyView {
    let names = Held::new(move || {
        let analysis = found.analysis.get();
        let passes = analysis.iter().flat_map(|analysis| &analysis.passes);
        passes
            .enumerate()
            .map(|(place, one)| words::figures::pass_name(place, &one.pass))
            .collect::<Vec<_>>()
    });
    let working = live_option(move || {
        let again = found.working.get();
        let words = match found.analysis.with(Option::is_some) {
            true => words::again(),
            false => words::channels::working(),
        };
        again.then(|| view! { <p class="note" role="status">{words}</p> }.into_any())
    });
    let which = live_option(move || {
        if found.analysis.with(Option::is_none) {
            return None;
        }
        let names = names.get();
        if names.is_empty() {
            return Some(view! { <p class="answers">{words::no_pass()}</p> }.into_any());
        }
        (names.len() > 1).then(|| {
            let last = names.len() - 1;
            Choice::new(
                "log-pass",
                words::passes(names.len()),
                names,
                Signal::derive(move || Some(found.which.get().min(last))),
                Callback::new(move |place| found.which.set(place)),
            )
            .view()
        })
    });
    all([working, which])
}

fn verdict(found: Found) -> AnyView {
    let verdict = Held::new(move || {
        let lowest = found.pass.with(|pass| {
            let pass = pass.as_ref()?;
            match pass.figures.lowest {
                Seen::Found(lowest) => Some(lowest),
                _ => None,
            }
        });
        found.with_diagnosis(|diagnosis| words::diagnosis::verdict(diagnosis, lowest.as_ref()))
    });
    let shown = move || verdict.get().unwrap_or_else(crate::words::pass::no_verdict);
    verdict_view(Signal::derive(shown))
}
