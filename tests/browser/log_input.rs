//! The page Log with what goes wrong, what is asked, and what takes long.

use std::fmt::Write;
use std::time::Duration;

use anyhow::{Context, Result};
use laneside_core::car::demo;
use laneside_tests::browser::Screen;
use laneside_tests::log_files::Recipe;
use serde_json::json;

use crate::log::{Files, confirm, read};
use crate::pass::tap_words;
use crate::visit::{Visit, saved_file};

#[tokio::test]
async fn what_is_no_log_is_told_apart() -> Result<()> {
    let visit = Visit::with(&[demo::nettle()], "log").await?;
    let phone = &visit.device;
    let files = Files::new()?;
    let good = Recipe::FALLS.text();
    let two_lines: String = good.lines().take(2).collect::<Vec<_>>().join("\n");
    let wide = {
        let names: Vec<String> = (0..5_000).map(|at| format!("c{at}")).collect();
        let row = vec!["1"; 5_000].join(",");
        format!("{}\n{row}\n{row}\n{row}\n", names.join(","))
    };
    let mut other = good.clone();
    for row in 0..2_000 {
        let _ = writeln!(other, "{};5000;13,5", 80 + row);
    }
    let bad: [(&str, &[u8], &str, &str); 6] = [
        ("empty.csv", b"", "an empty file", "a log as text"),
        (
            "book.xlsx",
            b"PK\x03\x04\x00\x00\x01\x02",
            "ZIP archive",
            "exported as text",
        ),
        (
            "raw.bin",
            b"LOG\x00\x01\x02\x03\x04",
            "no text at line 1, column 4",
            "exported as text",
        ),
        (
            "words.txt",
            b"alpha\nbeta\ngamma\n",
            "no row of numbers",
            "two rows of numbers",
        ),
        (
            "one.csv",
            two_lines.as_bytes(),
            "one row of numbers",
            "at least two",
        ),
        ("wide.csv", wide.as_bytes(), "columns", "at most"),
    ];
    for (name, bytes, found, needed) in bad {
        println!("{name}");
        files.choose(phone, name, bytes).await?;
        phone.wait_text("main", name).await?;
        phone.wait_text("#log-fault .found", found).await?;
        phone.wait_text("#log-fault .needed", needed).await?;
    }
    // There is a way back, and after each of them a good one is read.
    tap_words(phone, "Cancel").await?;
    phone.wait_text("main", "No logger").await?;
    read(phone, &files, "good.csv", Recipe::FALLS).await?;
    visit.end().await
}

#[tokio::test]
async fn a_log_without_voltage_asks_for_its_column() -> Result<()> {
    let visit = Visit::with(&[demo::nettle()], "log").await?;
    let phone = &visit.device;
    let files = Files::new()?;
    let text = Recipe::FALLS.with_header("Time (s),Engine Speed (rpm),Channel 7");
    files.choose(phone, "odd.csv", text.as_bytes()).await?;
    phone.wait_for(".log-channels").await?;
    // Whatever was guessed, the person has the last word.
    let summary = ".log-channel:nth-of-type(2) summary";
    phone.tap(summary).await?;
    let pick = "
        const [id, words] = arguments;
        const list = document.querySelector(`select#${id}`);
        const at = [...list?.options ?? []].findIndex((one) => one.text === words);
        if (at < 0) return false;
        list.selectedIndex = at;
        list.dispatchEvent(new Event('change', { bubbles: true }));
        return true";
    let choose = async |column: &str| {
        phone
            .wait_until(column, pick, vec![json!("log-column-1"), json!(column)])
            .await
    };
    choose("Not in this log").await?;
    tap_words(phone, "Yes, that is right").await?;
    phone
        .wait_text("#log-channels-fault .found", "no column for voltage")
        .await?;
    choose("Channel 7").await?;
    confirm(phone).await?;
    phone.wait_text("main", "Falls 1.").await?;

    // Next time it is known.
    files.choose(phone, "again.csv", text.as_bytes()).await?;
    phone.wait_text(".log-channels", "Channel 7").await?;
    confirm(phone).await?;
    visit.end().await
}

#[tokio::test]
async fn a_slow_log_says_what_it_cannot_show() -> Result<()> {
    let visit = Visit::with(&[demo::nettle()], "log").await?;
    let phone = &visit.device;
    let slow = Recipe {
        hertz: 5,
        ..Recipe::FALLS
    };
    read(phone, &Files::new()?, "slow.csv", slow).await?;
    phone.wait_text("main", "shifts: log too slow: 5.0").await?;
    phone.wait_text("main", "Too slow to see a ragged").await?;
    visit.end().await
}

#[tokio::test]
async fn a_log_without_time_is_asked_for_its_rate() -> Result<()> {
    let visit = Visit::with(&[demo::nettle()], "log").await?;
    let phone = &visit.device;
    let files = Files::new()?;
    let text: String = Recipe::FALLS
        .text()
        .lines()
        .filter_map(|line| Some(format!("{}\n", line.split_once(',')?.1)))
        .collect();
    files.choose(phone, "timeless.csv", text.as_bytes()).await?;
    phone
        .wait_text(".log-question", "How many rows a second")
        .await?;
    phone.retype("#log-rate", "fast").await?;
    tap_words(phone, "Go on").await?;
    phone.wait_text("#log-rate-fault", "Found “fast”.").await?;
    phone.retype("#log-rate", "100").await?;
    tap_words(phone, "Go on").await?;
    confirm(phone).await?;
    let figures = phone.text("main").await?;
    assert!(
        figures.contains("Pass 1, timeless") || figures.contains("Keep this pass"),
        "{figures}"
    );
    phone.wait_text("main", "s from 3").await?;
    visit.end().await
}

