//! The words of what is shown to others: the card, the report, the picture of the chart.

use crate::words::{names, verdicts};
use laneside_core::car::Car;
use laneside_core::quantity::show;
use laneside_core::study::Study;

pub fn back() -> &'static str {
    say!("Back")
}
pub fn print() -> &'static str {
    say!("Print")
}
pub fn share_picture() -> &'static str {
    say!("Share as a picture")
}
pub fn no_verdict() -> &'static str {
    say!(
        "There is no verdict on this car yet: enter its pulleys, engine speeds and alternator first."
    )
}
pub fn paper() -> &'static str {
    say!("Below is what is printed, on A4 or letter.")
}
pub fn assumed() -> &'static str {
    say!("Assumed")
}
pub fn chart_heading() -> &'static str {
    say!("Alternator speed and output over engine speed")
}
pub fn sources() -> &'static str {
    say!("What it rests on")
}
pub fn code_note() -> &'static str {
    say!("This car as a link, without its belt drive, pass, day and history:")
}
pub fn computed() -> &'static str {
    say!(
        "Computed, not inspected. Makers' limits, the rule book, local rules and licensed practice come first."
    )
}
/// The end of the name of the card's picture.
pub const CARD_END: &str = "-card.png";

/// The engine in one line.
pub fn engine(car: &Car, study: &Study) -> String {
    let params = &study.tolerances.nominal().params;
    let crank = car
        .drive
        .crank
        .map_or_else(String::new, |crank| names::size(car, &crank));
    say!(
        "Crank pulley {crank}, idle {} rpm, limiter {} rpm",
        show::grouped(params.idle_rpm, 0),
        show::grouped(params.limiter_rpm, 0)
    )
}

/// The speed limit that the verdicts are held against.
pub fn limit(study: &Study) -> String {
    let limit = study
        .on_car
        .speeds
        .first()
        .map_or_else(String::new, verdicts::limit);
    let assumed = if study.tolerances.resolved().limits.assumed {
        say!(" (limit assumed)")
    } else {
        ""
    };
    say!("Speed limit of the alternator {limit} rpm{assumed}.")
}

/// When, and by what.
pub fn signed(date: &str) -> String {
    say!("{date}, Laneside {}", env!("CARGO_PKG_VERSION"))
}

/// The lines over the picture of the chart.
pub fn chart_title(car: &Car, date: &str) -> Vec<String> {
    vec![
        say!(
            "{}: alternator speed and output over engine speed",
            car.name
        ),
        signed(date),
    ]
}
