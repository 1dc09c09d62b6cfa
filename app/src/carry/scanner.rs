//! One time of scanning: the camera's pictures go to a worker that finds the codes in them, one after another, until all
//! of a car's are there or the camera is let go.

use super::camera::{Blind, Camera};
use super::finder::Finder;
use crate::beside;
use crate::browser::{Call, call};
use js_sys::{Array, Uint8Array};
use laneside_core::carry::scan;
use leptos::prelude::{TimeoutHandle, document, set_timeout, set_timeout_with_handle};
use leptos::task::spawn_local;
use std::cell::{Cell, RefCell};
use std::rc::Rc;
use std::time::Duration;
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{
    DedicatedWorkerGlobalScope, Event, HtmlMediaElement, HtmlVideoElement, MessageEvent, Worker,
};

/// The name of the worker that looks.
pub const NAME: &str = "codes";
/// Between one picture's end and the next: a hand is no quicker, and the phone stays cool.
const PAUSE: Duration = Duration::from_millis(150);

/// What the page is told.
pub enum Seen {
    /// It sees.
    Open,
    /// The texts of the codes in a picture; there may be none.
    Texts(Vec<String>),
    /// It does not see, or not any more.
    Blind(Blind),
    /// The app was left, and the camera was let go.
    Left,
}

/// Scanning. Dropped, it ends and the camera is free.
pub struct Scanner(Rc<Inner>);

/// Those of messages, and of other events.
type Calls = (Vec<Call<MessageEvent>>, Vec<Call<Event>>);

struct Inner {
    on_seen: Box<dyn Fn(Seen)>,
    camera: Camera,
    video: HtmlVideoElement,
    worker: Worker,
    next: RefCell<Option<TimeoutHandle>>,
    calls: RefCell<Calls>,
    /// Whether the worker was ever heard.
    is_heard: Cell<bool>,
    /// The browser's own finder of codes, while it has not failed.
    finder: RefCell<Option<Finder>>,
    is_over: Cell<bool>,
}

impl Scanner {
    /// Starts, in a tap.
    ///
    /// # Errors
    /// [`Blind`]: this page cannot scan at all.
    pub fn start(video: HtmlVideoElement, on_seen: impl Fn(Seen) + 'static) -> Result<Self, Blind> {
        let inner = Rc::new(Inner {
            on_seen: Box::new(on_seen),
            camera: Camera::default(),
            video,
            worker: beside::worker(NAME).ok_or(Blind::Old)?,
            next: RefCell::new(None),
            calls: RefCell::default(),
            is_heard: Cell::new(false),
            finder: RefCell::new(Finder::new()),
            is_over: Cell::new(false),
        });
        inner.listen();
        let opening = Rc::clone(&inner);
        spawn_local(async move {
            match opening.camera.open(&opening.video).await {
                Err(blind) => opening.end(Seen::Blind(blind)),
                Ok(()) => opening.tell(Seen::Open),
            }
        });
        Ok(Self(inner))
    }
}

impl Drop for Scanner {
    fn drop(&mut self) {
        self.0.release();
        // Not at once: one of them may be the one that is being heard.
        let calls = self.0.calls.take();
        set_timeout(move || drop(calls), Duration::ZERO);
    }
}

