//! The page's side: a worker that reads the log, or the same work in slices where there is none.

use super::bench::{self, Bench};
use super::told::{Ask, Told};
use crate::beside;
use js_sys::Uint8Array;
use js_sys::futures::JsFuture;
use leptos::prelude::set_timeout;
use leptos::task::spawn_local;
use std::cell::{Cell, RefCell};
use std::rc::Rc;
use std::time::Duration;
use wasm_bindgen::JsCast;
use wasm_bindgen::closure::Closure;
use web_sys::{Event, MessageEvent, Worker};

/// Bytes read at a time on the page itself: short enough for a tap in between.
const SLICE: f64 = 131_072.0;
/// The name of the worker that reads.
const NAME: &str = "log";

/// A log being read. Dropped, the reading ends.
pub struct Link(Rc<Inner>);

type Heard = Closure<dyn Fn(Event)>;

struct Inner {
    on_told: Box<dyn Fn(Told)>,
    worker: RefCell<Option<Worker>>,
    /// Not heard of the worker yet: what it is asked then.
    waiting: RefCell<Option<Ask>>,
    /// Who listens to the worker.
    heard: RefCell<Vec<Heard>>,
    /// The work itself, where there is no worker.
    bench: RefCell<Bench>,
    is_over: Cell<bool>,
}

impl Link {
    /// Starts with a file to read or a recording to look through; `on_told` hears of everything.
    pub fn start(first: Ask, on_told: impl Fn(Told) + 'static) -> Self {
        let inner = Rc::new(Inner {
            on_told: Box::new(on_told),
            worker: RefCell::new(None),
            waiting: RefCell::new(Some(first)),
            heard: RefCell::new(Vec::new()),
            bench: RefCell::new(Bench::default()),
            is_over: Cell::new(false),
        });
        match beside::worker(NAME) {
            Some(worker) => inner.listen(worker),
            None => inner.work_here(),
        }
        Self(inner)
    }

    /// Goes on with an answer, or with the channels.
    pub fn ask(&self, ask: Ask) {
        if let Some(worker) = &*self.0.worker.borrow() {
            let _ = worker.post_message(&ask.to_js());
            return;
        }
        self.0.waiting.replace(Some(ask));
        let inner = Rc::clone(&self.0);
        // Not at once: who asks holds this link.
        set_timeout(move || inner.work_here(), Duration::ZERO);
    }
}

impl Drop for Link {
    fn drop(&mut self) {
        self.0.is_over.set(true);
        if let Some(worker) = self.0.worker.take() {
            worker.terminate();
        }
        // Not at once: one of them may be the one that is being heard.
        let heard = self.0.heard.take();
        set_timeout(move || drop(heard), Duration::ZERO);
    }
}

impl Inner {
    fn listen(self: &Rc<Self>, worker: Worker) {
        let told = Rc::downgrade(self);
        let on_message = Closure::<dyn Fn(Event)>::new(move |event: Event| {
            let (Some(inner), Ok(event)) = (told.upgrade(), event.dyn_into::<MessageEvent>())
            else {
                return;
            };
            match Told::from_js(&event.data()) {
                Some(Told::Ready) => {
                    let ask = inner.waiting.take();
                    if let (Some(ask), Some(worker)) = (ask, &*inner.worker.borrow()) {
                        let _ = worker.post_message(&ask.to_js());
                    }
                }
                Some(told) => inner.tell(told),
                None => inner.tell(Told::unread()),
            }
        });
        let failed = Rc::downgrade(self);
        let on_error = Closure::<dyn Fn(Event)>::new(move |event: Event| {
            let Some(inner) = failed.upgrade() else {
                return;
            };
            event.prevent_default();
            inner.worker.take();
            if inner.waiting.borrow().is_some() {
                // It never ran: an old browser, or its file is missing.
                inner.work_here();
            } else {
                inner.tell(Told::unread());
            }
        });
        worker.set_onmessage(Some(on_message.as_ref().unchecked_ref()));
        worker.set_onerror(Some(on_error.as_ref().unchecked_ref()));
        self.heard.replace(vec![on_message, on_error]);
        self.worker.replace(Some(worker));
    }

    fn tell(&self, told: Told) {
        if !self.is_over.get() {
            (self.on_told)(told);
        }
    }

    /// Does on the page what waits to be done.
    fn work_here(self: &Rc<Self>) {
        let Some(ask) = self.waiting.take() else {
            return;
        };
        match ask {
            Ask::Read(file, known) => self.bench.borrow_mut().open(file, &known),
            Ask::Answer(answer) => self.bench.borrow_mut().answer(&answer),
            Ask::Confirm(picks, car) => {
                let told = self.bench.borrow_mut().confirm(&picks, &car);
                self.tell(told);
                return;
            }
            Ask::Look(recording, rules, car) => {
                let inner = Rc::clone(self);
                // Not at once: who starts this has no link to it yet.
                set_timeout(
                    move || inner.tell(bench::look(&recording, &rules, &car)),
                    Duration::ZERO,
                );
                return;
            }
        }
        let inner = Rc::clone(self);
        spawn_local(async move {
            let told = inner.read().await;
            inner.tell(told);
        });
    }

    async fn read(&self) -> Told {
        let Some(file) = self.bench.borrow().file().cloned() else {
            return Told::unread();
        };
        let (size, mut at) = (file.size(), 0.0);
        self.bench.borrow_mut().begin();
        while at < size && !self.is_over.get() {
            let end = (at + SLICE).min(size);
            let Ok(part) = file.slice_with_f64_and_f64(at, end) else {
                return Told::unread();
            };
            let Ok(buffer) = JsFuture::from(part.array_buffer()).await else {
                return Told::unread();
            };
            let failed = self
                .bench
                .borrow_mut()
                .push(&Uint8Array::new(&buffer).to_vec());
            if let Some(failed) = failed {
                return failed;
            }
            at = end;
            self.tell(Told::Progress(at / size));
        }
        self.bench.borrow_mut().end()
    }
}
