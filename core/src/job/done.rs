//! The swap made, and taken back; what is written into the history.

use crate::belt::BeltSize;
use crate::car::history::{Entry, Event, MOST_ENTRIES, Machine};
use crate::car::swap::{Done, JobCard, Readings, Serving, short};
use crate::car::{Car, Drive, RatioBy};
use crate::drive::Pulley;

/// There is no room left in the history: an entry has to be deleted first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("the history holds {MOST_ENTRIES} entries, which is all it may")]
pub struct HistoryFull;

/// Belt and pulleys once those of the card are on.
fn fitted(drive: &Drive, card: &JobCard) -> Drive {
    let mut after = drive.clone();
    after.fitted = Some(card.to);
    after.tried = None;
    if card.to_crank.is_some() {
        after.crank = card.to_crank;
        after.tried_crank = None;
    }
    // The one that came off lies in the toolbox now, the other no longer.
    after.on_hand.retain(|pulley| *pulley != card.to);
    if let Some(off) = drive.fitted
        && !after.on_hand.contains(&off)
        && after.on_hand.len() < crate::car::check::MOST_ON_HAND
    {
        after.on_hand.push(off);
    }
    // A ratio that was counted or read was that of the pulley that came off.
    if after.ratio_by != RatioBy::Sizes {
        after.crank_turns = None;
        after.alternator_turns = None;
        after.read_engine = None;
        after.read_alternator = None;
        if after.crank.is_some() {
            after.ratio_by = RatioBy::Sizes;
        }
    }
    after
}

impl Car {
    /// The car once the pulley of its card is on, with an entry in the history. Without a card, or with one that
    /// is done, it stays as it is.
    ///
    /// # Errors
    /// [`HistoryFull`].
    pub fn swapped(&self, date: &str) -> Result<Self, HistoryFull> {
        let mut car = self.clone();
        let Some(card) = car.swap.as_mut().filter(|card| card.done.is_none()) else {
            return Ok(car);
        };
        let before = std::mem::replace(&mut car.drive, fitted(&self.drive, card));
        let removed = before.fitted;
        let number = next_number(&self.history);
        card.done = Some(Done {
            on: short(date),
            entry: number,
            drive: Box::new(before),
            belt_drive: Box::new(car.belt_drive.clone()),
        });
        let belt = card.belt.clone();
        let bring = belt.as_ref().and_then(|belt| belt.bring.clone());
        if let Some(belt) = belt.filter(|belt| belt.serving == Serving::Another) {
            car.belt_drive.belt_mm = belt.length_mm.or(car.belt_drive.belt_mm);
            car.belt_drive.belt_half_width_mm = None;
        }
        // What was measured was the tension of the belt as it ran.
        car.belt_drive.tension_n = None;
        car.belt_drive.tension_half_width_n = None;
        car.write(Event::Swapped, date, removed)?;
        if let (Some(entry), Some(bring)) = (car.history.last_mut(), bring) {
            entry.belt = bring;
        }
        car.write_through();
        Ok(car)
    }

    /// The car as before the swap of its card was made: the entry in the history goes, the card stays.
    #[must_use]
    pub fn unswapped(&self) -> Self {
        let mut car = self.clone();
        let Some((card, done)) = car.swap.as_mut().and_then(|card| {
            let done = card.done.take()?;
            Some((card, done))
        }) else {
            return car;
        };
        if car.drive == fitted(&done.drive, card) {
            car.drive = *done.drive;
        } else {
            // What was entered since then stays, but for what the swap moved.
            car.drive.tried = Some(card.to);
            car.drive.fitted = done.drive.fitted;
            if card.to_crank.is_some() {
                car.drive.tried_crank = card.to_crank;
                car.drive.crank = done.drive.crank;
            }
        }
        car.belt_drive = *done.belt_drive;
        car.history.retain(|entry| entry.number != done.entry);
        car
    }

    /// The car with an entry of what is on it now.
    ///
    /// # Errors
    /// [`HistoryFull`].
    pub fn noted(&self, event: Event, date: &str) -> Result<Self, HistoryFull> {
        let mut car = self.clone();
        car.write(event, date, None)?;
        Ok(car)
    }

    fn write(
        &mut self,
        event: Event,
        date: &str,
        removed: Option<Pulley>,
    ) -> Result<(), HistoryFull> {
        if self.history.len() >= MOST_ENTRIES {
            return Err(HistoryFull);
        }
        self.history.push(Entry {
            number: next_number(&self.history),
            date: short(date),
            event,
            crank: self.drive.crank,
            pulley: self.drive.fitted,
            removed,
            belt: self.belt_called(),
            machine: Machine::of(&self.alternator),
            before: Readings::default(),
            after: Readings::default(),
            notes: String::new(),
        });
        Ok(())
    }

    /// The designation of the belt on the car; empty where it is not known.
    fn belt_called(&self) -> String {
        let ribs = self.belt_drive.ribs.filter(|ribs| *ribs > 0);
        let size = ribs.zip(self.belt_drive.belt_mm);
        let called = |(ribs, length_mm)| BeltSize::ribbed(ribs, length_mm).designation();
        size.map(called)
            .map_or_else(String::new, |text| short(&text))
    }

    /// Carries readings and notes of a card that is done into its entry of the history.
    pub(crate) fn write_through(&mut self) {
        let Some((card, done)) = self.swap.as_ref().and_then(|card| {
            let done = card.done.as_ref()?;
            Some((card, done))
        }) else {
            return;
        };
        let entry = self.history.iter_mut();
        if let Some(entry) = entry.into_iter().find(|entry| entry.number == done.entry) {
            entry.before = card.before.readings;
            entry.after = card.after.readings;
            entry.notes.clone_from(&card.notes);
        }
    }
}

fn next_number(history: &[Entry]) -> u32 {
    let highest = history.iter().map(|entry| entry.number).max();
    highest.map_or(1, |highest| highest.saturating_add(1))
}
