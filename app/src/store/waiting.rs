//! What came from elsewhere and is not kept yet, written down until it is kept or left: a phone lets go of pages that are
//! out of sight, and what came without signal cannot be asked for again.
//!
//! It lies with the kept passes, under an owner that no car has: each car as a car file behind a line with when it came
//! and what of its passes was left out before. Where it lies follows from what it is, so that what comes twice, or into
//! two windows, is there once and goes at once.

use super::Store;
use super::shelf::{self, ShelfError, WAITING};
use crate::browser::storage;
use laneside_core::car::several::{self, Carried};
use leptos::prelude::*;
use leptos::task::spawn_local;
use std::sync::Arc;
use std::time::Duration;

/// By this key other windows are told what was let go of.
pub(super) const GONE: &str = "laneside.gone";
/// Until what is kept lies elsewhere, its passes too.
const KEPT_AFTER: Duration = Duration::from_secs(1);

/// Where a car lies, and what lies there behind when it came.
struct Record {
    place: f64,
    text: String,
}

impl Record {
    fn of(one: &Carried) -> Option<Self> {
        let (file, left_out) = several::write(&[(&one.car, &one.passes)]).ok()?;
        let surplus = one.surplus + left_out;
        let text = format!("{} {surplus}\n{file}", one.unknown);
        // FNV-1a; of its bits those that a number of scripts holds.
        let hash = text.bytes().fold(0xcbf2_9ce4_8422_2325, |hash: u64, byte| {
            (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3)
        });
        let place = (hash >> 11) as f64;
        Some(Self { place, text })
    }
}

/// A car that was written down, and when it came; `None` where this version cannot read it.
pub(super) fn read(text: &str) -> Option<(f64, Carried)> {
    let (line, file) = text.split_once('\n')?;
    let mut numbers = line.split(' ');
    let came = numbers.next()?.parse().ok()?;
    let mut one = several::read(file).ok()?.pop()?;
    one.unknown += numbers.next()?.parse::<usize>().ok()?;
    one.surplus += numbers.next()?.parse::<usize>().ok()?;
    Some((came, one))
}

impl Store {
    /// Writes down what came, each with its number, one after the other.
    pub(super) fn note_waiting(self, cars: Vec<(u32, Arc<Carried>)>) {
        let now = js_sys::Date::now();
        spawn_local(async move {
            for (at, (number, one)) in cars.into_iter().enumerate() {
                if !self.waits(number) {
                    continue;
                }
                let came = now + at as f64;
                let written = match Record::of(&one) {
                    Some(Record { place, text }) => {
                        shelf::put(WAITING, &[(place, format!("{came} {text}"))]).await
                    }
                    None => Err(ShelfError::Refused),
                };
                // It may have been kept or left while it was being written.
                if self.waits(number) {
                    self.fates
                        .update(|fates| fates.push((number, written.is_ok())));
                } else {
                    forget(one);
                }
            }
        });
    }

    /// Looks for what came before the app was closed.
    pub(super) async fn look_for_waiting(self) {
        let texts = shelf::texts(WAITING).await.unwrap_or_default();
        let found = texts.iter().filter_map(|(_, text)| read(text));
        let mut found: Vec<(f64, Carried)> = found.collect();
        found.sort_by(|(one, _), (other, _)| one.total_cmp(other));
        if !found.is_empty() {
            self.receive_again(found.into_iter().map(|(_, one)| one));
        }
    }

    /// Another window kept or left what lies there.
    pub(super) fn let_go(self, place: &str) {
        self.drop_waiting(|one| {
            Record::of(one).is_some_and(|record| record.place.to_string() == place)
        });
    }
}

/// Lets go of what was written down, in all windows. Refused, it comes back with the next start: nothing is lost.
pub(super) fn forget(one: Arc<Carried>) {
    spawn_local(async move {
        let Some(Record { place, .. }) = Record::of(&one) else {
            return;
        };
        let _ = shelf::delete(WAITING, place).await;
        if let Some(storage) = storage() {
            // Where there is no room for it, the other windows find out at their next start.
            let _ = storage.set_item(GONE, &place.to_string());
            let _ = storage.remove_item(GONE);
        }
    });
}

/// As [`forget`], of what is one's own from now on: once that is written.
pub(super) fn forget_kept(one: Arc<Carried>) {
    set_timeout(move || forget(one), KEPT_AFTER);
}

#[cfg(test)]
mod tests {
    use super::*;
    use laneside_core::car::demo;

    #[test]
    fn what_is_written_down_reads_the_same() {
        let one = Carried {
            car: demo::nettle(),
            passes: Vec::new(),
            unknown: 2,
            surplus: 3,
        };
        let written = |one: &Carried| format!("17.5 {}", Record::of(one).unwrap().text);
        // As a file holds it: numbers are rounded once.
        let (came, once) = read(&written(&one)).unwrap();
        assert_eq!((came, once.unknown, once.surplus), (17.5, 2, 3));
        assert_eq!(read(&written(&once)).unwrap().1, once);
        assert_eq!(once.car.to_file().unwrap(), one.car.to_file().unwrap());
    }

    #[test]
    fn what_is_the_same_lies_in_one_place() {
        let one = |car| Carried {
            car,
            passes: Vec::new(),
            unknown: 0,
            surplus: 0,
        };
        let place = |one: &Carried| Record::of(one).unwrap().place;
        let nettle = place(&one(demo::nettle()));
        assert_eq!(nettle, place(&one(demo::nettle())));
        assert_ne!(nettle, place(&one(demo::tansy())));
        assert!(nettle.fract() == 0.0 && nettle < 9_007_199_254_740_992.0);
    }

    #[test]
    fn what_is_not_understood_is_passed_over() {
        let file = demo::nettle().to_file().unwrap();
        assert!(read(&format!("1 0 0\n{file}")).is_some());
        for text in [
            &file[..],
            "",
            "1 0 0\n{}",
            &format!("1 0\n{file}"),
            &format!("1 0 -1\n{file}"),
        ] {
            assert!(read(text).is_none(), "{text}");
        }
    }
}
