//! What takes longer than a frame: worked out in turns, so that the page stays quick. What was found last stands until
//! the next is there.

use crate::browser::{self, page_ms};
use crate::parts::live::Unfinished;
use crate::store::{Answer, Store};
use js_sys::Promise;
use js_sys::futures::JsFuture;
use laneside_core::gates::Judged;
use laneside_core::race::Swept;
use laneside_core::tolerance::Spread95;
use laneside_core::turns::{Turns, at_once};
use leptos::leptos_dom::helpers::TimeoutHandle;
use leptos::prelude::*;
use leptos::task::spawn_local;
use std::cell::Cell;
use std::future::poll_fn;
use std::rc::Rc;
use std::sync::Arc;
use std::task::Poll;
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

/// The turns of what is worked out of one thing.
pub struct Pauses {
    began_ms: Cell<f64>,
}

impl Pauses {
    /// Work that began then.
    fn since(began_ms: f64) -> Self {
        Self {
            began_ms: Cell::new(began_ms),
        }
    }

    /// Lets the browser have its turn.
    async fn rest(&self) {
        let later = Promise::new(&mut |done, _| {
            let _ = window().set_timeout_with_callback(&done);
        });
        let _ = JsFuture::from(later).await;
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

/// What is worked out of something in turns, after what shows that has been drawn; what was found before stands until then.
fn in_turns<A, T, F>(
    of: impl Fn() -> Option<A> + 'static,
    work: impl Fn(A, Pauses) -> F + 'static,
    is_at_once: bool,
) -> RwSignal<Option<T>>
where
    A: 'static,
    T: Send + Sync + 'static,
    F: Future<Output = T> + 'static,
{
    let found = RwSignal::new(None);
    // Each change makes a new generation; work for an old one ends at its next turn.
    let generation = StoredValue::new(0_u32);
    let work = Rc::new(work);
    Effect::new(move || {
        let of = of();
        generation.update_value(|generation| *generation += 1);
        let Some(of) = of else {
            if found.with_untracked(Option::is_some) {
                found.set(None);
            }
            return;
        };
        let mine = generation.get_value();
        if is_at_once && mine == 1 {
            found.set(Some(at_once(work(of, Pauses::since(f64::INFINITY)))));
            return;
        }
        let work = Rc::clone(&work);
        let unfinished = Unfinished::new();
        spawn_local(async move {
            let pauses = Pauses::since(0.0);
            pauses.rest().await;
            let mut work = Box::pin(work(of, pauses));
            let worked_out = poll_fn(|context| {
                if generation.try_get_value() == Some(mine) {
                    work.as_mut().poll(context).map(Some)
                } else {
                    Poll::Ready(None)
                }
            });
            if let Some(worked_out) = worked_out.await {
                let _ = found.try_set(Some(worked_out));
            }
            drop(unfinished);
        });
    });
    found
}

/// What is worked out of an answer with a study, in turns. Where a link leads to a field of the page it is there at
/// once: what comes in later would push that field out of sight.
pub fn worked_out<T, F>(
    answer: impl Fn() -> Option<Arc<Answer>> + 'static,
    work: impl Fn(Arc<Answer>, Pauses) -> F + 'static,
) -> RwSignal<Option<T>>
where
    T: Send + Sync + 'static,
    F: Future<Output = T> + 'static,
{
    let ready = move || answer().filter(|answer| answer.study.is_ok());
    in_turns(ready, work, browser::leads_to_field())
}

/// The same, there at once when the page is made: what would come in above something to tap.
pub fn worked_out_from_start<T, F>(
    answer: impl Fn() -> Option<Arc<Answer>> + 'static,
    work: impl Fn(Arc<Answer>, Pauses) -> F + 'static,
) -> RwSignal<Option<T>>
where
    T: Send + Sync + 'static,
    F: Future<Output = T> + 'static,
{
    in_turns(answer, work, true)
}

/// What follows an entry late, and the answer that it is of.
pub type Late<T> = RwSignal<Option<(Arc<Answer>, T)>>;

/// A part of a page that follows an entry late: marked as long as it is of the car before the entry.
pub fn late<T: Send + Sync + 'static>(store: Store, found: Late<T>, view: AnyView) -> AnyView {
    let is_old = move || {
        let of = found.with(|found| found.as_ref().map(|(of, _)| Arc::clone(of)));
        of.is_some() && !is_same(&of, &store.answer())
    };
    view! { <div class:late=is_old aria-busy=move || is_old().then_some("true")>{view}</div> }
        .into_any()
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
    let work = async move |(answer, studies): (Arc<Answer>, Vec<_>), pauses| {
        Arc::new(spreads(&answer, &studies, &pauses).await)
    };
    in_turns(of, work, false).into()
}

/// Whether both are the very same answer.
pub fn is_same(one: &Option<Arc<Answer>>, other: &Option<Arc<Answer>>) -> bool {
    one.as_ref().map(Arc::as_ptr) == other.as_ref().map(Arc::as_ptr)
}

/// The pulleys to look at: on the car, and to try.
pub fn judged(answer: &Answer) -> Vec<&Judged> {
    let Ok(study) = &answer.study else {
        return Vec::new();
    };
    let tried = study.tried.as_ref().map(|tried| &tried.judged);
    std::iter::once(&study.on_car).chain(tried).collect()
}
