//! One time of listening: from the tap to the end, when the microphone is free again.

use super::microphone::Microphone;
use super::{End, Told, found_from_js, worker};
use crate::beside;
use crate::browser::{Call, call};
use js_sys::{Array, Float32Array};
use leptos::prelude::{IntervalHandle, set_interval_with_handle, set_timeout};
use leptos::task::spawn_local;
use std::cell::{Cell, RefCell};
use std::rc::Rc;
use std::time::Duration;
use wasm_bindgen::JsCast;
use web_sys::{Event, MessageEvent, Worker};

/// A microphone is open for no longer than this, s.
pub const LONGEST_S: u32 = 30;
/// No sound for so many seconds is no microphone.
const LOST_AFTER: u32 = 4;
const SECOND: Duration = Duration::from_secs(1);

/// Listening. Dropped, it ends.
pub struct Session(Rc<Inner>);

struct Inner {
    on_told: Box<dyn Fn(Told)>,
    microphone: Microphone,
    worker: Worker,
    /// Whether the worker listens, and what it is sent once it does.
    ready: Cell<bool>,
    waiting: RefCell<Vec<Float32Array>>,
    /// Seconds listened, and since the last sound.
    seconds: Cell<u32>,
    since_sound: Cell<u32>,
    clock: Cell<Option<IntervalHandle>>,
    messages: RefCell<Vec<Call<MessageEvent>>>,
    events: RefCell<Vec<Call<Event>>>,
    is_over: Cell<bool>,
}

impl Session {
    /// Starts, in a tap; `on_told` hears of everything.
    ///
    /// # Errors
    /// [`End`]: this page cannot listen at all.
    pub fn start(on_told: impl Fn(Told) + 'static) -> Result<Self, End> {
        let inner = Rc::new(Inner {
            on_told: Box::new(on_told),
            microphone: Microphone::new()?,
            worker: beside::worker(worker::NAME).ok_or(End::Old)?,
            ready: Cell::new(false),
            waiting: RefCell::new(Vec::new()),
            seconds: Cell::new(0),
            since_sound: Cell::new(0),
            clock: Cell::new(None),
            messages: RefCell::new(Vec::new()),
            events: RefCell::new(Vec::new()),
            is_over: Cell::new(false),
        });
        inner.listen_to_worker();
        let opening = Rc::clone(&inner);
        spawn_local(async move {
            let opened = opening.open().await;
            // It may have ended while the person was asked.
            if opening.is_over.get() {
                opening.microphone.release();
            } else if let Err(end) = opened {
                opening.end(end);
            } else {
                opening.tell(Told::Open);
            }
        });
        Ok(Self(inner))
    }
}

impl Drop for Session {
    fn drop(&mut self) {
        self.0.release();
    }
}

impl Inner {
    fn listen_to_worker(self: &Rc<Self>) {
        let on_message = call(
            self,
            |inner: &Rc<Self>, event: MessageEvent| match found_from_js(&event.data()) {
                Some(found) => inner.tell(Told::Look(found)),
                None => inner.worker_is_ready(),
            },
        );
        let on_error = call(self, |inner: &Rc<Self>, event: Event| {
            event.prevent_default();
            inner.end(End::Old);
        });
        self.worker
            .set_onmessage(Some(on_message.as_ref().unchecked_ref()));
        self.worker
            .set_onerror(Some(on_error.as_ref().unchecked_ref()));
        self.messages.borrow_mut().push(on_message);
        self.events.borrow_mut().push(on_error);
    }

    fn worker_is_ready(&self) {
        self.ready.set(true);
        let _ = self.worker.post_message(&self.microphone.rate().into());
        for piece in self.waiting.take() {
            self.send(&piece);
        }
    }

    fn send(&self, piece: &Float32Array) {
        let moved = Array::of1(&piece.buffer());
        let _ = self.worker.post_message_with_transfer(piece, &moved);
    }

    async fn open(self: &Rc<Self>) -> Result<(), End> {
        self.microphone.ask().await?;
        if self.is_over.get() {
            return Ok(());
        }
        let on_piece = call(self, |inner: &Rc<Self>, event: MessageEvent| {
            inner.since_sound.set(0);
            let Ok(piece) = event.data().dyn_into::<Float32Array>() else {
                return;
            };
            if inner.ready.get() {
                inner.send(&piece);
            } else {
                inner.waiting.borrow_mut().push(piece);
            }
        });
        let on_lost = call(self, |inner: &Rc<Self>, _: Event| inner.end(End::Lost));
        self.microphone.on_lost(&on_lost);
        let connected = self.microphone.connect(&on_piece).await;
        self.messages.borrow_mut().push(on_piece);
        self.events.borrow_mut().push(on_lost);
        connected?;
        let ticking = Rc::downgrade(self);
        let tick = move || {
            if let Some(inner) = ticking.upgrade() {
                inner.tick();
            }
        };
        self.clock.set(set_interval_with_handle(tick, SECOND).ok());
        Ok(())
    }

    fn tick(&self) {
        self.seconds.set(self.seconds.get() + 1);
        self.since_sound.set(self.since_sound.get() + 1);
        if self.since_sound.get() >= LOST_AFTER {
            self.end(End::Lost);
        } else if self.seconds.get() >= LONGEST_S {
            self.end(End::TimeUp);
        }
    }

    fn tell(&self, told: Told) {
        if !self.is_over.get() {
            (self.on_told)(told);
        }
    }

    fn end(&self, end: End) {
        let was_over = self.is_over.get();
        self.release();
        if !was_over {
            (self.on_told)(Told::Ended(end));
        }
    }

    /// Frees everything that was taken.
    fn release(&self) {
        self.is_over.set(true);
        if let Some(clock) = self.clock.take() {
            clock.clear();
        }
        self.microphone.release();
        self.worker.terminate();
        // Not at once: one of them may be the one that is being heard.
        let heard = (self.messages.take(), self.events.take());
        set_timeout(move || drop(heard), Duration::ZERO);
    }
}
