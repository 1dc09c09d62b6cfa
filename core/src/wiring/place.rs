//! Where a voltage is read, and what that place shows.

use serde::{Deserialize, Serialize};

use crate::data::memory::Default as Range;
use crate::data::wiring_memory::{TO_DASH_OHM, TO_ENGINE_COMPUTER_OHM};

/// A place where voltage is read.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Place {
    /// The alternator's stud.
    Stud,
    /// The battery's posts.
    #[default]
    Battery,
    /// The engine computer's supply, as it logs it.
    EngineComputer,
    /// A dash or a logger of its own.
    Dash,
}

impl Place {
    /// All of them, for pickers.
    pub const ALL: [Self; 4] = [Self::Stud, Self::Battery, Self::EngineComputer, Self::Dash];

    /// Resistance between the battery and the place for the whole car's load, with its
    /// range (from memory), ohm; none at the posts and at the stud.
    pub const fn path_ohm(self) -> Range {
        match self {
            Self::Stud | Self::Battery => Range {
                value: 0.0,
                lowest: 0.0,
                highest: 0.0,
            },
            Self::EngineComputer => TO_ENGINE_COMPUTER_OHM,
            Self::Dash => TO_DASH_OHM,
        }
    }
}

/// A place with what is known of it: turns the car's voltages into what is shown there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reader {
    /// The place.
    pub place: Place,
    /// Resistance from the battery to it for the whole car's load, ohm.
    pub path_ohm: f64,
    /// What it shows over what is there, V.
    pub offset_v: f64,
}

impl Reader {
    /// A meter at the battery's posts.
    pub const POSTS: Self = Self {
        place: Place::Battery,
        path_ohm: 0.0,
        offset_v: 0.0,
    };

    /// A place that nobody has calibrated.
    pub fn typical(place: Place) -> Self {
        Self {
            place,
            path_ohm: place.path_ohm().value,
            offset_v: 0.0,
        }
    }

    /// What it shows with the battery's posts at `node_v` (V), the alternator's stud at
    /// `stud_v` (V) and a whole load of `load_a` (A), V.
    pub fn shows_v(&self, node_v: f64, stud_v: f64, load_a: f64) -> f64 {
        let there = match self.place {
            Place::Stud => stud_v,
            Place::Battery | Place::EngineComputer | Place::Dash => node_v - load_a * self.path_ohm,
        };
        there + self.offset_v
    }

    /// The voltage at the battery's posts behind a shown one (V); of the stud, less the
    /// drop (V) of the charge path.
    pub fn node_v(&self, shown_v: f64, load_a: f64, path_drop_v: f64) -> f64 {
        let there = shown_v - self.offset_v;
        match self.place {
            Place::Stud => there - path_drop_v,
            Place::Battery | Place::EngineComputer | Place::Dash => there + load_a * self.path_ohm,
        }
    }

    /// Calibrates the offset by one meter reading at the very place (V), taken while it
    /// showed `shown_v` (V).
    #[must_use]
    pub fn calibrated(self, meter_v: f64, shown_v: f64) -> Self {
        Self {
            offset_v: shown_v - meter_v,
            ..self
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_shown_leads_back_to_the_battery() {
        for place in Place::ALL {
            let reader = Reader::typical(place).calibrated(13.9, 13.6);
            assert!((reader.offset_v + 0.3).abs() < 1e-12);
            let shown = reader.shows_v(13.8, 14.2, 45.0);
            assert!(
                (reader.node_v(shown, 45.0, 0.4) - 13.8).abs() < 1e-12,
                "{place:?}"
            );
        }
    }

    #[test]
    fn a_dash_shows_less_under_load() {
        let dash = Reader::typical(Place::Dash);
        assert!(dash.shows_v(13.8, 14.2, 60.0) < dash.shows_v(13.8, 14.2, 10.0));
        assert_eq!(Reader::typical(Place::Stud).shows_v(13.8, 14.2, 60.0), 14.2);
    }
}