impl Inner {
    fn listen(self: &Rc<Self>) {
        let on_message = call(self, |inner: &Rc<Self>, event: MessageEvent| {
            inner.is_heard.set(true);
            // Its first word only says that it is there.
            if let Some(texts) = event.data().dyn_ref::<Array>() {
                let texts = texts.iter().filter_map(|text| text.as_string()).collect();
                inner.tell(Seen::Texts(texts));
            }
            inner.look_soon();
        });
        let on_error = call(self, |inner: &Rc<Self>, event: Event| {
            event.prevent_default();
            let stopped = if inner.is_heard.get() {
                Blind::Busy
            } else {
                Blind::Old
            };
            inner.end(Seen::Blind(stopped));
        });
        let on_hidden = call(self, |inner: &Rc<Self>, _: Event| {
            if document().hidden() {
                inner.end(Seen::Left);
            }
        });
        self.worker
            .set_onmessage(Some(on_message.as_ref().unchecked_ref()));
        self.worker
            .set_onerror(Some(on_error.as_ref().unchecked_ref()));
        let _ = document().add_event_listener_with_callback(
            "visibilitychange",
            on_hidden.as_ref().unchecked_ref(),
        );
        let mut calls = self.calls.borrow_mut();
        calls.0.push(on_message);
        calls.1.extend([on_hidden, on_error]);
    }

    fn look_soon(self: &Rc<Self>) {
        if self.is_over.get() {
            return;
        }
        let inner = Rc::downgrade(self);
        let look = move || {
            if let Some(inner) = inner.upgrade() {
                inner.look();
            }
        };
        self.next.replace(set_timeout_with_handle(look, PAUSE).ok());
    }

    fn look(self: &Rc<Self>) {
        if self.is_over.get() {
            return;
        }
        if self.camera.is_lost() {
            self.end(Seen::Blind(Blind::Busy));
            return;
        }
        let finder = self.finder.borrow().clone();
        if let Some(finder) = finder {
            self.find(finder);
            return;
        }
        match self.camera.picture(&self.video) {
            Some((gray, width)) => {
                let gray = Uint8Array::from(gray.as_slice());
                let moved = Array::of1(&gray.buffer());
                let message = Array::of2(&gray, &JsValue::from_f64(width as f64));
                let _ = self.worker.post_message_with_transfer(&message, &moved);
            }
            // Not open yet.
            None => self.look_soon(),
        }
    }

    /// Has the browser find the codes; where it does not, the worker does from then on.
    fn find(self: &Rc<Self>, finder: Finder) {
        let inner = Rc::clone(self);
        spawn_local(async move {
            match finder.texts(&inner.video).await {
                Some(texts) => inner.tell(Seen::Texts(texts)),
                // It also fails while there is no picture yet.
                None if inner.video.ready_state() >= HtmlMediaElement::HAVE_CURRENT_DATA => {
                    drop(inner.finder.take());
                }
                None => {}
            }
            inner.look_soon();
        });
    }

    fn tell(&self, seen: Seen) {
        if !self.is_over.get() {
            (self.on_seen)(seen);
        }
    }

    fn end(&self, seen: Seen) {
        if !self.is_over.get() {
            self.release();
            (self.on_seen)(seen);
        }
    }

    fn release(&self) {
        self.is_over.set(true);
        self.camera.close();
        self.video.set_src_object(None);
        self.worker.terminate();
        if let Some(next) = self.next.take() {
            next.clear();
        }
        for hidden in self.calls.borrow().1.iter().take(1) {
            let _ = document().remove_event_listener_with_callback(
                "visibilitychange",
                hidden.as_ref().unchecked_ref(),
            );
        }
    }
}

/// The worker's side: a picture in, the texts of its codes out.
pub fn work(scope: &DedicatedWorkerGlobalScope) {
    let page = scope.clone();
    let heard = Closure::<dyn Fn(MessageEvent)>::new(move |event: MessageEvent| {
        let message: Array = event.data().unchecked_into();
        let (gray, width) = (message.get(0), message.get(1).as_f64());
        if let (Some(gray), Some(width)) = (gray.dyn_ref::<Uint8Array>(), width) {
            let texts: Array = scan::texts(&gray.to_vec(), width as usize)
                .into_iter()
                .map(JsValue::from)
                .collect();
            // Refused only where the page is gone.
            let _ = page.post_message(&texts);
        }
    });
    scope.set_onmessage(Some(heard.as_ref().unchecked_ref()));
    heard.forget();
    let _ = scope.post_message(&JsValue::TRUE);
}
