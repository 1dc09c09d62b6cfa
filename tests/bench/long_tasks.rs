//! How long the app holds a phone's main thread: every page opened, and an entry made on it, with the processor at a
//! quarter of its speed.
//!
//! `cargo run --release -p laneside-tests --features browser --bin long-tasks`, after `bash app/serve.sh --build-only`.
//! Printed is the longest task (and how many were longer than 50 ms) of the start, of going to the page and of an entry
//! there, for both demo cars. A task over 50 ms is felt: the next touch waits for it.

use anyhow::Result;
use laneside_core::car::demo;
use laneside_tests::browser::app::PAGES;
use laneside_tests::browser::chromium::DRAW_APART;
use laneside_tests::browser::{Chromium, Profile, Screen, built_app};
use laneside_tests::server::Server;
use serde_json::json;
use std::time::Duration;

const THROTTLE: f64 = 4.0;
/// Until what follows an entry is done: spreads, the day of the other pulley.
const REST: Duration = Duration::from_millis(2_500);

/// The tasks over 50 ms since this was last asked, ms.
async fn long(chromium: &Chromium) -> Result<Vec<f64>> {
    let tasks = "
        const [done] = arguments;
        // What has just ended is reported a moment later.
        setTimeout(() => done(window.longTasks.splice(0)), 100);";
    Ok(serde_json::from_value(
        chromium.script_later(tasks, vec![]).await?,
    )?)
}

/// The longest of them, and how many.
fn told(tasks: &[f64]) -> String {
    let longest = tasks.iter().copied().fold(0.0, f64::max);
    if tasks.is_empty() {
        "under 50".to_owned()
    } else {
        format!("{longest:.0} ({})", tasks.len())
    }
}

#[tokio::main]
async fn main() -> Result<()> {
    let server = Server::start(&built_app()?, 0)?;
    let profile = Profile::new()?;
    let chromium = Chromium::start_with(&profile, Screen::PHONE, &DRAW_APART).await?;
    // In every page from its first script on, so that the start is heard too.
    let observe = "window.longTasks = [];
        new PerformanceObserver((list) => {
            for (const { duration } of list.getEntries()) window.longTasks.push(duration);
        }).observe({ type: 'longtask', buffered: true });";
    chromium
        .cdp(
            "Page.addScriptToEvaluateOnNewDocument",
            json!({ "source": observe }),
        )
        .await?;
    chromium.open(&server.url()).await?;
    println!("| car, page | start | going there | an entry |");
    println!("| --- | --- | --- | --- |");
    for car in demo::cars() {
        for page in PAGES {
            chromium.throttle_cpu(1.0).await?;
            chromium.save_cars(std::slice::from_ref(&car), page).await?;
            long(&chromium).await?;
            chromium.throttle_cpu(THROTTLE).await?;
            chromium.reload().await?;
            chromium.settle().await?;
            tokio::time::sleep(REST).await;
            let start = long(&chromium).await?;
            let other = if page == "cars" { "car" } else { "cars" };
            chromium.go(other).await?;
            tokio::time::sleep(REST).await;
            long(&chromium).await?;
            chromium.go(page).await?;
            tokio::time::sleep(REST).await;
            let going = long(&chromium).await?;
            // The first number of the page that can be typed into, its last digit typed again.
            let entry = "
                const field = [...document.querySelectorAll('main input')].find((one) => one.inputMode !== 'file'
                    && one.type !== 'file' && one.type !== 'checkbox' && /\\d$/.test(one.value) && one.offsetParent);
                if (!field) return false;
                const text = field.value;
                field.value = text.slice(0, -1) + (text.endsWith('1') ? '2' : '1');
                field.dispatchEvent(new InputEvent('input', { bubbles: true }));
                field.dispatchEvent(new Event('change', { bubbles: true }));
                return true;";
            let entered = chromium.script(entry, vec![]).await?;
            tokio::time::sleep(REST).await;
            let entry = long(&chromium).await?;
            println!(
                "| {}, {page} | {} | {} | {} |",
                car.name,
                told(&start),
                told(&going),
                if entered == json!(true) {
                    told(&entry)
                } else {
                    "none".to_owned()
                }
            );
        }
    }
    chromium.close().await
}
