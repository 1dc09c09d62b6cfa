//! The job card of a swap, kept with its car: what was expected when it was made stays as it was, with the
//! version of the program; boxes, readings and notes are the person's.
//!
//! How a card is made and read is in [`crate::job`].

use serde::{Deserialize, Serialize};

use super::check::{ALTERNATOR_MM, CRANK_MM, ENGINE_RPM};
use super::check::{Fault, LONGEST_NAME, at_most, name, pulley, range, within};
use super::entry::Field;
use super::{BeltDrive, Drive, is_blank};
use crate::drive::{Hub, Pulley};

/// Longest notes on a card or in the history, in characters.
pub const LONGEST_NOTES: usize = 500;
/// Resistance of one side of the charge path that a card may expect, mOhm.
const PATH_MOHM: (f64, f64) = (0.0, 10_000.0);
/// Voltages that a card may expect, V.
const BAND_V: (f64, f64) = (0.0, 30.0);
/// Length of a belt, mm.
const BELT_LENGTH_MM: (f64, f64) = (0.0, 20_000.0);
/// Static tensions, N.
const TENSION_N: (f64, f64) = (0.0, 1e6);
/// Currents that a card may expect, A.
const BAND_A: (f64, f64) = (0.0, 2_000.0);
/// Engine speeds at which an alternator turns on, as far as a card tells them, rpm.
pub const TURN_ON_RPM: (f64, f64) = (0.0, 100_000.0);

/// An expected number: nominal, and between what it lies.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Band {
    /// With everything as entered.
    pub value: f64,
    /// Lowest that is still as expected.
    pub low: f64,
    /// Highest that is still as expected.
    pub high: f64,
}

impl Band {
    fn ends(&self) -> [f64; 3] {
        [self.value, self.low, self.high]
    }
}

/// What a meter is expected to read with one pair of pulleys.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Expected {
    /// Engine speed to rev to once before it charges, rpm.
    pub turn_on_rpm: f64,
    /// At the battery's posts, at idle, V.
    pub idle_v: Band,
    /// There, at fast idle, V.
    pub fast_idle_v: Band,
    /// There, at fast idle with everything on, V.
    pub all_on_v: Band,
    /// Out of the alternator then, A.
    pub at_a: Band,
    /// The charge lead, mOhm.
    pub lead_mohm: Band,
    /// The ground side, mOhm.
    pub ground_mohm: Band,
}

/// What the meter read.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Readings {
    /// At the battery's posts, at idle, V.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub idle_v: Option<f64>,
    /// There, at fast idle, V.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fast_idle_v: Option<f64>,
    /// There, at fast idle with everything on, V.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub all_on_v: Option<f64>,
    /// Out of the alternator while the drops were read, A.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub at_a: Option<f64>,
    /// Drop over the charge lead, V.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub lead_drop_v: Option<f64>,
    /// Drop over the ground side, V.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ground_drop_v: Option<f64>,
}

impl Readings {
    /// All of them, each with the field that it is typed into, as those before the swap.
    pub fn each(&self) -> [(Field, Option<f64>); 6] {
        [
            (Field::CardVolts(0), self.idle_v),
            (Field::CardVolts(1), self.fast_idle_v),
            (Field::CardVolts(2), self.all_on_v),
            (Field::CardAmps(0), self.at_a),
            (Field::CardDrop(0), self.lead_drop_v),
            (Field::CardDrop(1), self.ground_drop_v),
        ]
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }

    pub(super) fn check(&self) -> Result<(), Fault> {
        self.each()
            .into_iter()
            .filter_map(|(field, found)| Some((field, found?)))
            .try_for_each(|(field, found)| within(field, found))
    }
}

/// One side of the swap: expected, and read.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Side {
    /// What is expected.
    pub expected: Expected,
    /// What was read.
    #[serde(default, skip_serializing_if = "Readings::is_empty")]
    pub readings: Readings,
}

/// A box on the card.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[allow(missing_docs)] // Each is a sentence of the app's words.
pub enum Task {
    // To bring.
    BringPulley,
    BringCrankPulley,
    BringBelt,
    BringWrenches,
    BringShaftHold,
    BringTorque,
    BringStraightedge,
    BringMeter,
    BringClamp,
    BringGlasses,
    // To read with the old pulley.
    ReadBefore,
    // With the engine off.
    EngineOff,
    NegativeOff,
    SketchBelt,
    SlackenBelt,
    Compare,
    NutOff,
    PulleyOn,
    NutTorque,
    CrankPulleyOn,
    Align,
    BeltOn,
    TensionBelt,
    TurnByHand,
    ClearTools,
    NegativeOn,
    // Running again.
    FirstStart,
    MasterSwitch,
    ReadAfter,
    BeltAgain,
    NextLog,
}

/// How a belt serves the new pulley.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Serving {
    /// The belt on the car, or one of its length.
    OwnBelt,
    /// Another one.
    Another,
    /// None of the usual lengths.
    None,
    /// Nothing moves: only one of the length wanted.
    NothingMoves,
}

/// The belt, as far as its drive was measured.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CardBelt {
    /// What serves.
    pub serving: Serving,
    /// Whether that is certain.
    pub certain: bool,
    /// The belt to bring, by its designation.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bring: Option<String>,
    /// Its length as designated; where nothing moves, the length wanted, mm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub length_mm: Option<f64>,
    /// Part of its travel that is behind the tensioner then, 0 to 1.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub of_travel: Option<f64>,
    /// Static tension wanted, N.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tension_n: Option<Band>,
}

