//! The page Day: its steps, its rounds, and the day that runs out.

use anyhow::{Context, Result};
use laneside_core::car::{Car, demo};
use laneside_tests::browser::Browser;
use laneside_tests::cars;
use serde_json::json;

use crate::pass::{open_all, pick, tap_words, words};
use crate::visit::{ON_CAR, TO_TRY, Visit};

/// The rounds with the pulley on the car and with the one to try, each row with its cells.
async fn rounds(phone: &Browser) -> Result<[Vec<Vec<String>>; 2]> {
    let read = "
        return [...document.querySelectorAll('main table')].map((table) =>
            [...table.tBodies[0].rows].map((row) => [...row.cells].map((cell) => cell.innerText)))";
    let found = phone.script(read, vec![]).await?;
    serde_json::from_value(found).context("not two tables of rounds")
}

/// What the steps of a round say while they are closed.
async fn steps(phone: &Browser) -> Result<Vec<String>> {
    let read = "
        return [...document.querySelectorAll('main details.item > summary')]
            .map((one) => one.innerText.replace(/\\s+/g, ' '))";
    Ok(serde_json::from_value(phone.script(read, vec![]).await?)?)
}

/// Waits until the steps are so many.
async fn are(phone: &Browser, count: usize) -> Result<()> {
    let are = "return document.querySelectorAll('main details.item').length === arguments[0]";
    let what = format!("{count} steps");
    phone.wait_until(&what, are, vec![json!(count)]).await
}

async fn visit(car: &Car) -> Result<Visit> {
    let visit = Visit::with(std::slice::from_ref(car), "day").await?;
    words(&visit.device).await?;
    Ok(visit)
}

#[tokio::test]
async fn both_pulleys_get_a_verdict_and_a_row_a_round_with_signal_or_without() -> Result<()> {
    let mut visit = visit(&demo::nettle()).await?;
    let phone = &visit.device;
    let both = words(phone).await?;
    let six = rounds(phone).await?;
    assert!(six.iter().all(|rounds| rounds.len() == 6), "{six:?}");
    phone.retype("#rounds", "9").await?;
    let are = "
        return [...document.querySelectorAll('main table')]
            .every((table) => table.tBodies[0].rows.length === 9)";
    phone.wait_until("nine rounds", are, vec![]).await?;
    words(phone).await?;
    let nine = rounds(phone).await?;
    for (six, nine) in six.iter().zip(&nine) {
        assert_eq!(six[..], nine[..6], "what was stays as it was");
    }
    let chart = "return document.querySelector('canvas').getAttribute('aria-label')";
    let said = phone.script(chart, vec![]).await?;
    let said = said.as_str().context("the chart says nothing")?;
    for rounds in &nine {
        let end = format!("{} % charged at the end", rounds[8][1]);
        assert!(said.replace('\u{a0}', " ").contains(&end), "{said}, {end}");
    }
    visit.lose_signal()?;
    let visit = visit.start_cold().await?;
    visit.device.go("day").await?;
    assert_eq!(words(&visit.device).await?, both);
    assert_eq!(rounds(&visit.device).await?, nine);
    visit.end().await
}

#[tokio::test]
async fn every_step_can_be_changed_added_and_taken_out() -> Result<()> {
    let visit = visit(&demo::nettle()).await?;
    let phone = &visit.device;
    let usual = steps(phone).await?;
    assert_eq!(usual.len(), 9);
    let before = rounds(phone).await?;
    open_all(phone).await?;
    for (place, _) in usual.iter().enumerate() {
        phone.wait_for(&format!("#step-time-{place}")).await?;
        phone.wait_for(&format!("#step-starts-{place}")).await?;
        phone.wait_for(&format!("#step-phase-{place}")).await?;
    }
    // Looking at them has changed nothing.
    assert_eq!(steps(phone).await?, usual);
    assert_eq!(rounds(phone).await?, before);

    phone.retype("#step-time-1", "12").await?;
    phone.retype("#step-starts-1", "3").await?;
    let line = "main details.item:nth-of-type(2) > summary";
    phone.wait_text(line, "12 min, 3 starts").await?;
    words(phone).await?;
    assert_ne!(rounds(phone).await?, before);

    tap_words(phone, "Add a step").await?;
    are(phone, 10).await?;
    open_all(phone).await?;
    pick(phone, "step-phase-9", "return road").await?;
    phone.retype("#step-time-9", "90 s").await?;
    phone
        .wait_text("main details.item:nth-of-type(10) > summary", "return road")
        .await?;
    let day = phone.saved_car(1).await?.day;
    assert_eq!(day.steps.len(), 10);
    assert_eq!((day.steps[1].seconds, day.steps[1].starts), (720.0, 3));
    assert_eq!(day.steps[9].phase, "return_road");
    assert_eq!(day.steps[9].seconds, 90.0);

    let gone = "main details.item:nth-of-type(1) .plain";
    phone.tap(gone).await?;
    are(phone, 9).await?;
    let left = phone.saved_car(1).await?.day.steps;
    assert_eq!(left[..], day.steps[1..]);
    phone.reload().await?;
    words(phone).await?;
    let after = steps(phone).await?;
    assert_eq!(after.len(), 9);
    assert!(after[0].contains("12 min, 3 starts"), "{after:?}");
    visit.end().await
}

