//! A clock that is set back or forward: order and numbers do not hang on it.

use anyhow::{Context, Result};
use laneside_core::quantity::InLength;
use laneside_tests::browser::Browser;
use laneside_tests::cars;
use laneside_tests::log_files::Recipe;
use serde_json::{Value, json};

use crate::log::{Files, read};
use crate::pass::tap_words;
use crate::storage_faults::spare_holds;
use crate::visit::Visit;

/// A clock that stands at a year.
fn clock_at(year: u32) -> String {
    format!(
        "{{
            const Real = Date, at = Real.UTC({year}, 0, 1), start = Real.now();
            Date = class extends Real {{
                constructor(...given) {{ super(...(given.length ? given : [Date.now()])) }}
                static now() {{ return at + Real.now() - start }}
            }};
        }}"
    )
}

async fn saved(phone: &Browser) -> Result<Value> {
    let text = phone.stored("laneside.car.1").await?.context("no car")?;
    Ok(serde_json::from_str(&text)?)
}

async fn stamp(phone: &Browser) -> Result<f64> {
    saved(phone).await?["stamp"].as_f64().context("no stamp")
}

#[tokio::test]
async fn the_newest_save_is_the_newest_whatever_the_clock_says() -> Result<()> {
    let visit = Visit::with(&[cars::over()], "pulleys").await?;
    let phone = &visit.device;
    phone.retype("#fitted", "2 1/2").await?;
    let mut last = stamp(phone).await?;
    for (year, text, inches) in [
        (2001, "2 3/4", 2.75),
        (2099, "3 1/2", 3.5),
        (2003, "3 1/4", 3.25),
    ] {
        phone.before_pages(&clock_at(year)).await?;
        phone.reload().await?;
        phone.retype("#fitted", text).await?;
        let now = stamp(phone).await?;
        assert!(now > last, "{year}: {now} after {last}");
        last = now;
        spare_holds(phone, 1, &saved(phone).await?["stamp"].to_string()).await?;
        // The first store loses it; the spare copy, of the same odd year, is taken.
        let old = "
            const good = localStorage.getItem('laneside.good.1');
            localStorage.setItem('laneside.car.1', good)";
        phone.script(old, vec![]).await?;
        phone.reload().await?;
        phone
            .wait_text(".verdict-slot .notice", "nothing is missing")
            .await?;
        let fitted = phone.saved_fitted(1).await?;
        assert!((fitted.size.inches() - inches).abs() < 1e-6, "{year}");
    }
    visit.end().await
}

/// Kept passes stand in the order in which they were kept, two cars share none, and the history is in order.
#[tokio::test]
async fn passes_and_history_keep_their_order() -> Result<()> {
    let visit = Visit::with(&[cars::over(), cars::holds()], "log").await?;
    let phone = &visit.device;
    let files = Files::new()?;
    read(phone, &files, "first.csv", Recipe::FALLS).await?;
    tap_words(phone, "Keep this pass").await?;
    phone.wait_text("main", "This pass is kept.").await?;
    let owner = saved(phone).await?["log"]["owner"].clone();

    phone.before_pages(&clock_at(2001)).await?;
    phone.reload().await?;
    phone.wait_text("main .log-passes", "first").await?;
    read(phone, &files, "second.csv", Recipe::CURED).await?;
    tap_words(phone, "Keep this pass").await?;
    phone.wait_text("main .log-passes", "second").await?;
    assert_eq!(saved(phone).await?["log"]["owner"], owner);
    let order = "
        return [...document.querySelectorAll('main .log-passes > *')].map((row) => row.innerText)
            .map((text) => text.includes('first') ? 1 : text.includes('second') ? 2 : 0).filter(Boolean)";
    let before = phone.script(order, vec![]).await?;
    phone.reload().await?;
    phone.wait_text("main .log-passes", "second").await?;
    let after = phone.script(order, vec![]).await?;
    assert_eq!(before, after);
    assert_eq!(after.as_array().map(Vec::len), Some(2), "{after}");

    // The other car's owner is another, though its clock is behind.
    phone.go("cars").await?;
    phone.tap(".cars li:nth-child(2) button").await?;
    phone.wait_text(".car-name", "Holds").await?;
    phone.go("log").await?;
    read(phone, &files, "third.csv", Recipe::FALLS).await?;
    tap_words(phone, "Keep this pass").await?;
    phone.wait_text("main .log-passes", "third").await?;
    let other: Value =
        serde_json::from_str(&phone.stored("laneside.car.2").await?.context("no car")?)?;
    let number = |value: &Value| value.as_f64().context("no owner");
    assert!(number(&other["log"]["owner"])? > number(&owner)?);
    assert_eq!(saved(phone).await?["log"]["owner"], owner);
    // Nothing of the first car went with the clearing up, seconds after the start.
    phone.reload().await?;
    tokio::time::sleep(std::time::Duration::from_secs(5)).await;
    phone
        .script("localStorage.setItem('laneside.open', '1')", vec![json!(0)])
        .await?;
    phone.reload().await?;
    phone.go("log").await?;
    phone.wait_text("main .log-passes", "first").await?;
    phone.wait_text("main .log-passes", "second").await?;
    visit.end().await
}
