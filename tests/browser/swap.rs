//! The page Swap: the job card from its making to its end, on screen and on paper, and the history.

use std::io::Read;

use anyhow::{Context, Result};
use flate2::read::ZlibDecoder;
use laneside_core::car::history::Event;
use laneside_core::car::swap::Task;
use laneside_core::car::{Car, demo};
use laneside_core::quantity::System;
use laneside_tests::browser::{Browser, Device};
use serde_json::json;

use crate::pass::{open_all, tap_words};
use crate::visit::{Visit, saved_file};

/// A car whose card is made.
async fn visit(car: &Car) -> Result<Visit> {
    let visit = Visit::with(std::slice::from_ref(car), "swap").await?;
    let phone = &visit.device;
    phone
        .wait_text("main .empty", "Swap makes a job card")
        .await?;
    tap_words(phone, "Make the job card").await?;
    phone.wait_for("main .job").await?;
    Ok(visit)
}

/// How many boxes are ticked.
async fn ticked(phone: &Browser) -> Result<usize> {
    let count = "return document.querySelectorAll('.job input:checked').length";
    let count = phone.script(count, vec![]).await?;
    Ok(usize::try_from(count.as_u64().context("no count")?)?)
}

/// Ticks the box whose words begin so.
async fn tick(phone: &Browser, words: &str) -> Result<()> {
    let mark = "
        for (const one of document.querySelectorAll('[data-tick]')) delete one.dataset.tick;
        const labels = [...document.querySelectorAll('.job label')];
        const label = labels.find((one) =>
            one.innerText.replaceAll('\\u00a0', ' ').trim().startsWith(arguments[0]));
        label.dataset.tick = '';
        return true";
    phone.script(mark, vec![json!(words)]).await?;
    phone.tap("[data-tick]").await
}

async fn saved(phone: &Browser) -> Result<Car> {
    phone.saved_car(1).await
}

/// Where the word stands.
fn places<'a>(data: &'a [u8], word: &'a [u8]) -> impl Iterator<Item = usize> + 'a {
    let windows = data.windows(word.len()).enumerate();
    windows.filter_map(move |(at, one)| (one == word).then_some(at))
}

/// How many pages a print of this screen has, as the browser itself makes it.
async fn pages(phone: &Device) -> Result<usize> {
    // A4.
    let pdf = phone.print(8.27, 11.69).await?;
    // What tells of the pages may be packed (ISO 32000-1, 7.5.7).
    let mut texts = vec![String::from_utf8_lossy(&pdf).into_owned()];
    for start in places(&pdf, b"stream") {
        let mut unpacked = Vec::new();
        let packed = pdf[start + b"stream".len()..].trim_ascii_start();
        if ZlibDecoder::new(packed).read_to_end(&mut unpacked).is_ok() {
            texts.push(String::from_utf8_lossy(&unpacked).into_owned());
        }
    }
    let count = |what: &str| {
        texts
            .iter()
            .map(|text| text.matches(what).count())
            .sum::<usize>()
    };
    Ok(count("/Type /Page") - count("/Type /Pages"))
}

#[tokio::test]
async fn a_card_keeps_its_boxes_readings_and_notes_over_a_reload_and_without_signal() -> Result<()>
{
    let mut visit = visit(&demo::nettle()).await?;
    let phone = &visit.device;
    phone.wait_text(".job-what", "2 1/4 in off").await?;
    phone.wait_text(".job-what", "3 1/8 in on").await?;
    tick(phone, "Pulley 3 1/8").await?;
    tick(phone, "Master switch off").await?;
    assert_eq!(ticked(phone).await?, 2);
    phone.wait_text("main .count", "2 of ").await?;
    phone.retype("#card-volts-0", "13.8").await?;
    phone
        .wait_text(".reading:has(#card-volts-0)", "As expected.")
        .await?;
    phone.retype("#card-notes", "nut 24 mm").await?;
    let kept = async |phone: &Browser| -> Result<()> {
        phone.wait_for("main .job").await?;
        assert_eq!(ticked(phone).await?, 2);
        assert_eq!(phone.value("#card-volts-0").await?, "13.8 V");
        assert_eq!(phone.value("#card-notes").await?, "nut 24 mm");
        Ok(())
    };
    phone.reload().await?;
    kept(phone).await?;
    let card = saved(phone).await?.swap.context("no card")?;
    assert_eq!(card.ticked, [Task::BringPulley, Task::NegativeOff]);
    assert_eq!(card.before.readings.idle_v, Some(13.8));
    tick(phone, "Pulley 3 1/8").await?;
    assert_eq!(ticked(phone).await?, 1);
    tick(phone, "Pulley 3 1/8").await?;
    visit.lose_signal()?;
    let visit = visit.start_cold().await?;
    visit.device.go("swap").await?;
    kept(&visit.device).await?;
    visit.end().await
}

