//! A car from another phone's screen: the camera looks for its codes until all are there.

use super::{Desk, received};
use crate::carry::scanner::{Scanner, Seen};
use crate::carry::unpack;
use crate::parts::field::{Fault, fault_view};
use crate::parts::live::live_option;
use crate::shell::route::{Route, go};
use crate::words::received as words;
use laneside_core::carry::parts::{Collected, Refused};
use leptos::html::Video;
use leptos::prelude::*;
use leptos::task::spawn_local;
use std::rc::Rc;

/// What a time of scanning works with.
#[derive(Clone, Copy)]
struct Scan {
    desk: Desk,
    scanner: StoredValue<Option<Scanner>, LocalStorage>,
    collected: StoredValue<Collected>,
    is_on: RwSignal<bool>,
    told: RwSignal<String>,
    fault: RwSignal<Option<Fault>>,
}

/// The page's body.
pub fn page(desk: Desk) -> AnyView {
    let video = NodeRef::<Video>::new();
    let scan = Scan {
        desk,
        scanner: StoredValue::new_local(None),
        collected: StoredValue::new(Collected::default()),
        is_on: RwSignal::new(false),
        told: RwSignal::new(String::new()),
        fault: RwSignal::new(None),
    };
    on_cleanup(move || scan.free());
    let button = live_option(move || {
        let (label, class) = if scan.is_on.get() {
            (words::scan_stop(), "button")
        } else {
            (words::scan_start(), "button large")
        };
        let tap = move |_| {
            if scan.is_on.get_untracked() {
                scan.stop();
            } else {
                scan.start(video);
            }
        };
        Some(view! { <button type="button" class=class on:click=tap>{label}</button> }.into_any())
    });
    view! {
        <p>{words::scan_note()}</p>
        <video
            class="camera"
            node_ref=video
            hidden=move || !scan.is_on.get()
            aria-label=words::scan_picture()
            prop:muted=true
            playsinline=true
        ></video>
        {received::told(scan.told.into())}
        {fault_view("scan-fault".to_owned(), scan.fault.into())}
        {button}
    }
    .into_any()
}

impl Scan {
    fn start(self, video: NodeRef<Video>) {
        let Some(video) = video.get_untracked() else {
            return;
        };
        self.fault.set(None);
        self.told.set(words::scan_opening().to_owned());
        self.is_on.set(true);
        match Scanner::start(video, move |seen| self.hear(seen)) {
            Ok(scanner) => self.scanner.set_value(Some(scanner)),
            Err(blind) => self.end(Some(words::blind(blind)), ""),
        }
    }

    /// What was taken is let go by this alone: after a break it goes on where it was.
    fn stop(self) {
        self.collected.set_value(Collected::default());
        self.end(None, "");
    }

    fn free(self) {
        drop(self.scanner.try_update_value(Option::take));
    }

    fn end(self, fault: Option<Fault>, told: &str) {
        // The page may be gone.
        if self.is_on.try_set(false).is_none() {
            self.told.set(told.to_owned());
            self.fault.set(fault);
        }
        self.free();
    }

    fn hear(self, seen: Seen) {
        match seen {
            Seen::Open => self.told.set(self.progress()),
            Seen::Blind(blind) => self.end(Some(words::blind(blind)), ""),
            Seen::Left => self.end(None, words::scan_left()),
            Seen::Texts(texts) => {
                for text in texts {
                    // Whole, it is over.
                    if self.is_on.try_get_untracked() == Some(true) {
                        self.take(&text);
                    }
                }
            }
        }
    }

    fn take(self, text: &str) {
        let taken = self
            .collected
            .try_update_value(|collected| collected.take(text));
        let Some(taken) = taken else {
            return;
        };
        match taken {
            Ok(None) => {
                self.fault.set(None);
                self.told.set(self.progress());
            }
            Ok(Some(whole)) => {
                self.collected.set_value(Collected::default());
                self.whole(Rc::from(whole));
            }
            Err(refused) => {
                self.fault.set(Some(words::refused(refused)));
                // Damaged, all of them are wanted again.
                if refused == Refused::Damaged {
                    self.told.set(self.progress());
                }
            }
        }
    }

    /// How many codes are taken.
    fn progress(self) -> String {
        self.collected
            .with_value(|collected| match collected.progress() {
                (_, 0) => words::scan_looking().to_owned(),
                (count, of) => words::progress(count, of, &collected.wanted()),
            })
    }

    fn whole(self, bytes: Rc<[u8]>) {
        self.end(None, "");
        spawn_local(async move {
            let cars = unpack(&bytes).await;
            match cars.and_then(|cars| received::open(self.desk, cars)) {
                Ok(()) => go(Route::Pulleys),
                Err(fault) => {
                    let _ = self.fault.try_set(Some(fault));
                }
            }
        });
    }
}
