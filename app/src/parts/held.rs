//! A value worked out from signals and held until they change, told on only when it differs.
//!
//! A memo of the view library brings some kilobytes of code for each type that it holds. Behind a box all
//! share one.

use leptos::prelude::*;
use std::any::Any;
use std::marker::PhantomData;
use std::sync::Arc;

/// A value behind a box: the same only if it is the very same.
#[derive(Clone)]
struct Boxed(Arc<dyn Any + Send + Sync>);

impl PartialEq for Boxed {
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.0, &other.0)
    }
}

type Work = Box<dyn Fn(Option<&Boxed>) -> Boxed + Send + Sync>;

fn memo(work: Work) -> Memo<Boxed> {
    Memo::new(work)
}

/// A value that is held.
pub struct Held<T>(Memo<Boxed>, PhantomData<fn() -> T>);

impl<T> Clone for Held<T> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<T> Copy for Held<T> {}

impl<T: Clone + Default + PartialEq + Send + Sync + 'static> Held<T> {
    /// Works it out anew whenever a signal read in `work` changes.
    pub fn new(work: impl Fn() -> T + Send + Sync + 'static) -> Self {
        let work: Work = Box::new(move |before| {
            let new = work();
            let same = before.filter(|before| before.0.downcast_ref::<T>() == Some(&new));
            same.cloned().unwrap_or_else(|| Boxed(Arc::new(new)))
        });
        Self(memo(work), PhantomData)
    }

    /// The value, tracked.
    pub fn get(self) -> T {
        cast(&self.0.get())
    }

    /// The value, untracked.
    pub fn get_untracked(self) -> T {
        cast(&self.0.get_untracked())
    }

    /// Reads something off the value, tracked.
    pub fn with<R>(self, read: impl FnOnce(&T) -> R) -> R {
        let held = self.0.get();
        match held.0.downcast_ref() {
            Some(value) => read(value),
            // What is put in is what is taken out.
            None => read(&T::default()),
        }
    }
}

fn cast<T: Clone + Default + 'static>(held: &Boxed) -> T {
    held.0.downcast_ref().cloned().unwrap_or_default()
}

impl<T: Clone + Default + PartialEq + Send + Sync + 'static> From<Held<T>> for Signal<T> {
    fn from(held: Held<T>) -> Self {
        Self::derive(move || held.get())
    }
}