/// The pulley that is suggested for Nettle brings the belt too near to the bolt of its bracket.
#[tokio::test]
async fn what_the_belt_has_against_a_pulley_is_told_before_it_is_put_on() -> Result<()> {
    let visit = visit(&demo::nettle()).await?;
    let phone = &visit.device;
    let verdict = phone.text(".against .caution").await?;
    phone.tap(".against .way").await?;
    phone.wait_for("main .verdict").await?;
    let belt = phone.text("main .verdict .word").await?;
    assert!(verdict.contains(&belt), "{verdict} without {belt}");
    visit.end().await
}

#[tokio::test]
async fn what_was_read_after_stands_beside_what_was_read_before() -> Result<()> {
    let visit = visit(&demo::nettle()).await?;
    let phone = &visit.device;
    phone.retype("#card-volts-0", "13.8").await?;
    assert_eq!(phone.count("#card-beside").await?, 0);
    phone.retype("#card-volts-3", "14.2").await?;
    phone.retype("#card-drop-2", "0.25").await?;
    phone.tap("#card-notes").await?;
    let rows = "return [...document.querySelectorAll('#card-beside tbody tr')].map((row) =>
        [...row.cells].map((cell) => cell.innerText.replaceAll('\\u00a0', ' ')))";
    let read = phone.script(rows, vec![]).await?;
    let expected = [
        ["Idle", "13.8 V", "14.2 V"],
        ["Amps meanwhile", "not read", "not read"],
        ["Drop, charge lead", "not read", "0.25 V"],
    ];
    assert_eq!(read, serde_json::json!(expected));
    visit.end().await
}

#[tokio::test]
async fn a_reading_that_is_not_as_expected_says_what_it_points_to() -> Result<()> {
    let visit = visit(&demo::nettle()).await?;
    let phone = &visit.device;
    phone.retype("#card-volts-1", "12.3").await?;
    let reading = ".reading:has(#card-volts-1)";
    phone
        .wait_text(reading, "Under what is expected. Nothing charges")
        .await?;
    phone.retype("#card-volts-1", "15.6").await?;
    phone.wait_text(reading, "Stop the engine").await?;
    // A drop is held against the current that was read with it.
    phone.retype("#card-drop-0", "0.3").await?;
    let drop = ".reading:has(#card-drop-0)";
    phone.retype("#card-amps-0", "15").await?;
    phone
        .wait_text(drop, "That is 20.0 mΩ. A poor joint")
        .await?;
    phone.retype("#card-amps-0", "54").await?;
    phone.wait_text(drop, "That is 5.6 mΩ").await?;
    phone.wait_text(drop, "As expected.").await?;
    visit.end().await
}

#[tokio::test]
async fn a_text_that_is_no_reading_stays_with_its_error() -> Result<()> {
    let visit = visit(&demo::nettle()).await?;
    let phone = &visit.device;
    phone.retype("#card-volts-3", "140").await?;
    phone
        .wait_text("#card-volts-3-fault .found", "Found 140")
        .await?;
    // Ticking a box leaves it, and so does a reload.
    tick(phone, "Safety glasses").await?;
    phone.reload().await?;
    phone
        .wait_text("#card-volts-3-fault .found", "Found 140")
        .await?;
    assert_eq!(phone.value("#card-volts-3").await?, "140");
    assert_eq!(ticked(phone).await?, 1);
    phone.retype("#card-volts-3", "14.0").await?;
    phone.wait_gone("#card-volts-3-fault .found").await?;
    visit.end().await
}

#[tokio::test]
async fn done_moves_the_pulley_writes_the_history_and_can_be_taken_back() -> Result<()> {
    let visit = visit(&demo::nettle()).await?;
    let phone = &visit.device;
    let before = saved(phone).await?;
    phone.retype("#card-volts-0", "13.8").await?;
    phone.tap(".done summary").await?;
    // Asked first.
    assert_eq!(saved(phone).await?.drive, before.drive);
    tap_words(phone, "Yes, it is on the car").await?;
    phone.wait_text(".done", "3 1/8 in is on since").await?;
    let done = saved(phone).await?;
    let to = before.swap.as_ref().map(|card| card.to);
    assert_eq!(done.drive.fitted, to);
    assert_eq!(done.history.len(), 1);
    assert_eq!(done.history[0].event, Event::Swapped);
    assert_eq!(done.history[0].before.idle_v, Some(13.8));
    phone
        .wait_text(".history", "2 1/4 in off, 3 1/8 in on")
        .await?;
    phone.wait_text(".history", "once hot and cold").await?;
    // What is read after it is in the history too.
    phone.retype("#card-volts-3", "13.7").await?;
    phone.reload().await?;
    phone.wait_text(".done", "is on since").await?;
    assert_eq!(saved(phone).await?.history[0].after.idle_v, Some(13.7));
    // It ends with the log.
    let next = "return [...document.querySelectorAll('main a')]
        .some((one) => one.innerText === 'Read the next log' && one.hash === '#/log')";
    assert_eq!(phone.script(next, vec![]).await?, json!(true));

    tap_words(phone, "Take it back").await?;
    phone.wait_for(".done summary").await?;
    let back = saved(phone).await?;
    assert_eq!(back.drive, before.drive);
    assert!(back.history.is_empty());
    visit.end().await
}

