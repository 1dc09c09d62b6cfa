//! A log that is read, looked through by the person's rules and as the log of the car as it is now.

use super::OpenLog;
use super::link::Link;
use super::told::{Ask, Told};
use crate::store::Store;
use laneside_core::car::Car;
use laneside_core::log::analysis::analyze;
use laneside_core::log::passes::Rules;
use laneside_core::log::{Analysis, Known};
use leptos::leptos_dom::helpers::TimeoutHandle;
use leptos::prelude::*;
use std::sync::Arc;
use std::time::Duration;

/// Up to so many voltages the page looks through a log by itself: some milliseconds.
const HERE: usize = 60_000;
/// Of longer ones, once nothing has changed for so long.
const SETTLED_AFTER: Duration = Duration::from_millis(300);

/// What a log was found to hold, kept up to date.
#[derive(Clone, Copy)]
pub struct Look {
    /// All of it; while a long log is looked through anew, what was found before.
    pub found: RwSignal<Option<Arc<Analysis>>>,
    /// Whether it is being looked through.
    pub working: RwSignal<bool>,
    /// Who looks.
    link: StoredValue<Option<Link>, LocalStorage>,
    waiting: StoredValue<Option<TimeoutHandle>>,
}

impl Look {
    /// Follows the rules and what the car says.
    pub fn start(store: Store, log: Arc<OpenLog>, rules: RwSignal<Rules>) -> Self {
        let look = Self {
            found: RwSignal::new(None),
            working: RwSignal::new(false),
            link: StoredValue::new_local(None),
            waiting: StoredValue::new(None),
        };
        let known = crate::parts::held::Held::new(move || store.with_car(Known::of));
        on_cleanup(move || look.stop());
        Effect::new(move || {
            let (known, rules) = (known.get(), rules.get());
            look.stop();
            // As the worker found it, as long as nothing else is known or asked.
            let first = log
                .analysis
                .as_ref()
                .filter(|(then, _)| known.as_ref() == Some(then) && rules == Rules::default());
            if let Some((_, analysis)) = first {
                look.found.set(Some(Arc::clone(analysis)));
                return;
            }
            let known = known.unwrap_or_else(Known::nothing);
            if log.recording.volts.len() <= HERE {
                let analysis = analyze(&log.recording, &known, &rules);
                look.found.set(Some(Arc::new(analysis)));
                return;
            }
            look.working.set(true);
            let log = Arc::clone(&log);
            let begin = move || look.begin(store, &log, &known, &rules);
            let handle = set_timeout_with_handle(begin, SETTLED_AFTER).ok();
            look.waiting.set_value(handle);
        });
        look
    }

    fn begin(self, store: Store, log: &Arc<OpenLog>, known: &Known, rules: &Rules) {
        let car = untrack(|| store.with_car(Car::clone));
        let car = car.and_then(|car| car.to_file().ok()).unwrap_or_default();
        let asked = serde_json::to_string(rules).unwrap_or_default();
        let first = Ask::Look(Arc::clone(&log.recording), asked, car);
        let (log, known, rules) = (Arc::clone(log), known.clone(), rules.clone());
        let link = Link::start(first, move |told| {
            let found = match told {
                Told::Ready | Told::Progress(_) => return,
                Told::Looked(text) => Analysis::from_text(&text),
                _ => None,
            };
            // Where the worker failed, the page takes its time.
            let found = found.unwrap_or_else(|| analyze(&log.recording, &known, &rules));
            self.found.set(Some(Arc::new(found)));
            self.working.set(false);
            self.link.set_value(None);
        });
        self.link.set_value(Some(link));
    }

    fn stop(self) {
        if let Some(Some(handle)) = self.waiting.try_update_value(Option::take) {
            handle.clear();
        }
        let _ = self.link.try_set_value(None);
        let _ = self.working.try_set(false);
    }
}
