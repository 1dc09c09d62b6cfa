//! The pages Pass and Day, and the battery and wiring that they rest on.

use anyhow::{Context, Result};
use laneside_core::battery::Chemistry;
use laneside_core::car::{Course, CourseKind, demo};
use laneside_core::quantity::volts;
use laneside_core::race::{DayStudy, PassStudy};
use laneside_core::study::Study;
use laneside_tests::cars;

use crate::visit::{ON_CAR, TO_TRY, Visit};

/// The word of the verdict on a pulley.
fn word(board: &str) -> String {
    format!("{board} .word")
}

/// The first number of a text.
fn number(text: &str) -> Result<f64> {
    let digits: String = text
        .chars()
        .skip_while(|sign| !sign.is_ascii_digit())
        .take_while(|sign| sign.is_ascii_digit() || *sign == '.')
        .collect();
    digits
        .parse()
        .with_context(|| format!("no number in {text}"))
}

#[tokio::test]
async fn the_pass_shows_what_the_core_finds() -> Result<()> {
    let car = demo::nettle();
    let study = Study::new(&car).ok().context("no study")?;
    let mut visit = Visit::with(std::slice::from_ref(&car), "pass").await?;
    let phone = &visit.device;
    phone.wait_text(&word(ON_CAR), "TOO CLOSE").await?;
    phone.wait_text(&word(TO_TRY), "HOLDS").await?;
    let pass = PassStudy::new(&car, &study.tolerances, &study.on_car)?;
    let gone = pass.gone.as_ref().context("the limit is met")?;
    let said = format!("{:.1} V if it is gone", gone.lowest.1);
    phone.wait_text(ON_CAR, &said).await?;
    // The readout stands at the lowest voltage and moves by its buttons.
    let at = phone.text(".readings-at").await?;
    assert!((number(&at)? - gone.lowest.0).abs() < 0.06, "{at}");
    let shown = phone.text(".readout.on-car .figure").await?;
    assert!((number(&shown)? - gone.lowest.1).abs() < 0.06, "{shown}");
    phone.tap(".chart-step:first-child").await?;
    let moved = phone.text(".readings-at").await?;
    assert_ne!(at, moved);
    // With no signal it is all there again.
    visit.lose_signal()?;
    let visit = visit.start_cold().await?;
    visit.device.go("pass").await?;
    visit.device.wait_text(&word(TO_TRY), "HOLDS").await?;
    visit.end().await
}

#[tokio::test]
async fn what_is_missing_of_a_pass_is_asked_for_and_nothing_typed_is_lost() -> Result<()> {
    let mut car = demo::nettle();
    car.course = Course::default();
    let visit = Visit::with(&[car], "pass").await?;
    let phone = &visit.device;
    phone.wait_text("main", "Needed: elapsed time").await?;
    phone.retype("#elapsed", "6.60").await?;
    phone.wait_text("main", "Needed: trap speed").await?;
    phone.retype("#trap", "103 mph").await?;
    phone.wait_text(&word(TO_TRY), "HOLDS").await?;
    phone
        .wait_text("main", "the rpm at the stripe are assumed")
        .await?;
    // Figures that do not go together are told; the text stays over a reload.
    phone.retype("#trap", "190 mph").await?;
    phone
        .wait_text("main", "Found a trap speed of 190 mph")
        .await?;
    phone.reload().await?;
    assert!(phone.value("#trap").await?.contains("190"));
    phone.retype("#trap", "-5").await?;
    phone.wait_text("main .fault", "Found").await?;
    visit.end().await
}

#[tokio::test]
async fn laps_points_and_a_missed_shift_are_passes_too() -> Result<()> {
    let mut points = demo::nettle();
    points.name = "Points".to_owned();
    points.course.kind = CourseKind::Points;
    let visit = Visit::with(&[demo::nettle(), demo::tansy(), points], "pass").await?;
    let phone = &visit.device;
    phone.wait_text(&word(TO_TRY), "HOLDS").await?;
    let clean = phone.text("main .table").await?;
    let pick = "const one = document.getElementById(arguments[0]); one.value = arguments[1];
        one.dispatchEvent(new Event('change', { bubbles: true }))";
    phone
        .script(pick, vec!["mishap".into(), "1".into()])
        .await?;
    phone
        .wait_until(
            "the table follows",
            "return document.querySelector('main .table').innerText.trim() !== arguments[0].trim()",
            vec![clean.into()],
        )
        .await?;
    phone.go("cars").await?;
    phone.tap(".cars li:nth-child(2) button").await?;
    phone.go("pass").await?;
    phone.wait_text(&word(TO_TRY), "HOLDS").await?;
    phone.go("cars").await?;
    phone.tap(".cars li:nth-child(3) button").await?;
    phone.go("pass").await?;
    phone.wait_text("main", "Needed: two points").await?;
    visit.end().await
}

