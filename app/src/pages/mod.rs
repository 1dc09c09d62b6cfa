//! The pages: one file each. A page reads the store and hands words to the parts.

mod all_cars;
pub mod belt;
mod board;
mod car;
mod car_file;
mod card;
mod cars;
mod codes;
mod compared;
pub mod day;
mod entry;
mod hand_on;
mod keeping;
mod log;
mod missing;
mod open_file;
pub mod pass;
mod pulleys;
mod received;
mod report;
mod scan;
mod swap;
mod sweep;
mod take;
mod welcome;

pub use pulleys::{Reading, Readings};

use crate::log::Logs;
use crate::parts::live::all;
use crate::parts::pad::Pad;
use crate::parts::strip::Stale;
use crate::parts::undo::undo_bar;
use crate::parts::verdict::{Verdict, verdict_strip};
use crate::shell::route::Route;
use crate::shell::theme::Theme;
use crate::store::{ShownCar, Store};
use crate::words::{faults, fields, names, pulleys as words, verdicts};
use laneside_core::car::entry::Field;
use leptos::prelude::*;

/// What every page works with.
#[derive(Clone, Copy)]
pub struct Desk {
    /// The saved cars and what they give.
    pub store: Store,
    /// The one number pad.
    pub pad: Pad,
    /// The theme in force.
    pub theme: Theme,
    /// The log that is open.
    pub logs: Logs,
}

/// The body of a page.
pub fn page(desk: Desk, route: Route) -> AnyView {
    match route {
        Route::Welcome => welcome::page(desk),
        Route::Board => board::page(desk),
        Route::Cars => cars::page(desk),
        Route::Car => car::page(desk),
        Route::Pulleys => pulleys::page(desk),
        Route::Pass => pass::page(desk),
        Route::Day => day::page(desk),
        Route::Log => log::page(desk),
        Route::Belt => belt::page(desk),
        Route::Swap => swap::page(desk),
        Route::HandOn => hand_on::page(desk),
        Route::Codes => codes::page(desk),
        Route::Scan => scan::page(desk),
        Route::Take => take::page(desk),
        Route::Card => card::page(desk),
        Route::Report => report::page(desk),
    }
}

/// Whose page it is. Made anew for every other car, so that nothing of the one before stays about; not where the same
/// car goes on under another id, which would take the field away from under the person who types.
fn shown_car(store: Store) -> Memo<ShownCar> {
    Memo::new_owning(move |before: Option<ShownCar>| {
        let now = store.shown_car();
        let is_same = before.is_some_and(|before| before == now || store.goes_on_as(before, now));
        (now, !is_same)
    })
}

/// The verdict on the pulley on the car, for the head of every page.
pub fn verdict_of(desk: Desk) -> AnyView {
    let store = desk.store;
    let verdict = Memo::new(move |_| on_car_verdict(store));
    all([
        received::strip(desk),
        verdict_strip(verdict.into(), &Route::Pulleys.href()),
        keeping::notices(store),
    ])
}

fn on_car_verdict(store: Store) -> Option<Verdict> {
    let answer = store.answer()?;
    let Ok(study) = answer.study.as_ref() else {
        return no_verdict(store);
    };
    let mut verdict = verdicts::judged(&answer.car, study, &study.on_car);
    verdict.figure = format!("{}: {}", names::fitted(&answer.car), verdict.figure);
    if store.first_fault().is_some() {
        verdict.figure.push_str(verdicts::old());
    }
    if store.trying().is_some() {
        verdict.figure.push_str(verdicts::trying());
    }
    Some(verdict)
}

/// That there is no verdict, and for want of what: of one entry, or of some that the board does not ask for.
fn no_verdict(store: Store) -> Option<Verdict> {
    let fields = missing::missing(store);
    let first = fields.first()?;
    (fields.len() == 1 || !board::ENTRIES.contains(first)).then(|| {
        let named = missing::named(store);
        verdicts::none_yet(
            named.first().copied().unwrap_or_default(),
            missing::way(&fields),
        )
    })
}

/// That the car is not as it stands there, while a way out is being tried.
fn trying(desk: Desk) -> AnyView {
    let store = desk.store;
    undo_bar(
        Signal::derive(move || store.trying().map(|what| words::trying(&what))),
        (
            words::take_back(),
            Callback::new(move |()| store.take_back()),
        ),
        (words::keep(), Callback::new(move |()| store.keep())),
    )
}

/// What the answers are from before of, if some text was not taken.
fn stale(store: Store) -> Signal<Option<Stale>> {
    Signal::derive(move || {
        let draft = store.first_fault()?;
        let label = fields::label(draft.field);
        Some(Stale {
            text: faults::stale(label, &draft.text),
            action: (
                faults::mend(label),
                page_of(draft.field).href_to(&draft.field.key()),
            ),
        })
    })
}

/// The page that a field stands on.
fn page_of(field: Field) -> Route {
    match field {
        Field::Tried | Field::TriedCrank | Field::TriedRating => Route::Pulleys,
        Field::Name => Route::Cars,
        Field::Elapsed
        | Field::Trap
        | Field::SixtyFoot
        | Field::Gear(_)
        | Field::FinalDrive
        | Field::Tire
        | Field::ConverterSlip
        | Field::ShiftTime
        | Field::PointTime(_)
        | Field::PointSpeed(_)
        | Field::SegmentName(_)
        | Field::SegmentTime(_)
        | Field::SegmentFrom(_)
        | Field::SegmentTo(_)
        | Field::Laps
        | Field::Flow12
        | Field::Flow13
        | Field::Dead12
        | Field::Dead14
        | Field::CoilInductance
        | Field::CoilResistance
        | Field::CoilCurrent => Route::Pass,
        Field::Rounds
        | Field::StepTime(_)
        | Field::StepStarts(_)
        | Field::LateFrom
        | Field::LatePits
        | Field::Ambient
        | Field::ChargerCurrent
        | Field::ChargerVolts
        | Field::StarterCurrent
        | Field::StarterTime
        | Field::LeastVolts
        | Field::ReadingRound
        | Field::ReadingVolts
        | Field::ReadingHours => Route::Day,
        field if belt::has(field) => Route::Belt,
        field if field.is_of_job() => Route::Swap,
        _ => Route::Car,
    }
}