#[tokio::test]
async fn another_kind_of_day_has_its_own_steps() -> Result<()> {
    let visit = visit(&demo::nettle()).await?;
    let phone = &visit.device;
    let bracket = steps(phone).await?;
    pick(phone, "day-kind", "Test and tune").await?;
    are(phone, 8).await?;
    words(phone).await?;
    assert_ne!(steps(phone).await?, bracket);
    pick(phone, "day-kind", "Bracket day").await?;
    are(phone, 9).await?;
    assert_eq!(steps(phone).await?, bracket);
    visit.end().await
}

#[tokio::test]
async fn without_a_charger_a_small_battery_may_run_out_and_what_saves_it_is_said() -> Result<()> {
    let visit = visit(&cars::may_run_out()).await?;
    let phone = &visit.device;
    let (on_car, to_try) = words(phone).await?;
    assert_eq!(on_car, "TOO CLOSE");
    assert_eq!(to_try, "TOO CLOSE");
    for board in [ON_CAR, TO_TRY] {
        phone.wait_text(board, "May end in round").await?;
    }
    phone.wait_text("main", "What saves the day").await?;
    phone.wait_text("main", "The charger on").await?;
    let ended = rounds(phone).await?;
    for rounds in &ended {
        let ends = rounds.iter().position(|row| row[0].ends_with("ends"));
        assert!(ends.is_some_and(|round| round > 0), "{rounds:?}");
    }
    // The charger on all the while in the pits, by one tap.
    open_all(phone).await?;
    phone
        .tap("main details.item:nth-of-type(1) label.option:nth-of-type(1)")
        .await?;
    phone
        .wait_text("main details.item:nth-of-type(1) > summary", "charger on")
        .await?;
    let no_end = "
        return [...document.querySelectorAll('main tbody th')]
            .every((one) => !one.innerText.endsWith('ends'))";
    phone.wait_until("no end", no_end, vec![]).await?;
    words(phone).await?;
    for board in [ON_CAR, TO_TRY] {
        let said = phone.text(board).await?;
        assert!(!said.contains("May end"), "{said}");
    }
    visit.end().await
}

#[tokio::test]
async fn a_reading_moves_what_comes_after_it_and_nothing_before() -> Result<()> {
    let visit = visit(&demo::nettle()).await?;
    let phone = &visit.device;
    let before = rounds(phone).await?;
    open_all(phone).await?;
    phone.retype("#reading-volts", "12.0").await?;
    phone.retype("#reading-round", "4").await?;
    phone
        .wait_until(
            "the fourth round follows",
            "return document.querySelector('main tbody tr:nth-child(4) td').innerText
                !== arguments[0]",
            vec![json!(before[0][3][1])],
        )
        .await?;
    words(phone).await?;
    let after = rounds(phone).await?;
    for (before, after) in before.iter().zip(&after) {
        // The third round ends where the reading was made, and says so.
        assert_eq!(before[..2], after[..2]);
        for at in 3..6 {
            let charge = |rows: &[Vec<String>]| rows[at][1].parse::<f64>();
            assert!(charge(after)? < charge(before)?, "round {}", at + 1);
        }
    }
    // Cleared, the day is as it was.
    phone.retype("#reading-volts", "").await?;
    phone
        .wait_until(
            "the day without a reading",
            "return document.querySelector('main tbody tr:nth-child(4) td').innerText
                === arguments[0]",
            vec![json!(before[0][3][1])],
        )
        .await?;
    words(phone).await?;
    assert_eq!(rounds(phone).await?, before);
    visit.end().await
}

/// What the same day comes to in other ways follows an entry late. Until then all of it is of the car before.
#[tokio::test]
async fn the_other_ways_are_never_of_two_cars_at_once() -> Result<()> {
    let visit = visit(&demo::nettle()).await?;
    let phone = &visit.device;
    phone.wait_text("main", "And if").await?;
    phone.settle().await?;
    let change = "
        const [done] = arguments;
        const head = [...document.querySelectorAll('main h2')].find((one) => one.innerText === 'And if');
        const part = head.parentElement, seen = new Set([part.textContent]);
        new MutationObserver(() => seen.add(part.textContent))
            .observe(part, { childList: true, subtree: true, characterData: true });
        const least = document.getElementById('least-volts');
        least.value = '10.5';
        least.dispatchEvent(new Event('input', { bubbles: true }));
        const end = () => part.hasAttribute('aria-busy') ? setTimeout(end, 20) : done([...seen]);
        setTimeout(end, 50);";
    let seen = phone.script_later(change, vec![]).await?;
    let seen: Vec<String> = serde_json::from_value(seen)?;
    assert_eq!(seen.len(), 2, "{seen:#?}");
    visit.end().await
}
