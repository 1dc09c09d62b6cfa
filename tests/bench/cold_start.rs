//! Compares the cold start of the app with that of a bare Leptos page, the server gone.
//!
//! `cargo run -p laneside-tests --features browser --bin cold-start`, after `bash tests/bytes.sh`
//! has built both. Each start is a fresh tab with the service worker stopped and the processor at a
//! quarter of its speed; starts of the two pages take turns. Printed is the time from the
//! navigation to the first paint with content, and the work of the main thread until then.

use std::path::Path;
use std::time::Duration;

use anyhow::{Context, Result};
use laneside_tests::browser::chromium::Profile;
use laneside_tests::browser::{Chromium, Screen, built_app, workspace};
use laneside_tests::server::Server;
use serde_json::json;

const STARTS: usize = 21;
const THROTTLE: f64 = 4.0;

/// A page that the browser has stored.
struct Stored {
    name: &'static str,
    url: String,
    /// Milliseconds from the navigation to the first paint, start by start.
    times: Vec<f64>,
    /// Milliseconds of work of the main thread.
    work: Vec<f64>,
}

async fn store(chromium: &Chromium, name: &'static str, folder: &Path) -> Result<Stored> {
    let server = Server::start(folder, 0)?;
    let url = server.url();
    chromium.open(&url).await?;
    let ready = "return navigator.serviceWorker?.controller?.state === 'activated'";
    chromium
        .wait_until("the page to be stored", ready, vec![])
        .await?;
    server.stop();
    let (times, work) = Default::default();
    Ok(Stored {
        name,
        url,
        times,
        work,
    })
}

/// Opens the page in a fresh tab; reads when it first painted, and its work.
async fn start(chromium: &Chromium, page: &mut Stored) -> Result<()> {
    let client = chromium.client();
    let home = client.window().await?;
    let tab = client.new_window(true).await?;
    client.switch_to_window(tab.handle).await?;
    chromium.cdp("ServiceWorker.enable", json!({})).await?;
    chromium
        .cdp("ServiceWorker.stopAllWorkers", json!({}))
        .await?;
    chromium.throttle_cpu(THROTTLE).await?;
    chromium.main_thread_work().await?;
    chromium.open(&page.url).await?;
    let painted = "return performance.getEntriesByName('first-contentful-paint').length > 0";
    chromium
        .wait_until("the first paint", painted, vec![])
        .await?;
    let when = "return performance.getEntriesByName('first-contentful-paint')[0].startTime";
    let time = chromium.script(when, vec![]).await?;
    page.times
        .push(time.as_f64().context("the first paint has no time")?);
    page.work
        .push(chromium.main_thread_work().await?.as_secs_f64() * 1e3);
    client.close_window().await?;
    client.switch_to_window(home).await?;
    tokio::time::sleep(Duration::from_millis(100)).await;
    Ok(())
}

/// By nearest rank: the samples are few, and an interpolated one was never seen.
fn percentile(sorted: &[f64], percent: usize) -> f64 {
    let last = sorted.len().saturating_sub(1);
    let index = (last * percent + 50) / 100;
    sorted.get(index).copied().unwrap_or(f64::NAN)
}

#[tokio::main]
async fn main() -> Result<()> {
    let profile = Profile::new()?;
    let chromium = Chromium::start(&profile, Screen::PHONE).await?;
    let mut pages = [
        store(&chromium, "bare page", &workspace()?.join("target/bare")).await?,
        store(&chromium, "app", &built_app()?).await?,
    ];
    for _ in 0..STARTS {
        for page in &mut pages {
            start(&chromium, page).await?;
        }
    }
    chromium.close().await?;
    for page in &mut pages {
        page.times.sort_by(f64::total_cmp);
        page.work.sort_by(f64::total_cmp);
        let (median, high) = (percentile(&page.times, 50), percentile(&page.times, 95));
        let (name, work) = (page.name, percentile(&page.work, 50));
        println!("{name:>10}  paint {median:.0} ms (95 % {high:.0} ms)  main thread {work:.0} ms");
    }
    let [bare, app] = pages.map(|page| percentile(&page.times, 50));
    println!(
        "the app starts in {:.2} times the bare page's time",
        app / bare
    );
    Ok(())
}