impl CardBelt {
    fn check(&self) -> Result<(), Fault> {
        texts(&[self.bring.as_ref()])?;
        range("length_mm", self.length_mm, BELT_LENGTH_MM)?;
        range("of_travel", self.of_travel, (0.0, 1.0))?;
        let ends = self.tension_n.iter().flat_map(Band::ends);
        ends.into_iter()
            .try_for_each(|end| range("tension_n", Some(end), TENSION_N))
    }
}

/// That the swap was made.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Done {
    /// When, as the app wrote it.
    pub on: String,
    /// The number of its entry in the history.
    pub entry: u32,
    /// Belt and pulleys before, to take it back.
    pub drive: Box<Drive>,
    /// The belt drive before.
    #[serde(default, skip_serializing_if = "is_blank")]
    pub belt_drive: Box<BeltDrive>,
}

/// A job card.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct JobCard {
    /// Version of the program that made it.
    pub version: String,
    /// When it was made, as the app wrote it.
    pub made: String,
    /// Alternator pulley on the car then.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub from: Option<Pulley>,
    /// The one to put on.
    pub to: Pulley,
    /// Crank pulley on the car then.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub from_crank: Option<Pulley>,
    /// The one to put on, if that is swapped too.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub to_crank: Option<Pulley>,
    /// Whether the pulley can overrun.
    pub hub: Hub,
    /// Whether the battery is of lithium.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub lithium: bool,
    /// Engine speed of a fast idle, rpm.
    pub fast_idle_rpm: f64,
    /// The phase whose loads run at idle and fast idle, by its id.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub idle_as: Option<String>,
    /// The phase whose loads are everything, by its id; else every load of the list.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub all_on_as: Option<String>,
    /// The belt; `None` while its drive is not measured.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub belt: Option<CardBelt>,
    /// With the pulley on the car.
    pub before: Side,
    /// With the one to put on.
    pub after: Side,
    /// Boxes that are ticked.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub ticked: Vec<Task>,
    /// The person's notes.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub notes: String,
    /// That it was made.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub done: Option<Done>,
}

impl JobCard {
    /// One side: 0 before the swap, 1 after it.
    pub fn side(&self, place: usize) -> &Side {
        if place == 0 {
            &self.before
        } else {
            &self.after
        }
    }

    /// The readings of one side: 0 before the swap, 1 after it.
    pub(super) fn readings_mut(&mut self, place: usize) -> &mut Readings {
        let side = if place == 0 {
            &mut self.before
        } else {
            &mut self.after
        };
        &mut side.readings
    }

    pub(super) fn check(&self) -> Result<(), Fault> {
        texts(&[Some(&self.version), Some(&self.made)])?;
        texts(&[self.idle_as.as_ref(), self.all_on_as.as_ref()])?;
        texts(&[self.done.as_ref().map(|done| &done.on)])?;
        notes(&self.notes)?;
        pulley("swap.from", self.from.as_ref(), ALTERNATOR_MM)?;
        pulley("swap.to", Some(&self.to), ALTERNATOR_MM)?;
        pulley("swap.from_crank", self.from_crank.as_ref(), CRANK_MM)?;
        pulley("swap.to_crank", self.to_crank.as_ref(), CRANK_MM)?;
        let fast_idle = (super::check::IDLE_RPM.0, ENGINE_RPM.1);
        range("swap.fast_idle_rpm", Some(self.fast_idle_rpm), fast_idle)?;
        at_most("ticked", self.ticked.len(), MOST_TICKED)?;
        for side in [&self.before, &self.after] {
            side.readings.check()?;
            let expected = &side.expected;
            range("turn_on_rpm", Some(expected.turn_on_rpm), TURN_ON_RPM)?;
            for (what, band, limits) in [
                ("idle_v", expected.idle_v, BAND_V),
                ("fast_idle_v", expected.fast_idle_v, BAND_V),
                ("all_on_v", expected.all_on_v, BAND_V),
                ("at_a", expected.at_a, BAND_A),
                ("lead_mohm", expected.lead_mohm, PATH_MOHM),
                ("ground_mohm", expected.ground_mohm, PATH_MOHM),
            ] {
                for end in band.ends() {
                    range(what, Some(end), limits)?;
                }
            }
        }
        self.belt.as_ref().map_or(Ok(()), CardBelt::check)?;
        self.done.as_ref().map_or(Ok(()), |done| {
            done.drive.check()?;
            super::check::belt::check(&done.belt_drive)
        })
    }
}

/// Most boxes: there are fewer.
const MOST_TICKED: usize = 60;

/// Short texts, each where it is there.
pub(super) fn texts(texts: &[Option<&String>]) -> Result<(), Fault> {
    let mut texts = texts.iter().flatten();
    texts.try_for_each(|text| name("swap", text))
}

/// Notes: short enough.
pub(super) fn notes(text: &str) -> Result<(), Fault> {
    at_most("characters", text.chars().count(), LONGEST_NOTES)
}

/// A text that the app wrote, cut to what a car may hold.
pub(crate) fn short(text: &str) -> String {
    text.trim().chars().take(LONGEST_NAME).collect()
}
