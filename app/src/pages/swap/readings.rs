//! What the meter is expected to read, what it read, and what that means.

use crate::pages::Desk;
use crate::pages::entry::entry_field;
use crate::parts::held::Held;
use crate::parts::live::{all, live, live_option, live_text};
use crate::parts::table::table;
use crate::words::swap as words;
use laneside_core::car::Car;
use laneside_core::car::entry::Field;
use laneside_core::car::swap::JobCard;
use laneside_core::job::{Reading, Standing};
use leptos::prelude::*;

/// The field that a reading is typed into.
const fn field(side: usize, reading: Reading) -> Field {
    match reading {
        Reading::Idle => Field::CardVolts(3 * side),
        Reading::FastIdle => Field::CardVolts(3 * side + 1),
        Reading::AllOn => Field::CardVolts(3 * side + 2),
        Reading::LeadDrop => Field::CardDrop(2 * side),
        Reading::GroundDrop => Field::CardDrop(2 * side + 1),
    }
}

fn with_card(desk: Desk, read: impl FnOnce(&JobCard) -> String) -> String {
    let read = |car: &Car| car.swap.as_ref().map(read);
    desk.store.with_car(read).flatten().unwrap_or_default()
}

/// The readings of one side: 0 before the swap, 1 after it.
pub fn readings(desk: Desk, side: usize) -> AnyView {
    let [idle, fast_idle, all_on, lead, ground] =
        Reading::ALL.map(|reading| one(desk, side, reading));
    view! {
        <div class="screen-only">
            <p class="note">{words::meter()}</p>
            {idle} {fast_idle} {all_on} {amps(desk, side)} {lead} {ground}
        </div>
    }
    .into_any()
}

fn one(desk: Desk, side: usize, reading: Reading) -> AnyView {
    let label = untrack(|| with_card(desk, |card| words::reading(card, reading)));
    let expected = move || with_card(desk, |card| words::expected(card, side, reading));
    let told = live_option(move || {
        let scale = |car: &Car| {
            let scale = car.alternator.nominal.scale();
            car.swap.as_ref()?.told(side, reading, scale)
        };
        let told = desk.store.with_car(scale).flatten()?;
        let class = match told.standing {
            Standing::Within if told.points_to.is_empty() => "told",
            _ => "told outside",
        };
        Some(view! { <p class=class>{words::told(&told)}</p> }.into_any())
    });
    view! {
        <div class="reading">
            {entry_field(desk, field(side, reading))
                .labeled(label)
                .note(Signal::derive(expected))
                .view(desk.pad)} <div aria-live="polite">{told}</div>
        </div>
    }
    .into_any()
}

fn amps(desk: Desk, side: usize) -> AnyView {
    let expected = move || with_card(desk, |card| words::expected_amps(card, side));
    let field = entry_field(desk, Field::CardAmps(side)).labeled(words::amps_label().to_owned());
    field.note(Signal::derive(expected)).view(desk.pad)
}

/// What was read before the swap beside what was read after it, once something was. A drop says something only with the
/// current that it was read at, so that stands with it.
pub fn beside(desk: Desk) -> AnyView {
    let rows = Held::new(move || {
        let after = |reading: Reading| !desk.store.entered(field(1, reading)).is_empty();
        let [idle, fast_idle, all_on, lead, ground] = Reading::ALL.map(|reading| {
            let name = with_card(desk, |card| words::reading(card, reading));
            after(reading).then(|| pair(desk, name, |side| field(side, reading)))
        });
        let is_loaded = lead.is_some()
            || ground.is_some()
            || !desk.store.entered(Field::CardAmps(1)).is_empty();
        let name = words::amps_label().to_owned();
        let amps = is_loaded.then(|| pair(desk, name, Field::CardAmps));
        let rows = [idle, fast_idle, all_on, amps, lead, ground];
        rows.into_iter().flatten().collect::<Vec<_>>()
    });
    let is_read = Held::new(move || !rows.get().is_empty());
    live_option(move || {
        is_read.get().then(|| {
            let [before, after] = words::sides();
            let head = [words::printed()[0], before, after].map(str::to_owned);
            let head = head.to_vec();
            let table = table(words::beside(), Signal::stored(head), rows);
            view! { <div class="screen-only" id="card-beside">{table}</div> }.into_any()
        })
    })
}

/// A name with what was taken of a field before the swap and after it.
fn pair(desk: Desk, name: String, field: impl Fn(usize) -> Field) -> Vec<String> {
    let [before, after] = [0, 1].map(|side| {
        let text = desk.store.entered(field(side));
        match text.is_empty() {
            true => words::not_read().to_owned(),
            false => text,
        }
    });
    vec![name, before, after]
}

/// Both sides as a table, for paper.
pub fn printed(desk: Desk) -> AnyView {
    let rows = move || {
        let each = Reading::ALL.map(|reading| row(desk, reading));
        let [idle, fast_idle, all_on, lead, ground] = each;
        let rows = [idle, fast_idle, all_on, amps_row(desk), lead, ground]
            .into_iter()
            .map(|cells| {
                let cells = cells
                    .into_iter()
                    .map(|cell| view! { <td>{cell}</td> }.into_any());
                view! { <tr>{all(cells.collect::<Vec<_>>())}</tr> }.into_any()
            });
        all(rows.collect::<Vec<_>>())
    };
    let head = words::printed().map(|head| view! { <th scope="col">{head}</th> }.into_any());
    view! {
        <section class="paper-only">
            <h2>{words::readings()}</h2>
            <table>
                <thead>
                    <tr>{all(head)}</tr>
                </thead>
                <tbody>{live(rows)}</tbody>
            </table>
            <p class="note">{words::meter()}</p>
            <p class="note">{live_text(move || with_card(desk, words::what_is_on))}</p>
        </section>
    }
    .into_any()
}

fn row(desk: Desk, reading: Reading) -> [String; 5] {
    let cell = |side: usize| {
        [
            with_card(desk, |card| words::printed_band(card, side, reading)),
            desk.store.text(field(side, reading)),
        ]
    };
    let ([before, read_before], [after, read_after]) = (cell(0), cell(1));
    let name = with_card(desk, |card| words::reading(card, reading));
    [name, before, read_before, after, read_after]
}

fn amps_row(desk: Desk) -> [String; 5] {
    let cell = |side: usize| {
        let expected = with_card(desk, |card| words::amps(card, side));
        [expected, desk.store.text(Field::CardAmps(side))]
    };
    let ([before, read_before], [after, read_after]) = (cell(0), cell(1));
    [
        words::amps_label().to_owned(),
        before,
        read_before,
        after,
        read_after,
    ]
}
