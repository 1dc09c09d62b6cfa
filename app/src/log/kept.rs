//! The passes kept with the open car: read once it is opened, written one by one.

use crate::store::shelf::{self, ShelfError};
use crate::store::{Store, Told};
use laneside_core::log::kept::KeptPass;
use leptos::prelude::*;
use leptos::task::spawn_local;
use std::sync::Arc;
use std::time::Duration;

/// The start has other things to do.
const CLEAR_AFTER: Duration = Duration::from_secs(4);

/// A kept pass with its number, by which it is found again.
#[derive(Clone, Debug)]
pub struct Entry {
    /// When it was kept, ms: no other pass of the car has it.
    pub number: f64,
    /// The pass.
    pub pass: Arc<KeptPass>,
}

impl PartialEq for Entry {
    fn eq(&self, other: &Self) -> bool {
        self.number == other.number && Arc::ptr_eq(&self.pass, &other.pass)
    }
}

/// Passes with the numbers from this one on.
fn entries(first: f64, passes: Vec<KeptPass>) -> Vec<Entry> {
    let passes = passes.into_iter().enumerate();
    passes
        .map(|(place, pass)| Entry {
            number: first + place as f64,
            pass: Arc::new(pass),
        })
        .collect()
}

/// A pass that the browser did not keep, and why: it is here until the app is closed.
struct Unwritten {
    owner: f64,
    entry: Entry,
    error: ShelfError,
}

/// The kept passes of the open car.
#[derive(Clone, Copy)]
pub struct Kept {
    store: Store,
    /// All of them, the oldest first.
    pub all: RwSignal<Vec<Entry>>,
    /// Why the browser did not keep some of them.
    pub trouble: RwSignal<Option<ShelfError>>,
    /// Whether some could not be read.
    pub unreadable: RwSignal<bool>,
    /// What was deleted last, and can be had back.
    pub deleted: RwSignal<Option<Entry>>,
    /// Whose passes these are.
    loaded: StoredValue<Option<f64>>,
    /// Whether what the phone holds of them has come in.
    came_in: StoredValue<bool>,
    /// Those of any car that were not kept.
    unwritten: StoredValue<Vec<Unwritten>>,
}

impl Kept {
    /// Follows the open car.
    pub fn start(store: Store) -> Self {
        let kept = Self {
            store,
            all: RwSignal::new(Vec::new()),
            trouble: RwSignal::new(None),
            unreadable: RwSignal::new(false),
            deleted: RwSignal::new(None),
            loaded: StoredValue::new(None),
            came_in: StoredValue::new(false),
            unwritten: StoredValue::new(Vec::new()),
        };
        kept.clear_up();
        let owner = Memo::new(move |_| (store.open_id(), store.note().owner));
        Effect::new(move || {
            let (_, owner) = owner.get();
            if let Some(passes) = store.received_passes() {
                kept.load(None);
                kept.all.set(entries(0.0, passes));
                return;
            }
            // A list that was begun by keeping is whole already.
            if owner.is_none() || kept.loaded.get_value() != owner {
                kept.load(owner);
            }
        });
        kept
    }

    fn load(self, owner: Option<f64>) {
        self.all.set(self.unwritten_of(owner));
        self.trouble.set(self.trouble_of(owner));
        self.unreadable.set(false);
        self.deleted.set(None);
        self.loaded.set_value(owner);
        self.came_in.set_value(owner.is_none());
        let Some(owner) = owner else {
            return;
        };
        spawn_local(async move {
            let found = shelf::texts(owner).await;
            // Another car may have been opened meanwhile.
            if untrack(|| self.store.note()).owner != Some(owner) {
                return;
            }
            match found {
                Ok(texts) => {
                    let count = texts.len();
                    let read = texts.into_iter().filter_map(|(number, text)| {
                        let pass = Arc::new(KeptPass::from_text(&text)?);
                        Some(Entry { number, pass })
                    });
                    let read: Vec<Entry> = read.collect();
                    self.unreadable.set(read.len() < count);
                    self.came_in.set_value(true);
                    // What was kept while this was read stays.
                    self.all.update(|all| {
                        all.retain(|one| read.iter().all(|other| other.number != one.number));
                        all.splice(0..0, read);
                        all.sort_by(|one, other| one.number.total_cmp(&other.number));
                    });
                }
                Err(error) => self.trouble.set(Some(error)),
            }
        });
    }

