//! Readings and notes of the job card and of the history.

use super::Field;
use crate::car::Car;
use crate::car::swap::Readings;

/// The reading of a field.
fn slot(readings: &mut Readings, field: Field) -> Option<&mut Option<f64>> {
    Some(match field {
        Field::CardVolts(place) => match place % VOLTS {
            0 => &mut readings.idle_v,
            1 => &mut readings.fast_idle_v,
            _ => &mut readings.all_on_v,
        },
        Field::CardDrop(place) => match place % DROPS {
            0 => &mut readings.lead_drop_v,
            _ => &mut readings.ground_drop_v,
        },
        Field::CardAmps(_) => &mut readings.at_a,
        _ => return None,
    })
}

/// Voltages of one side of the card, and drops.
const VOLTS: usize = 3;
const DROPS: usize = 2;

/// The side of the card that a field belongs to: 0 before the swap, 1 after it.
fn side(field: Field) -> Option<usize> {
    let side = match field {
        Field::CardVolts(place) => place / VOLTS,
        Field::CardDrop(place) => place / DROPS,
        Field::CardAmps(place) => place,
        _ => return None,
    };
    (side < 2).then_some(side)
}

pub(super) fn get(car: &Car, field: Field) -> Option<f64> {
    let mut readings = car.swap.as_ref()?.side(side(field)?).readings;
    *slot(&mut readings, field)?
}

/// Puts a reading, or takes it out; nothing happens without a card.
pub(super) fn put(car: &mut Car, field: Field, value: Option<f64>) {
    if let (Some(card), Some(side)) = (&mut car.swap, side(field))
        && let Some(slot) = slot(card.readings_mut(side), field)
    {
        *slot = value;
    }
    car.write_through();
}

/// The notes of the card, or of an entry of the history by its place.
pub(super) fn notes(car: &Car, field: Field) -> Option<&String> {
    match field {
        Field::HistoryNotes(place) => car.history.get(place).map(|entry| &entry.notes),
        _ => car.swap.as_ref().map(|card| &card.notes),
    }
}

pub(super) fn put_notes(car: &mut Car, field: Field, text: &str) {
    match (field, &mut car.swap) {
        (Field::HistoryNotes(place), _) => {
            if let Some(entry) = car.history.get_mut(place) {
                text.clone_into(&mut entry.notes);
            }
            return;
        }
        (_, Some(card)) => text.clone_into(&mut card.notes),
        (_, None) => {}
    }
    car.write_through();
}
