//! The page Pass: every kind of course, mishaps, and the person's own devices.

use anyhow::{Context, Result};
use laneside_core::car::{Car, CourseKind, demo};
use laneside_tests::browser::Browser;
use serde_json::json;

use crate::visit::{ON_CAR, TO_TRY, Visit};

/// The words of both verdicts, once their spreads are in.
pub async fn words(phone: &Browser) -> Result<(String, String)> {
    let known = "
        const words = arguments[0].map((board) =>
            document.querySelector(board + ' .word')?.innerText ?? '');
        return words.every((word) => word !== '' && word !== 'WORKING OUT')";
    phone
        .wait_until("both verdicts", known, vec![json!([ON_CAR, TO_TRY])])
        .await?;
    let on_car = phone.text(&format!("{ON_CAR} .word")).await?;
    let to_try = phone.text(&format!("{TO_TRY} .word")).await?;
    Ok((on_car, to_try))
}

/// Picks an option of one of the page's pickers by its words, as the phone's own list does.
pub async fn pick(phone: &Browser, id: &str, option: &str) -> Result<()> {
    let pick = "
        const [id, words] = arguments;
        const list = document.querySelector(`select#${id}`);
        const at = [...list?.options ?? []].findIndex((one) => one.text === words);
        if (at < 0) return false;
        list.selectedIndex = at;
        list.dispatchEvent(new Event('change', { bubbles: true }));
        return true";
    let what = format!("{id} to offer {option}");
    phone
        .wait_until(&what, pick, vec![json!(id), json!(option)])
        .await
}

/// Opens every disclosure of the page.
pub async fn open_all(phone: &Browser) -> Result<()> {
    let open = "document.querySelectorAll('main details').forEach((one) => one.open = true)";
    phone.script(open, vec![]).await?;
    phone.settle().await
}

/// The rows of the table of this caption, each with its cells; none while it is not there.
pub async fn rows(phone: &Browser, caption: &str) -> Result<Vec<Vec<String>>> {
    let read = "
        const table = [...document.querySelectorAll('main table')]
            .find((one) => one.caption.innerText === arguments[0]);
        return [...table?.tBodies[0].rows ?? []]
            .map((row) => [...row.cells]
                .map((cell) => cell.innerText.replaceAll('\\u00a0', ' ')))";
    let found = phone.script(read, vec![json!(caption)]).await?;
    Ok(serde_json::from_value(found)?)
}

/// Taps the button with these words.
pub async fn tap_words(phone: &Browser, words: &str) -> Result<()> {
    let mark = "
        document.querySelectorAll('[data-found]').forEach((one) => delete one.dataset.found);
        const button = [...document.querySelectorAll('main button')]
            .find((one) => one.checkVisibility() && one.innerText === arguments[0]);
        if (!button) return false;
        button.dataset.found = '';
        return true";
    phone.wait_until(words, mark, vec![json!(words)]).await?;
    phone.tap("[data-found]").await
}

const MOMENTS: &str = "At the moments that matter";
const COSTS: &str = "What the lowest voltage costs";

#[tokio::test]
async fn both_pulleys_get_a_verdict_tables_and_the_chart_in_words() -> Result<()> {
    let visit = Visit::with(&[demo::nettle()], "pass").await?;
    let phone = &visit.device;
    let (on_car, to_try) = words(phone).await?;
    assert_eq!((on_car.as_str(), to_try.as_str()), ("TOO CLOSE", "HOLDS"));
    let said = "return document.querySelector('canvas').getAttribute('aria-label')";
    let said = phone.script(said, vec![]).await?;
    let said = said.as_str().context("the chart says nothing")?;
    assert!(said.contains("lowest"), "{said}");
    assert!(said.contains("if output over the limit is gone"), "{said}");
    // Launch, two shifts, the lowest, the end: the engine pulls up to the shift and falls by it.
    let moments = rows(phone, MOMENTS).await?;
    assert!(moments.iter().all(|row| row.len() == 5), "{moments:?}");
    let shifts = moments.iter().filter(|row| row[0] == "shift").count();
    assert_eq!(shifts, 2);
    assert_eq!(rows(phone, COSTS).await?.len(), 3);
    phone.wait_text("main", "over the continuous limit").await?;
    visit.end().await
}