    /// Keeps passes with the open car.
    pub fn keep(self, passes: Vec<KeptPass>) {
        if passes.is_empty() || self.store.refuses() {
            return;
        }
        let Some(owner) = self.store.owner() else {
            return;
        };
        if self.loaded.get_value() != Some(owner) {
            self.loaded.set_value(Some(owner));
            self.came_in.set_value(true);
            self.all.set(Vec::new());
        }
        let last = self
            .all
            .with_untracked(|all| all.last().map(|one| one.number));
        let first = js_sys::Date::now().max(last.unwrap_or(0.0) + 1.0);
        let entries = entries(first, passes);
        self.all.update(|all| all.extend(entries.iter().cloned()));
        let name = untrack(|| self.store.with_car(|car| car.name.clone()));
        self.write(owner, entries, name.unwrap_or_default());
    }

    /// Keeps passes with a saved car that is not open, by whose they are and its name.
    pub fn keep_with(self, owner: f64, passes: Vec<KeptPass>, name: String) {
        self.write(owner, entries(js_sys::Date::now(), passes), name);
    }

    /// The kept passes of a saved car, the oldest first, those among them that the browser did not keep; and whether
    /// that is all of them: some may be unreadable.
    pub async fn passes(self, owner: f64) -> (Vec<KeptPass>, bool) {
        let (texts, is_read) = self.texts(owner).await;
        let passes: Vec<KeptPass> = texts
            .iter()
            .filter_map(|text| KeptPass::from_text(text))
            .collect();
        let is_whole = is_read && passes.len() == texts.len();
        (passes, is_whole)
    }

    /// As [`Kept::passes`], of the car that is shown now. Read anew, since its list may still be coming in; where that
    /// fails, what has come in is taken.
    pub fn of_shown(self) -> impl Future<Output = (Vec<KeptPass>, bool)> {
        let owner = untrack(|| self.store.note()).owner;
        let all = self.all.get_untracked().into_iter();
        let listed: Vec<KeptPass> = all.map(|one| (*one.pass).clone()).collect();
        let is_listed = self.loaded.get_value() == owner;
        let is_whole = is_listed && self.came_in.get_value() && !self.unreadable.get_untracked();
        async move {
            let Some(owner) = owner else {
                return (listed, is_whole);
            };
            let (passes, is_all) = self.passes(owner).await;
            if !is_all && is_listed && listed.len() > passes.len() {
                return (listed, is_whole);
            }
            (passes, is_all)
        }
    }

    /// The texts of them, by number; and whether those that the browser kept could be read.
    async fn texts(self, owner: f64) -> (Vec<String>, bool) {
        let read = shelf::texts(owner).await;
        let is_read = read.is_ok();
        let mut texts = read.unwrap_or_default();
        let unwritten = self.unwritten_of(Some(owner)).into_iter();
        texts.extend(unwritten.filter_map(|entry| Some((entry.number, entry.pass.to_text()?))));
        texts.sort_by(|one, other| one.0.total_cmp(&other.0));
        (texts.into_iter().map(|(_, text)| text).collect(), is_read)
    }

