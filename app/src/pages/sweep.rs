//! What takes longer than a frame: worked out in turns, so that the page stays quick. What was found last stands until
//! the next is there.

use crate::browser::page_ms;
use crate::store::{Answer, Store};
use js_sys::Promise;
use js_sys::futures::JsFuture;
use laneside_core::gates::Judged;
use laneside_core::race::Swept;
use laneside_core::tolerance::Spread95;
use laneside_core::turns::Turns;
use leptos::leptos_dom::helpers::TimeoutHandle;
use leptos::prelude::*;
use leptos::task::spawn_local;
use std::cell::Cell;
use std::rc::Rc;
use std::sync::Arc;
use std::time::Duration;

/// Nothing has changed for so long.
const SETTLED_AFTER: Duration = Duration::from_millis(200);
/// Work goes on for so long before the browser has its turn, ms.
const TURN_MS: f64 = 8.0;

/// The spreads of each pulley; none while they are being worked out.
pub type Spreads = Signal<Option<Arc<Vec<Vec<Spread95>>>>>;

/// The answer once nothing has changed for a while; until then the one before.
pub fn settled(store: Store) -> Signal<Option<Arc<Answer>>> {
    let settled = RwSignal::new(untrack(|| store.answer()));
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
                let is_same = settled.try_with_untracked(|settled| is_same(settled, &answer));
                if is_same == Some(false) {
                    settled.set(answer.clone());
                }
            },
            SETTLED_AFTER,
        );
        waiting.set_value(handle.ok());
    });
    settled.into()
}

/// The turns of what is worked out of one thing. Once that has changed, its next pause never ends.
pub struct Pauses {
    /// Each change makes a new generation.
    generation: StoredValue<u32>,
    mine: u32,
    began_ms: Cell<f64>,
}

impl Pauses {
    /// Lets the browser have its turn.
    async fn rest(&self) {
        let later = Promise::new(&mut |done, _| {
            let _ = window().set_timeout_with_callback(&done);
        });
        let _ = JsFuture::from(later).await;
        if self.generation.try_get_value() != Some(self.mine) {
            std::future::pending::<()>().await;
        }
        self.began_ms.set(page_ms());
    }
}

impl Turns for Pauses {
    async fn pause(&self) {
        if page_ms() - self.began_ms.get() > TURN_MS {
            self.rest().await;
        }
    }
}

/// What is worked out of something in turns, after what shows that has been drawn.
pub fn worked_out<A, T, F>(
    of: impl Fn() -> Option<A> + 'static,
    work: impl Fn(A, Pauses) -> F + 'static,
) -> RwSignal<Option<T>>
where
    A: 'static,
    T: Send + Sync + 'static,
    F: Future<Output = T> + 'static,
{
    let found = RwSignal::new(None);
    let generation = StoredValue::new(0_u32);
    let work = Rc::new(work);
    Effect::new(move || {
        let of = of();
        generation.update_value(|generation| *generation += 1);
        let Some(of) = of else {
            found.set(None);
            return;
        };
        let mine = generation.get_value();
        let pauses = Pauses {
            generation,
            mine,
            began_ms: Cell::new(0.0),
        };
        let work = Rc::clone(&work);
        spawn_local(async move {
            pauses.rest().await;
            let worked_out = work(of, pauses).await;
            if generation.try_get_value() == Some(mine) {
                let _ = found.try_set(Some(worked_out));
            }
        });
    });
    found
}

/// The spreads of the studies of an answer, by the place of their pulleys.
async fn spreads(
    answer: &Answer,
    studies: &[Arc<dyn Swept + Send + Sync>],
    pauses: &Pauses,
) -> Vec<Vec<Spread95>> {
    let Ok(study) = &answer.study else {
        return Vec::new();
    };
    let mut found = Vec::new();
    for (swept, judged) in studies.iter().zip(judged(answer)) {
        let mut sweep = swept.sweep();
        while swept.step(&mut sweep, &answer.car, &study.tolerances, judged) {
            pauses.pause().await;
        }
        found.push(sweep.spreads());
    }
    found
}

/// The spreads of what was found for an answer, once that has settled; nothing said of an answer outlives it.
pub fn swept(
    store: Store,
    settled: Signal<Option<Arc<Answer>>>,
    studies: impl Fn() -> Option<(Arc<Answer>, Vec<Arc<dyn Swept + Send + Sync>>)> + 'static,
) -> Spreads {
    let of = move || {
        let (answer, studies) = studies()?;
        let of = Some(Arc::clone(&answer));
        let is_last = is_same(&settled.get(), &of) && is_same(&store.answer(), &of);
        is_last.then_some((answer, studies))
    };
    let found = worked_out(
        of,
        async move |(answer, studies): (Arc<Answer>, Vec<_>), pauses| {
            Arc::new(spreads(&answer, &studies, &pauses).await)
        },
    );
    found.into()
}

fn is_same(one: &Option<Arc<Answer>>, other: &Option<Arc<Answer>>) -> bool {
    one.as_ref().map(Arc::as_ptr) == other.as_ref().map(Arc::as_ptr)
}

/// An answer that has a study.
pub fn ready(answer: Option<Arc<Answer>>) -> Option<Arc<Answer>> {
    answer.filter(|answer| answer.study.is_ok())
}

/// The pulleys to look at: on the car, and to try.
pub fn judged(answer: &Answer) -> Vec<&Judged> {
    let Ok(study) = &answer.study else {
        return Vec::new();
    };
    let tried = study.tried.as_ref().map(|tried| &tried.judged);
    std::iter::once(&study.on_car).chain(tried).collect()
}
