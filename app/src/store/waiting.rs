//! What came from elsewhere and is not kept yet, written down until it is kept or left: a phone lets go of pages that are
//! out of sight, and what came without signal cannot be asked for again.
//!
//! It lies with the kept passes, under an owner that no car has: each car as a car file, under the time at which it came,
//! with what of its passes was left out before it in a line of its own.

use super::Store;
use super::shelf::{self, ShelfError, WAITING};
use laneside_core::car::several::{self, Carried};
use leptos::prelude::*;
use leptos::task::spawn_local;
use std::sync::Arc;

fn text(one: &Carried) -> Option<String> {
    let (file, left_out) = several::write(&[(&one.car, &one.passes)]).ok()?;
    let surplus = one.surplus + left_out;
    Some(format!("{} {surplus}\n{file}", one.unknown))
}

/// A car that was written down; `None` where this version cannot read it.
pub(super) fn read(text: &str) -> Option<Carried> {
    let (left_out, file) = text.split_once('\n')?;
    let (unknown, surplus) = left_out.split_once(' ')?;
    let mut one = several::read(file).ok()?.pop()?;
    one.unknown += unknown.parse::<usize>().ok()?;
    one.surplus += surplus.parse::<usize>().ok()?;
    Some(one)
}

impl Store {
    /// Writes down what came, one car after the other.
    pub(super) fn note_waiting(self, cars: Vec<(f64, Arc<Carried>)>) {
        spawn_local(async move {
            for (since, one) in cars {
                let written = match text(&one) {
                    Some(text) => shelf::put(WAITING, &[(since, text)]).await,
                    None => Err(ShelfError::Refused),
                };
                // It may have been kept or left while it was being written.
                if !self.waits(since) {
                    forget(since);
                } else if written.is_err() {
                    self.waiting_failed.set(true);
                }
            }
        });
    }

    /// Looks for what came before the app was closed.
    pub(super) fn look_for_waiting(self) {
        spawn_local(async move {
            let texts = shelf::texts(WAITING).await.unwrap_or_default();
            let found = texts
                .iter()
                .filter_map(|(since, text)| Some((*since, read(text)?)));
            let found: Vec<(f64, Carried)> = found.collect();
            if !found.is_empty() {
                self.receive_again(found);
            }
        });
    }
}

/// Lets go of what was written down. Refused, it comes back with the next start: nothing is lost.
pub(super) fn forget(since: f64) {
    spawn_local(async move {
        let _ = shelf::delete(WAITING, since).await;
    });
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
        // As a file holds it: numbers are rounded once.
        let once = read(&text(&one).unwrap()).unwrap();
        assert_eq!((once.unknown, once.surplus), (2, 3));
        assert_eq!(read(&text(&once).unwrap()).unwrap(), once);
        assert_eq!(once.car.to_file().unwrap(), one.car.to_file().unwrap());
    }

    #[test]
    fn what_is_not_understood_is_passed_over() {
        let file = demo::nettle().to_file().unwrap();
        assert!(read(&format!("0 0\n{file}")).is_some());
        for text in [&file[..], "", "0 0\n{}", &format!("0 -1\n{file}")] {
            assert!(read(text).is_none(), "{text}");
        }
    }
}
