//! Whether the browser promised not to clear what is kept.

use super::Store;
use crate::browser;
use js_sys::futures::JsFuture;
use js_sys::{Promise, Reflect};
use leptos::prelude::*;
use leptos::task::spawn_local;
use wasm_bindgen::JsValue;
use web_sys::StorageManager;

/// That the browser was asked: some ask the person, and nobody wants to be asked at every visit.
const ASKED: &str = "laneside.asked-to-stay";
/// That the person was told of a browser that clears after a week.
const WEEK_TOLD: &str = "laneside.week-told";

impl Store {
    /// Whether what is kept stays for good, tracked; `None` until the browser has answered.
    pub fn stays(self) -> Option<bool> {
        self.stays.get()
    }

    /// Asks once, after the first save of a car of one's own.
    pub(super) fn ask_to_stay(self) {
        if browser::stored(ASKED).is_none() && self.stays.get_untracked() == Some(false) {
            browser::store(ASKED, "1");
            self.ask_again();
        }
    }

    /// Asks the browser not to clear what is kept, and remembers what it says.
    pub fn ask_again(self) {
        self.hear(StorageManager::persist);
    }

    /// Reads what the browser promised before.
    pub(super) fn look_whether_it_stays(self) {
        self.week_told.set(browser::stored(WEEK_TOLD).is_some());
        self.hear(StorageManager::persisted);
    }

    fn hear(self, ask: fn(&StorageManager) -> Result<Promise, JsValue>) {
        // Where there is no such thing to ask, asking throws.
        let asked = ask(&window().navigator().storage());
        spawn_local(async move {
            let answer = match asked {
                Ok(asked) => JsFuture::from(asked).await.ok(),
                Err(_) => None,
            };
            self.stays
                .set(Some(answer.is_some_and(|yes| yes.is_truthy())));
        });
    }

    /// Whether it is to be told that this browser clears what a week without a visit leaves, tracked.
    pub fn may_lose_in_a_week(self) -> bool {
        let is_own = self.with_car(|car| !car.invented) == Some(true);
        is_own && self.stays() == Some(false) && !self.week_told.get() && clears_after_a_week()
    }

    /// Notes that the person knows.
    pub fn close_week_told(self) {
        browser::store(WEEK_TOLD, "1");
        self.week_told.set(true);
    }
}

/// Whether this engine clears what scripts keep after seven days without a visit, unless the page is on the home screen.
/// Its makers document it (Full Third-Party Cookie Blocking and More, WebKit blog, 2020); it names itself by gestures
/// that no other engine has.
fn clears_after_a_week() -> bool {
    let window = window();
    let is_home_screen = Reflect::get(&window.navigator(), &"standalone".into());
    Reflect::has(&window, &"GestureEvent".into()) == Ok(true)
        && !is_home_screen.is_ok_and(|yes| yes.is_truthy())
}
