//! Making a card, its boxes in their order, and whether it still is what would be made now.

use super::belt::card_belt;
use super::expect::{Scenes, expected};
use crate::battery::Chemistry;
use crate::car::Car;
use crate::car::swap::{Band, CardBelt, JobCard, Side, Task, short};
use crate::study::Study;

/// Version of the program, for what stays as it was.
const VERSION: &str = env!("CARGO_PKG_VERSION");
/// What may differ without being another figure: voltages and milliohms.
const SAME: f64 = 0.011;

/// A part of the card.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    /// What to bring.
    Bring,
    /// Readings with the old pulley, engine running.
    Before,
    /// The work, engine off.
    Off,
    /// Running again, readings with the new pulley.
    Again,
}

impl Part {
    /// All of them, in order.
    pub const ALL: [Self; 4] = [Self::Bring, Self::Before, Self::Off, Self::Again];
}

/// What a card made now would have otherwise.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Changed {
    /// Another pulley, on the car or to put on.
    pub pulleys: bool,
    /// Another belt, or it ends up elsewhere.
    pub belt: bool,
    /// Other expected readings.
    pub expected: bool,
    /// Another version of the program.
    pub version: bool,
}

impl JobCard {
    /// A card for putting on the pulley to try; `None` without one. `made` is when, as the app writes it.
    ///
    /// ```
    /// use laneside_core::car::demo;
    /// use laneside_core::car::swap::JobCard;
    /// use laneside_core::study::Study;
    ///
    /// let car = demo::nettle();
    /// let card = JobCard::new(&car, &Study::new(&car).unwrap(), "today").unwrap();
    /// assert_eq!(card.from, car.drive.fitted);
    /// assert!(card.after.expected.idle_v.high > 13.0);
    /// ```
    pub fn new(car: &Car, study: &Study, made: &str) -> Option<Self> {
        let tried = study.tried.as_ref()?;
        let tolerances = &study.tolerances;
        let scenes = Scenes::new(car, tolerances);
        let side = |judged| Side {
            expected: expected(tolerances, judged, &scenes),
            ..Side::default()
        };
        let chemistry = car.battery.chemistry;
        Some(Self {
            version: VERSION.to_owned(),
            made: short(made),
            from: car.drive.fitted,
            to: tried.pulley,
            from_crank: car.drive.crank,
            to_crank: car.drive.tried_crank,
            hub: car.drive.hub,
            lithium: chemistry == Some(Chemistry::LithiumIronPhosphate),
            belt: card_belt(car, study),
            before: side(&study.on_car),
            after: side(&tried.judged),
            fast_idle_rpm: scenes.fast_idle_rpm,
            idle_as: scenes.idle_as,
            all_on_as: scenes.all_on_as,
            ticked: Vec::new(),
            notes: String::new(),
            done: None,
        })
    }

    /// What is otherwise on a card made of the same car now; `None` where nothing is, and once the swap was made.
    pub fn outdated(&self, now: &Self) -> Option<Changed> {
        let pulleys = |card: &Self| (card.from, card.to, card.from_crank, card.to_crank, card.hub);
        let same = |one: Band, other: Band| {
            let near = |one: f64, other: f64| (one - other).abs() < SAME;
            near(one.low, other.low) && near(one.high, other.high)
        };
        let sides = [(&self.before, &now.before), (&self.after, &now.after)];
        let as_expected = sides.into_iter().all(|(one, other)| {
            let (one, other) = (&one.expected, &other.expected);
            same(one.idle_v, other.idle_v)
                && same(one.fast_idle_v, other.fast_idle_v)
                && same(one.all_on_v, other.all_on_v)
                && same(one.lead_mohm, other.lead_mohm)
                && same(one.ground_mohm, other.ground_mohm)
        });
        let changed = Changed {
            pulleys: pulleys(self) != pulleys(now),
            belt: !same_belt(self.belt.as_ref(), now.belt.as_ref()),
            expected: !as_expected || self.lithium != now.lithium,
            version: self.version != now.version,
        };
        (self.done.is_none() && changed != Changed::default()).then_some(changed)
    }

    /// This card made anew: of what the person put on it stays what still holds. Readings before stay with the
    /// pulley that they were read with, boxes with the pulleys of the job; notes always.
    #[must_use]
    pub fn remade(&self, mut now: Self) -> Self {
        let is_same_job = self.to == now.to && self.to_crank == now.to_crank;
        if self.from == now.from && self.from_crank == now.from_crank {
            now.before.readings = self.before.readings;
            if is_same_job {
                now.ticked.clone_from(&self.ticked);
            }
        }
        if is_same_job {
            now.after.readings = self.after.readings;
        }
        now.notes.clone_from(&self.notes);
        now
    }

    /// The boxes of a part, in their order.
    pub fn tasks(&self, part: Part) -> Vec<Task> {
        let all: &[Task] = match part {
            Part::Bring => &[
                Task::BringPulley,
                Task::BringCrankPulley,
                Task::BringBelt,
                Task::BringWrenches,
                Task::BringShaftHold,
                Task::BringTorque,
                Task::BringStraightedge,
                Task::BringMeter,
                Task::BringClamp,
                Task::BringGlasses,
            ],
            Part::Before => &[Task::ReadBefore],
            Part::Off => &[
                Task::EngineOff,
                Task::NegativeOff,
                Task::SketchBelt,
                Task::SlackenBelt,
                Task::NutOff,
                Task::Compare,
                Task::PulleyOn,
                Task::NutTorque,
                Task::CrankPulleyOn,
                Task::Align,
                Task::BeltOn,
                Task::TensionBelt,
                Task::TurnByHand,
                Task::ClearTools,
                Task::NegativeOn,
            ],
            Part::Again => &[
                Task::FirstStart,
                Task::ReadAfter,
                Task::MasterSwitch,
                Task::BeltAgain,
                Task::NextLog,
            ],
        };
        let has_crank = self.to_crank.is_some();
        let is_asked = |task: &Task| {
            has_crank || !matches!(task, Task::BringCrankPulley | Task::CrankPulleyOn)
        };
        all.iter().copied().filter(is_asked).collect()
    }

    /// How many boxes are ticked, of how many.
    pub fn progress(&self) -> (usize, usize) {
        let all = Part::ALL.map(|part| self.tasks(part)).concat();
        let ticked = all.iter().filter(|task| self.ticked.contains(task));
        (ticked.count(), all.len())
    }

    /// Ticks a box, or takes the tick off.
    pub fn toggle(&mut self, task: Task) {
        if self.ticked.contains(&task) {
            self.ticked.retain(|other| *other != task);
        } else {
            self.ticked.push(task);
        }
    }
}

/// Whether the same belt serves, and ends up within a hundredth of the travel.
fn same_belt(one: Option<&CardBelt>, other: Option<&CardBelt>) -> bool {
    let (Some(one), Some(other)) = (one, other) else {
        return one.is_none() && other.is_none();
    };
    let travel = |belt: &CardBelt| belt.of_travel.unwrap_or(-1.0);
    let key = |belt: &CardBelt| (belt.serving, belt.certain, belt.bring.clone());
    key(one) == key(other) && (travel(one) - travel(other)).abs() < 0.01
}