#[tokio::test]
async fn the_day_lasts_or_says_when_it_ends_and_what_saves_it() -> Result<()> {
    let cars = [demo::nettle(), cars::runs_out()];
    let visit = Visit::with(&cars, "day").await?;
    let phone = &visit.device;
    phone.wait_text(&word(ON_CAR), "LASTS").await?;
    phone.wait_text(&word(TO_TRY), "LASTS").await?;
    phone.wait_text("main", "With a dead alternator").await?;
    let rows = "main .table tbody tr";
    assert_eq!(phone.count(rows).await?, 2 * 6);
    phone.retype("#rounds", "3").await?;
    phone
        .wait_until(
            "three rounds",
            "return document.querySelectorAll(arguments[0]).length === 6",
            vec![rows.into()],
        )
        .await?;

    phone.go("cars").await?;
    phone.tap(".cars li:nth-child(2) button").await?;
    phone.go("day").await?;
    phone.wait_text(&word(TO_TRY), "RUNS OUT").await?;
    let study = Study::new(&cars[1]).ok().context("no study")?;
    let tried = study.tried.as_ref().context("a pulley to try")?;
    let day = DayStudy::new(&cars[1], &study.tolerances, &tried.judged);
    let (round, _) = day.ends().context("it ends")?;
    phone
        .wait_text(TO_TRY, &format!("In round {round}"))
        .await?;
    phone.wait_text("main", "What saves the day").await?;
    phone.wait_text("main", "Nothing by itself").await?;
    visit.end().await
}

#[tokio::test]
async fn a_reading_anchors_the_rest_of_the_day() -> Result<()> {
    let visit = Visit::with(&[demo::nettle()], "day").await?;
    let phone = &visit.device;
    phone.wait_text(&word(ON_CAR), "LASTS").await?;
    let charge = |round: usize| format!(".table tbody tr:nth-child({round}) td:nth-child(2)");
    let (second, fourth) = (phone.text(&charge(2)).await?, phone.text(&charge(4)).await?);
    let open = "document.querySelectorAll('details').forEach((one) => one.open = true)";
    phone.script(open, vec![]).await?;
    phone.retype("#reading-volts", "12.1").await?;
    phone.retype("#reading-round", "4").await?;
    phone
        .wait_until(
            "the fourth round follows",
            "return document.querySelector(arguments[0]).innerText !== arguments[1]",
            vec![charge(4).into(), fourth.into()],
        )
        .await?;
    assert_eq!(phone.text(&charge(2)).await?, second);
    let reading = phone
        .saved_car(1)
        .await?
        .day
        .reading
        .context("no reading")?;
    assert_eq!((reading.before_round, reading.volts), (4, 12.1));
    visit.end().await
}

#[tokio::test]
async fn set_points_that_do_not_suit_the_battery_are_told() -> Result<()> {
    let mut sixteen = demo::nettle();
    sixteen.battery.cells = Some(8);
    let mut lithium = demo::nettle();
    lithium.battery.chemistry = Some(Chemistry::LithiumIronPhosphate);
    lithium.battery.cells = None;
    lithium.alternator.set_point = Some(volts(14.9));
    let visit = Visit::with(&[sixteen, lithium], "car").await?;
    let phone = &visit.device;
    phone
        .wait_text("main", "cannot charge this battery")
        .await?;
    phone.wait_text("main", "lost at").await?;
    phone.go("cars").await?;
    phone.tap(".cars li:nth-child(2) button").await?;
    phone.go("car").await?;
    phone
        .wait_text("main", "own management may cut it off")
        .await?;
    visit.end().await
}
