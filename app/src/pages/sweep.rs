//! Spreads that take longer than a frame: worked out once an entry has settled, a little at a
//! time, so that the page stays quick.

use crate::store::{Answer, Store};
use laneside_core::tolerance::Spread95;
use leptos::leptos_dom::helpers::TimeoutHandle;
use leptos::prelude::*;
use std::sync::Arc;
use std::time::Duration;

/// Nothing has changed for so long.
const SETTLED_AFTER: Duration = Duration::from_millis(300);
/// Steps in one turn of the browser.
const STEPS: usize = 3;

/// One step of a sweep; its answers once it is done.
pub type Job = Box<dyn FnMut() -> Option<Vec<Spread95>>>;

/// The spreads of all jobs of the present answer; none while they are being worked out.
pub fn swept(
    store: Store,
    jobs: impl Fn(&Arc<Answer>) -> Vec<Job> + 'static,
) -> Signal<Option<Arc<Vec<Vec<Spread95>>>>> {
    let found = RwSignal::new(None);
    let waiting = StoredValue::new(None::<TimeoutHandle>);
    // Each change makes a new generation; turns of an old one stop.
    let generation = StoredValue::new(0_u32);
    let stop = move || {
        let _ = generation.try_update_value(|generation| *generation += 1);
        if let Some(Some(handle)) = waiting.try_update_value(Option::take) {
            handle.clear();
        }
    };
    on_cleanup(stop);
    let jobs = StoredValue::new_local(jobs);
    Effect::new(move || {
        let answer = store.answer();
        stop();
        found.set(None);
        let mine = generation.get_value();
        let begin = move || {
            let Some(answer) = &answer else {
                return;
            };
            let all = jobs.try_with_value(|jobs| jobs(answer)).unwrap_or_default();
            turn(
                all,
                Vec::new(),
                Turns {
                    found,
                    generation,
                    mine,
                },
            );
        };
        waiting.set_value(set_timeout_with_handle(begin, SETTLED_AFTER).ok());
    });
    found.into()
}

#[derive(Clone, Copy)]
struct Turns {
    found: RwSignal<Option<Arc<Vec<Vec<Spread95>>>>>,
    generation: StoredValue<u32>,
    mine: u32,
}

fn turn(mut jobs: Vec<Job>, mut done: Vec<Vec<Spread95>>, turns: Turns) {
    if turns.generation.try_get_value() != Some(turns.mine) {
        return;
    }
    for _ in 0..STEPS {
        let Some(job) = jobs.first_mut() else {
            let _ = turns.found.try_set(Some(Arc::new(done)));
            return;
        };
        if let Some(spreads) = job() {
            done.push(spreads);
            drop(jobs.remove(0));
        }
    }
    set_timeout(move || turn(jobs, done, turns), Duration::ZERO);
}
