//! The open car on its way to the disk.

use super::disk::{self, Written};
use super::garage::Listed;
use super::record::{Record, Saved};
use super::{Draft, Store};
use leptos::prelude::*;

/// Where the last change is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Safety {
    /// Saved.
    Saved,
    /// Not in the first store, but in the spare one.
    SpareOnly,
    /// Nowhere but here.
    Unsaved,
}

impl Store {
    /// Where the last change is, tracked.
    pub fn safety(self) -> Safety {
        match (self.saving_failed.get(), self.spare_failed.get()) {
            (false, _) => Safety::Saved,
            (true, false) => Safety::SpareOnly,
            (true, true) => Safety::Unsaved,
        }
    }

    /// The open car as it is written.
    pub(super) fn record(self) -> Option<Record> {
        let answer = self.answer.get_untracked()?;
        let refused = |draft: &&Draft| draft.error.is_some();
        let drafts = self.drafts.with_untracked(|drafts| {
            let refused = drafts.iter().filter(refused);
            refused
                .map(|draft| (draft.field, draft.text.clone()))
                .collect()
        });
        Record::new(&Saved {
            car: answer.car.clone(),
            drafts,
            measures: self.pending.get_untracked(),
            trial: self.trial.get_untracked(),
            note: self.note.get_untracked(),
        })
    }

    pub(super) fn save(self) {
        let (Some(id), Some(answer)) = (self.open.get_untracked(), self.answer.get_untracked())
        else {
            return;
        };
        let now = Listed::new(id, &answer.car);
        let changed = self
            .listed
            .with_untracked(|listed| listed.iter().any(|car| car.id == id && *car != now));
        if changed {
            self.listed.update(|listed| {
                if let Some(car) = listed.iter_mut().find(|car| car.id == id) {
                    *car = now;
                }
            });
        }
        let Some(record) = self.record() else {
            self.note_saving(false);
            return;
        };
        let mut written = disk::write(id, record);
        if written == Written::Elsewhere
            && let Some((id, record)) = self.keep_beside()
        {
            written = disk::write(id, record);
        }
        self.note_saving(written == Written::Kept);
        if !answer.car.invented {
            self.ask_to_stay();
        }
    }

    pub(super) fn note_saving(self, saved: bool) {
        if self.saving_failed.get_untracked() == saved {
            self.saving_failed.set(!saved);
        }
    }
}