#[tokio::test]
async fn the_readout_moves_by_its_buttons_and_back() -> Result<()> {
    let visit = Visit::with(&[demo::nettle()], "pass").await?;
    let phone = &visit.device;
    words(phone).await?;
    let seconds = async || -> Result<f64> {
        let at = phone.text(".readings-at").await?;
        let digits = at.trim_start_matches("at ").split(' ').next();
        Ok(digits.context("no time")?.parse()?)
    };
    let first = seconds().await?;
    let later = ".chart-step:last-child";
    for _ in 0..5 {
        phone.tap(".chart-step:first-child").await?;
    }
    phone.settle().await?;
    let moved = seconds().await?;
    assert!(moved < first, "{moved} s");
    let said = phone
        .script(
            "return document.querySelector('[role=slider]').getAttribute('aria-valuetext')",
            vec![],
        )
        .await?;
    let said = said.as_str().context("the slider says nothing")?;
    let said = said.replace('\u{a0}', " ");
    assert!(said.starts_with(&format!("at {moved:.1} s")), "{said}");
    for _ in 0..5 {
        phone.tap(later).await?;
    }
    phone.settle().await?;
    assert_eq!(seconds().await?, first);
    visit.end().await
}

#[tokio::test]
async fn a_cleared_elapsed_time_is_asked_for_and_all_else_is_kept() -> Result<()> {
    let car = demo::nettle();
    let visit = Visit::with(std::slice::from_ref(&car), "pass").await?;
    let phone = &visit.device;
    words(phone).await?;
    phone.retype("#elapsed", "").await?;
    phone.wait_text("main", "Needed: elapsed time").await?;
    phone.wait_gone("canvas").await?;
    let trap = phone.value("#trap").await?;
    assert!(trap.contains("103"), "{trap}");
    let mut kept = phone.saved_car(1).await?;
    assert_eq!(kept.course.elapsed_s, None);
    kept.course.elapsed_s = car.course.elapsed_s;
    // Sizes are written in millimeters: the same number read back.
    assert_eq!(kept, Car::from_file(&car.to_file()?)?);
    phone.reload().await?;
    phone.wait_text("main", "Needed: elapsed time").await?;
    phone.retype("#elapsed", "6.60").await?;
    phone.wait_for("canvas").await?;
    assert_eq!(words(phone).await?.1, "HOLDS");
    visit.end().await
}

#[tokio::test]
async fn an_absurd_trap_speed_is_told_and_stays_as_it_was_typed() -> Result<()> {
    let visit = Visit::with(&[demo::nettle()], "pass").await?;
    let phone = &visit.device;
    words(phone).await?;
    // No car: out of all range, beside the field; the answers are those from before.
    phone.retype("#trap", "10,000 mph").await?;
    for _ in 0..2 {
        phone.wait_text("#trap-fault", "Found").await?;
        phone.wait_text("#trap-fault", "Needed").await?;
        phone.wait_for(".stale").await?;
        assert_eq!(phone.value("#trap").await?, "10,000 mph");
        phone.reload().await?;
    }
    // A car, but not with this elapsed time.
    phone.retype("#trap", "60 mph").await?;
    for _ in 0..2 {
        phone
            .wait_text("main", "Found a trap speed of 60 mph. Needed for this")
            .await?;
        assert!(phone.value("#trap").await?.contains("60"));
        phone.reload().await?;
    }
    phone.retype("#trap", "103 mph").await?;
    assert_eq!(words(phone).await?.1, "HOLDS");
    visit.end().await
}