#[tokio::test]
async fn a_long_reading_goes_on_beside_the_page_and_is_cancelled() -> Result<()> {
    let visit = Visit::with(&[demo::nettle()], "log").await?;
    let phone = &visit.device;
    let files = Files::new()?;
    let mut text = String::from("Time (s),Engine Speed (rpm),Battery Voltage (V),A,B,C,D,E\n");
    for row in 0..2_500_000_u32 {
        let at = f64::from(row) / 1_000.0;
        let _ = writeln!(
            text,
            "{at:.3},{},13.{:02},1.25,2.5,3.75,100,0.125",
            900 + row % 6_000,
            row % 100
        );
    }
    let path = files.write("long.csv", text.as_bytes())?;
    drop(text);
    // The longest that the page did not draw while the log is read.
    let watch = "
        window.longest = 0;
        let before = performance.now();
        const tick = () => {
            const now = performance.now();
            window.longest = Math.max(window.longest, now - before);
            before = now;
            requestAnimationFrame(tick);
        };
        requestAnimationFrame(tick);";
    phone.script(watch, vec![]).await?;
    files.choose_written(phone, &path).await?;
    phone.wait_text(".log-reading", "MB of").await?;
    let part =
        "return Number(document.querySelector('.log-bar').getAttribute('aria-valuenow')) > 5";
    phone.wait_until("some progress", part, vec![]).await?;
    // The page answers meanwhile: another page, and back.
    phone.go("pulleys").await?;
    phone.wait_for("canvas").await?;
    phone.go("log").await?;
    tap_words(phone, "Cancel").await?;
    phone.wait_text("main", "Choose a log").await?;
    let longest = phone.script("return window.longest", vec![]).await?;
    let longest = longest.as_f64().context("no time")?;
    println!("longest without a frame: {longest:.0} ms");
    assert!(longest < 1_500.0, "{longest} ms without a frame");
    tokio::time::sleep(Duration::from_secs(2)).await;
    phone.wait_text("main", "Choose a log").await?;
    assert_eq!(
        phone.count(".log-channels").await?,
        0,
        "it was read to its end"
    );
    visit.end().await
}

/// An old browser has no workers of this kind: the same is done on the page.
#[tokio::test]
async fn without_workers_the_page_reads_by_itself() -> Result<()> {
    let visit = Visit::first(Screen::PHONE).await?;
    let phone = &visit.device;
    let source = "delete window.Worker;";
    phone.before_pages(source).await?;
    phone.save_cars(&[demo::nettle()], "log").await?;
    let gone = phone.script("return typeof Worker", vec![]).await?;
    assert_eq!(gone, json!("undefined"));
    read(phone, &Files::new()?, "here.csv", Recipe::FALLS).await?;
    phone.wait_text("main", "Falls 1.").await?;
    visit.end().await
}

/// Where the browser keeps nothing, the pass is still there, and the person is told how to save it.
#[tokio::test]
async fn a_pass_that_cannot_be_kept_is_not_lost() -> Result<()> {
    let visit = Visit::first(Screen::PHONE).await?;
    let phone = &visit.device;
    let source = "
        Object.defineProperty(window, 'indexedDB', {
            get() { throw new DOMException('Access is denied.', 'SecurityError') },
        });";
    phone.before_pages(source).await?;
    phone.save_cars(&[demo::nettle()], "log").await?;
    read(phone, &Files::new()?, "refused.csv", Recipe::FALLS).await?;
    tap_words(phone, "Keep this pass").await?;
    phone.wait_text("main", "This pass is kept.").await?;
    phone
        .wait_text("main", "does not let passes be kept")
        .await?;
    phone
        .wait_text("main .log-passes", "Pass 1, refused")
        .await?;
    phone.go("cars").await?;
    let file = saved_file(phone).await?;
    assert!(file.contains("Pass 1, refused"), "the pass in the file");
    visit.end().await
}

/// One with no logger, on a first visit, before any pulley is entered.
#[tokio::test]
async fn four_readings_by_hand() -> Result<()> {
    let visit = Visit::first(Screen::PHONE).await?;
    let phone = &visit.device;
    phone.tap("main a.door").await?;
    phone.wait_text("main", "Choose a log").await?;
    tap_words_in(phone, "No logger").await?;
    phone.wait_text("main", "two voltages at least").await?;
    phone.retype("#reading-0-0", "12.7").await?;
    phone.retype("#reading-1-0", "14.1").await?;
    phone.retype("#reading-2-0", "14.0").await?;
    phone.retype("#reading-3-0", "14.1").await?;
    phone
        .wait_text("main .verdict .word", "SHORT AT IDLE")
        .await?;
    phone.retype("#reading-0-0", "14.0").await?;
    phone
        .wait_text("main .verdict .word", "CHARGES WELL")
        .await?;
    phone.retype("#reading-2-0", "99").await?;
    phone
        .wait_text("#reading-2-0-fault", "from 0 to 40")
        .await?;
    visit.end().await
}

async fn tap_words_in(phone: &laneside_tests::browser::Browser, part: &str) -> Result<()> {
    let mark = "
        document.querySelectorAll('[data-found]').forEach((one) => delete one.dataset.found);
        const button = [...document.querySelectorAll('main button')]
            .find((one) => one.checkVisibility() && one.innerText.includes(arguments[0]));
        if (!button) return false;
        button.dataset.found = '';
        return true";
    phone.wait_until(part, mark, vec![json!(part)]).await?;
    phone.tap("[data-found]").await
}