    fn write(self, owner: f64, entries: Vec<Entry>, name: String) {
        spawn_local(async move {
            let mut refused = Vec::new();
            let mut texts = Vec::new();
            let mut written = Vec::new();
            for entry in entries {
                match entry.pass.to_text() {
                    Some(text) => {
                        texts.push((entry.number, text));
                        written.push(entry);
                    }
                    None => refused.push((entry, ShelfError::Refused)),
                }
            }
            if !texts.is_empty()
                && let Err(error) = shelf::put(owner, &texts).await
            {
                refused.extend(written.drain(..).map(|entry| (entry, error)));
            }
            let before = self.trouble_of(Some(owner));
            self.unwritten.update_value(|all| {
                all.retain(|one| one.owner != owner || !written.contains(&one.entry));
                for (entry, error) in &refused {
                    let entry = entry.clone();
                    if !all
                        .iter()
                        .any(|one| one.owner == owner && one.entry == entry)
                    {
                        all.push(Unwritten {
                            owner,
                            entry,
                            error: *error,
                        });
                    }
                }
            });
            if !refused.is_empty() {
                self.store.tell(Told::Passes(name));
            }
            self.tell_trouble(owner, before);
        });
    }

    /// Tells of the passes of an owner that are not kept. A later one that is kept keeps none of those before it, and
    /// is no word on passes that could not be read.
    fn tell_trouble(self, owner: f64, before: Option<ShelfError>) {
        let now = self.trouble_of(Some(owner));
        if now != before && self.loaded.get_value() == Some(owner) {
            self.trouble.set(now);
        }
    }

    fn unwritten_of(self, owner: Option<f64>) -> Vec<Entry> {
        self.unwritten.with_value(|all| {
            let of = all.iter().filter(|one| Some(one.owner) == owner);
            of.map(|one| one.entry.clone()).collect()
        })
    }

    fn trouble_of(self, owner: Option<f64>) -> Option<ShelfError> {
        self.unwritten.with_value(|all| {
            let mut of = all.iter().filter(|one| Some(one.owner) == owner);
            of.next().map(|one| one.error)
        })
    }

    /// Deletes a pass; it can be had back until another is deleted.
    pub fn delete(self, number: f64) {
        if self.store.refuses() {
            return;
        }
        let Some(owner) = untrack(|| self.store.note()).owner else {
            return;
        };
        let mut deleted = None;
        self.all.update(|all| {
            if let Some(place) = all.iter().position(|one| one.number == number) {
                deleted = Some(all.remove(place));
            }
        });
        self.deleted.set(deleted);
        let before = self.trouble_of(Some(owner));
        self.unwritten
            .update_value(|all| all.retain(|one| one.owner != owner || one.entry.number != number));
        self.tell_trouble(owner, before);
        let name = untrack(|| self.store.with_car(|car| car.name.clone()));
        spawn_local(async move {
            // Refused, it comes back with the next start: nothing is lost.
            let _ = shelf::delete(owner, number).await;
            // There may be room now for those that found none.
            self.write(
                owner,
                self.unwritten_of(Some(owner)),
                name.unwrap_or_default(),
            );
        });
    }

    /// Brings the deleted pass back to its place.
    pub fn undelete(self) {
        let (Some(entry), Some(owner)) = (
            self.deleted.get_untracked(),
            untrack(|| self.store.note()).owner,
        ) else {
            return;
        };
        self.deleted.set(None);
        self.all.update(|all| {
            let place = all.partition_point(|one| one.number < entry.number);
            all.insert(place, entry.clone());
        });
        let name = untrack(|| self.store.with_car(|car| car.name.clone()));
        self.write(owner, vec![entry], name.unwrap_or_default());
    }

    /// Deletes the passes of cars that are gone for good. What a profile holds that could not be read is not known:
    /// while there is one, nothing is deleted.
    fn clear_up(self) {
        let clear = move || {
            if !untrack(|| self.store.aside()).is_empty() {
                return;
            }
            spawn_local(async move {
                let Ok(owners) = shelf::owners().await else {
                    return;
                };
                let known = self.store.owners();
                for owner in owners.into_iter().filter(|owner| !known.contains(owner)) {
                    // Refused, the next start tries again.
                    let _ = shelf::delete_all(owner).await;
                }
            });
        };
        set_timeout(clear, CLEAR_AFTER);
    }
}