#[tokio::test]
async fn a_quarter_mile_laps_and_typed_points_each_give_a_pass() -> Result<()> {
    let visit = Visit::with(&[demo::nettle()], "pass").await?;
    let phone = &visit.device;
    words(phone).await?;
    pick(phone, "course", "Quarter mile").await?;
    phone.retype("#elapsed", "10.40").await?;
    phone.retype("#trap", "128 mph").await?;
    words(phone).await?;
    let end = async || -> Result<String> {
        let moments = rows(phone, MOMENTS).await?;
        let end = moments.into_iter().find(|row| row[0] == "stripe or end");
        Ok(end.context("no end")?[1].clone())
    };
    assert_eq!(end().await?, "10.4 s");

    pick(phone, "course", "Laps").await?;
    phone.wait_text("main", "Needed: one segment").await?;
    tap_words(phone, "Add a segment").await?;
    tap_words(phone, "Add a segment").await?;
    open_all(phone).await?;
    phone.retype("#segment-time-0", "40").await?;
    phone.retype("#segment-from-0", "4,000").await?;
    phone.retype("#segment-to-0", "6,500").await?;
    phone.retype("#segment-time-1", "30").await?;
    phone.retype("#laps", "2").await?;
    words(phone).await?;
    assert_eq!(end().await?, "2:20");

    pick(phone, "course", "Typed rpm points").await?;
    phone.wait_text("main", "Needed: two points").await?;
    for _ in 0..3 {
        tap_words(phone, "Add a point").await?;
    }
    phone.retype("#point-time-2", "7").await?;
    phone.retype("#point-speed-2", "6,800").await?;
    words(phone).await?;
    assert_eq!(end().await?, "7.0 s");
    // A point out of order is told, and the others stay.
    phone.retype("#point-time-1", "9").await?;
    phone.wait_text("#point-time-1-fault", "Found").await?;
    let car = phone.saved_car(1).await?;
    assert_eq!(car.course.kind, CourseKind::Points);
    assert_eq!(car.course.points.len(), 3);
    assert_eq!(car.course.segments.len(), 2);
    assert_eq!(car.course.elapsed_s, Some(10.4));
    visit.end().await
}

#[tokio::test]
async fn a_missed_shift_changes_the_figures_while_it_is_looked_at() -> Result<()> {
    let visit = Visit::with(&[demo::nettle()], "pass").await?;
    let phone = &visit.device;
    words(phone).await?;
    let clean = rows(phone, MOMENTS).await?;
    let over = phone.text("main").await?;
    let line = |text: &str| -> Option<String> {
        let mut lines = text.lines().map(str::to_owned);
        lines.find(|line| line.contains("over the continuous limit"))
    };
    let over = line(&over).context("never over the limit")?;
    let is_other = "
        const line = [...document.querySelectorAll('main p')]
            .find((one) => one.innerText.includes('over the continuous limit'));
        return line !== undefined
            && (line.innerText.replaceAll('\\u00a0', ' ') !== arguments[0]) === arguments[1]";
    for mishap in [
        "A missed shift",
        "On the limiter to the end",
        "A gear too low",
    ] {
        pick(phone, "mishap", mishap).await?;
        phone
            .wait_until(mishap, is_other, vec![json!(over), json!(true)])
            .await?;
        words(phone).await?;
        pick(phone, "mishap", "A clean pass").await?;
        phone
            .wait_until("a clean pass", is_other, vec![json!(over), json!(false)])
            .await?;
    }
    words(phone).await?;
    assert_eq!(rows(phone, MOMENTS).await?, clean);
    visit.end().await
}

#[tokio::test]
async fn the_persons_own_devices_change_what_the_voltage_costs() -> Result<()> {
    let visit = Visit::with(&[demo::nettle()], "pass").await?;
    let phone = &visit.device;
    words(phone).await?;
    open_all(phone).await?;
    let typical = rows(phone, COSTS).await?;
    phone.retype("#flow-12", "100").await?;
    // One number of two says nothing yet.
    phone.settle().await?;
    assert_eq!(rows(phone, COSTS).await?[0], typical[0]);
    phone.retype("#flow-13", "200").await?;
    phone.retype("#dead-12", "2.0").await?;
    phone.retype("#dead-14", "0.5").await?;
    phone.settle().await?;
    let own = rows(phone, COSTS).await?;
    assert_ne!(own[0], typical[0]);
    assert_ne!(own[1], typical[1]);
    assert_eq!(own[2], typical[2]);
    phone.reload().await?;
    words(phone).await?;
    assert_eq!(rows(phone, COSTS).await?, own);
    visit.end().await
}
