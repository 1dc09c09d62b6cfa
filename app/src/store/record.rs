//! A saved car as text: the car's file, and what goes with it.

use super::{LogNote, Trial};
use laneside_core::car::Car;
use laneside_core::car::entry::Field;
use laneside_core::drive::Measure;
use serde::{Deserialize, Serialize};

/// A saved car as it is written.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub(super) struct Record {
    file: String,
    /// Grows from save to save, whatever the clock does; 0 in one of an earlier version.
    #[serde(default)]
    pub(super) stamp: f64,
    /// Which text of a version without stamps this was made of; 0 if of none.
    #[serde(default)]
    pub(super) base: u32,
    #[serde(default)]
    drafts: Vec<(String, String)>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    measures: Vec<(String, Measure)>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    trial: Option<RecordedTrial>,
    #[serde(default, skip_serializing_if = "LogNote::is_empty")]
    log: LogNote,
}

#[derive(Clone, Debug, Serialize, Deserialize)]
struct RecordedTrial {
    what: String,
    before: String,
    tried: String,
}

/// A saved car with what goes with it.
pub(super) struct Saved {
    pub(super) car: Car,
    /// The texts that were not taken.
    pub(super) drafts: Vec<(Field, String)>,
    /// How pulleys were measured whose size is not taken yet.
    pub(super) measures: Vec<(Field, Measure)>,
    pub(super) trial: Option<Trial>,
    pub(super) note: LogNote,
}

impl Saved {
    /// The car without what is only tried.
    pub(super) fn own_car(self) -> Car {
        match self.trial {
            Some(trial) => trial.without(&self.car),
            None => self.car,
        }
    }
}

impl Record {
    pub(super) fn new(saved: &Saved) -> Option<Self> {
        let trial = match &saved.trial {
            Some(trial) => Some(RecordedTrial {
                what: trial.what.clone(),
                before: trial.before.to_file().ok()?,
                tried: trial.tried.to_file().ok()?,
            }),
            None => None,
        };
        Some(Self {
            file: saved.car.to_file().ok()?,
            stamp: 0.0,
            base: 0,
            drafts: keyed(&saved.drafts),
            measures: keyed(&saved.measures),
            trial,
            log: saved.note.clone(),
        })
    }

    /// Whose passes are this car's.
    pub(super) fn owner(&self) -> Option<f64> {
        self.log.owner
    }

    pub(super) fn from_text(text: &str) -> Option<Self> {
        serde_json::from_str(text).ok()
    }

    pub(super) fn to_text(&self) -> Option<String> {
        serde_json::to_string(self).ok()
    }

    /// Whether this is a later state of a car than the entry is. One without a stamp may be later than any, unless it is
    /// the very one that this was made of.
    pub(super) fn is_newer_than(&self, entry: &str) -> bool {
        Self::from_text(entry).is_some_and(|other| {
            if other.stamp > 0.0 {
                self.stamp > other.stamp
            } else {
                self.base == mark_of(entry)
            }
        })
    }

    pub(super) fn read(&self) -> Option<Saved> {
        let trial = self.trial.as_ref().and_then(|trial| {
            Some(Trial {
                what: trial.what.clone(),
                before: Car::from_file(&trial.before).ok()?,
                tried: Car::from_file(&trial.tried).ok()?,
            })
        });
        Some(Saved {
            car: Car::from_file(&self.file).ok()?,
            drafts: unkeyed(&self.drafts),
            measures: unkeyed(&self.measures),
            trial,
            note: self.log.clone(),
        })
    }
}

/// A number by which a text is known again (FNV-1a, 32 bits).
pub(super) fn mark_of(text: &str) -> u32 {
    let mix = |mark: u32, byte: u8| (mark ^ u32::from(byte)).wrapping_mul(16_777_619);
    text.bytes().fold(2_166_136_261, mix)
}

fn keyed<T: Clone>(fields: &[(Field, T)]) -> Vec<(String, T)> {
    let key = |(field, with): &(Field, T)| (field.key(), with.clone());
    fields.iter().map(key).collect()
}

/// Keys that name no field are passed over.
fn unkeyed<T: Clone>(keys: &[(String, T)]) -> Vec<(Field, T)> {
    let field = |(key, with): &(String, T)| Some((Field::from_key(key)?, with.clone()));
    keys.iter().filter_map(field).collect()
}
