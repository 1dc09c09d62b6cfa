//! The window of sizes in words.

use crate::words::{names, pulleys, verdicts};
use laneside_core::car::Car;
use laneside_core::study::Study;

/// Which sizes surely work, which may, and what lies beyond.
pub fn window(car: &Car, study: &Study) -> Vec<String> {
    let window = &study.window;
    let size = |mm: f64| names::effective(mm, car.units);
    let sure = window.sure().map_or_else(
        || tell!("No size works for certain with what is known."),
        |(low, high)| say!("Works for certain: {} to {}.", size(low), size(high)),
    );
    let possible = window.possible().map_or_else(
        || tell!("No size can do both."),
        |(low, high)| say!("May work: {} to {}.", size(low), size(high)),
    );
    let edges = say!(
        "Smaller is {}; larger is {}.",
        verdicts::edge_words(car, window.sure_low.limit),
        verdicts::edge_words(car, window.sure_high.limit),
    );
    let what = tell!(
        "True sizes over the belt's working diameter. A pulley that is only called so may be 1/8 in off: put a caliper on the one you mean to use."
    );
    let crank = names::crank_to_try(car)
        .map(|crank| verdicts::capital(&format!("{}.", pulleys::on_crank(&crank))));
    crank
        .into_iter()
        .chain([sure, possible, edges, what])
        .collect()
}

/// Whose sizes are ranked.
pub fn whose_sizes(car: &Car) -> String {
    let whose = say!(if car.drive.on_hand.is_empty() {
        "Common sizes near the window. Enter those on hand on the page Car, and they stand here instead."
    } else {
        "The pulleys on hand."
    });
    match names::crank_to_try(car) {
        Some(crank) => say!("{whose} Judged {}.", pulleys::on_crank(&crank)),
        None => whose.to_owned(),
    }
}
