//! What takes longer than a frame: worked out once an entry has settled, spreads a little at a
//! time, so that the page stays quick.

use crate::store::{Answer, Store};
use laneside_core::gates::Judged;
use laneside_core::race::Swept;
use laneside_core::tolerance::{Spread95, Sweep};
use leptos::leptos_dom::helpers::TimeoutHandle;
use leptos::prelude::*;
use std::sync::Arc;
use std::time::Duration;

/// Nothing has changed for so long.
const SETTLED_AFTER: Duration = Duration::from_millis(200);
/// Steps in one turn of the browser.
const STEPS: usize = 3;

/// The spreads of each pulley; none while they are being worked out.
pub type Spreads = Signal<Option<Arc<Vec<Vec<Spread95>>>>>;

/// The answer once nothing has changed for a while; until then the one before.
pub fn settled(store: Store) -> Signal<Option<Arc<Answer>>> {
    let settled = RwSignal::new(None);
    let waiting = StoredValue::new(None::<TimeoutHandle>);
    let stop = move || {
        if let Some(Some(handle)) = waiting.try_update_value(Option::take) {
            handle.clear();
        }
    };
    on_cleanup(stop);
    Effect::new(move || {
        let answer = store.answer();
        stop();
        let handle = set_timeout_with_handle(
            move || {
                let _ = settled.try_set(answer.clone());
            },
            SETTLED_AFTER,
        );
        waiting.set_value(handle.ok());
    });
    settled.into()
}

/// One pulley's study and its sweep so far.
struct Job {
    study: Arc<dyn Swept + Send + Sync>,
    place: usize,
    sweep: Sweep,
}

/// What is worked out for one answer, in turns.
struct Work {
    answer: Arc<Answer>,
    jobs: Vec<Job>,
    done: Vec<Vec<Spread95>>,
}

/// The spreads of the studies of the present answer, by the place of their pulleys.
pub fn swept(
    store: Store,
    settled: Signal<Option<Arc<Answer>>>,
    studies: impl Fn() -> Vec<Arc<dyn Swept + Send + Sync>> + 'static,
) -> Spreads {
    let found = RwSignal::new(None);
    // Each change makes a new generation; turns of an old one stop.
    let generation = StoredValue::new(0_u32);
    let stop = move || {
        let _ = generation.try_update_value(|generation| *generation += 1);
    };
    on_cleanup(stop);
    Effect::new(move || {
        // Nothing said of an answer outlives it.
        let _ = store.answer();
        stop();
        found.set(None);
    });
    Effect::new(move || {
        let Some(answer) = settled.get() else {
            return;
        };
        stop();
        let jobs = untrack(&studies)
            .into_iter()
            .enumerate()
            .map(|(place, study)| Job {
                sweep: study.sweep(),
                study,
                place,
            });
        let work = Work {
            answer,
            jobs: jobs.collect(),
            done: Vec::new(),
        };
        turn(work, found, (generation, generation.get_value()));
    });
    found.into()
}

fn turn(
    mut work: Work,
    found: RwSignal<Option<Arc<Vec<Vec<Spread95>>>>>,
    (generation, mine): (StoredValue<u32>, u32),
) {
    if generation.try_get_value() != Some(mine) {
        return;
    }
    for _ in 0..STEPS {
        let Some(job) = work.jobs.first_mut() else {
            let _ = found.try_set(Some(Arc::new(work.done)));
            return;
        };
        if !step(&work.answer, job) {
            work.done.push(job.sweep.spreads());
            drop(work.jobs.remove(0));
        }
    }
    set_timeout(
        move || turn(work, found, (generation, mine)),
        Duration::ZERO,
    );
}

/// One step of a job; `false` when none is left.
fn step(answer: &Answer, job: &mut Job) -> bool {
    let Ok(study) = &answer.study else {
        return false;
    };
    judged(answer).get(job.place).is_some_and(|judged| {
        job.study
            .step(&mut job.sweep, &answer.car, &study.tolerances, judged)
    })
}

/// The pulleys to look at: on the car, and to try.
pub fn judged(answer: &Answer) -> Vec<&Judged> {
    let Ok(study) = &answer.study else {
        return Vec::new();
    };
    let tried = study.tried.as_ref().map(|tried| &tried.judged);
    std::iter::once(&study.on_car).chain(tried).collect()
}