#[tokio::test]
async fn a_changed_car_is_told_and_the_card_made_anew_only_when_asked() -> Result<()> {
    let visit = visit(&demo::nettle()).await?;
    let phone = &visit.device;
    tick(phone, "Safety glasses").await?;
    let expected = |car: &Car| car.swap.as_ref().map(|card| card.before.expected);
    let first = expected(&saved(phone).await?);
    assert_eq!(phone.count("main .stale").await?, 0);
    phone.go("car").await?;
    open_all(phone).await?;
    phone.retype("#set-point", "14.6").await?;
    phone.go("swap").await?;
    phone
        .wait_text("main .stale", "expect other readings")
        .await?;
    assert_eq!(expected(&saved(phone).await?), first);
    tap_words(phone, "Make the card anew").await?;
    phone.wait_gone("main .stale").await?;
    assert_ne!(expected(&saved(phone).await?), first);
    assert_eq!(ticked(phone).await?, 1);
    visit.end().await
}

#[tokio::test]
async fn the_card_prints_on_one_or_two_pages_in_either_light_and_units() -> Result<()> {
    for (units, theme) in [(System::Inch, "sun"), (System::Metric, "night")] {
        for mut car in demo::cars() {
            car.units = units;
            let visit = visit(&car).await?;
            let phone = &visit.device;
            let dress = "document.documentElement.dataset.theme = arguments[0]; return true";
            phone.script(dress, vec![json!(theme)]).await?;
            let count = pages(phone).await?;
            assert!((1..=2).contains(&count), "{}: {count} pages", car.name);
            visit.end().await?;
        }
    }
    Ok(())
}

#[tokio::test]
async fn the_history_is_written_deleted_had_back_and_in_the_exported_car() -> Result<()> {
    let visit = Visit::with(&[demo::tansy()], "swap").await?;
    let phone = &visit.device;
    phone
        .wait_text(".history", "Nothing is written down yet")
        .await?;
    tap_words(phone, "Write down what is on now").await?;
    phone.wait_text(".history .item", "on the car").await?;
    tap_words(phone, "Belt and nut looked at").await?;
    phone
        .wait_text(".history .item", "belt and nut looked at")
        .await?;
    let history = saved(phone).await?.history;
    assert_eq!(history.len(), 2);
    phone.tap(".history .item:nth-of-type(2) > summary").await?;
    phone.retype("#history-notes-0", "new bearing").await?;
    phone
        .tap(".history .item:nth-of-type(2) .apart .plain")
        .await?;
    phone.wait_text("main .undo", "Deleted").await?;
    assert_eq!(saved(phone).await?.history.len(), 1);
    tap_words(phone, "Undo").await?;
    phone.wait_for(".history .item:nth-of-type(2)").await?;
    let back = saved(phone).await?.history;
    assert_eq!(back[0].notes, "new bearing");
    assert_eq!(back[1], history[1]);

    phone.go("cars").await?;
    let file = Car::from_file(&saved_file(phone).await?)?;
    assert_eq!(file.history, back);
    visit.end().await
}

#[tokio::test]
async fn a_card_put_away_can_be_had_back_and_the_screen_is_told_of() -> Result<()> {
    let visit = visit(&demo::nettle()).await?;
    let phone = &visit.device;
    phone
        .wait_until(
            "a word on the screen",
            "return /The screen stays on|cannot keep the screen on/
                .test(document.querySelector('.job-head').innerText)",
            vec![],
        )
        .await?;
    tick(phone, "Safety glasses").await?;
    tap_words(phone, "Put this card away").await?;
    phone
        .wait_text("main .undo", "The job card is put away.")
        .await?;
    assert_eq!(saved(phone).await?.swap, None);
    tap_words(phone, "Undo").await?;
    phone.wait_for("main .job").await?;
    assert_eq!(ticked(phone).await?, 1);
    visit.end().await
}

#[tokio::test]
async fn a_car_without_an_answer_is_asked_for_its_entries() -> Result<()> {
    let visit = Visit::with(&[Car::new("Bare", System::Inch)], "swap").await?;
    let phone = &visit.device;
    phone.wait_text("main .empty", "Needed").await?;
    assert_eq!(phone.count("main .empty .button").await?, 1);
    visit.end().await
}
