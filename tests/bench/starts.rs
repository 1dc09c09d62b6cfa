//! Compares the starts of the app with those of a bare Leptos page built alike: cold, from the server in a browser that
//! has never seen it, and offline, the server gone.
//!
//! `cargo run --release -p laneside-tests --features browser --bin starts`, after `bash tests/bytes.sh` has built both. The
//! processor runs at a quarter of its speed; the server is on this machine, so that bytes cost reading and compiling and
//! not the wire. Starts of the two pages take turns. An offline start is a fresh tab with the service worker stopped.
//! Printed is the time from the navigation to the first paint with content, and the work of the main thread until then.

use std::path::{Path, PathBuf};
use std::time::Duration;

use anyhow::{Context, Result};
use laneside_tests::browser::Profile;
use laneside_tests::browser::{Chromium, Screen, built_app, workspace};
use laneside_tests::server::Server;
use serde_json::json;

const OFFLINE: usize = 21;
const COLD: usize = 11;
const THROTTLE: f64 = 4.0;

/// The page that is started, and what its starts took.
struct Page {
    name: &'static str,
    folder: PathBuf,
    /// Milliseconds from the navigation to the first paint, start by start.
    times: Vec<f64>,
    /// Milliseconds of work of the main thread.
    work: Vec<f64>,
}

impl Page {
    fn new(name: &'static str, folder: &Path) -> Self {
        Self {
            name,
            folder: folder.to_owned(),
            times: Vec::new(),
            work: Vec::new(),
        }
    }

    /// Opens it in the tab at hand; notes when it first painted, and its work.
    async fn start(&mut self, chromium: &Chromium, url: &str) -> Result<()> {
        chromium.throttle_cpu(THROTTLE).await?;
        chromium.main_thread_work().await?;
        chromium.open(url).await?;
        let painted = "return performance.getEntriesByName('first-contentful-paint').length > 0";
        chromium
            .wait_until("the first paint", painted, vec![])
            .await?;
        let when = "return performance.getEntriesByName('first-contentful-paint')[0].startTime";
        let time = chromium.script(when, vec![]).await?;
        let time = time.as_f64().context("the first paint has no time")?;
        self.times.push(time);
        let work = chromium.main_thread_work().await?;
        self.work.push(1e3 * work.as_secs_f64());
        Ok(())
    }

    async fn start_cold(&mut self) -> Result<()> {
        let server = Server::start(&self.folder, 0)?;
        let profile = Profile::new()?;
        let chromium = Chromium::start(&profile, Screen::PHONE).await?;
        self.start(&chromium, &server.url()).await?;
        chromium.close().await
    }

    /// Has the browser store it, and ends the server; where it was.
    async fn store(&self, chromium: &Chromium) -> Result<String> {
        let server = Server::start(&self.folder, 0)?;
        let url = server.url();
        chromium.open(&url).await?;
        let ready = "return navigator.serviceWorker?.controller?.state === 'activated'";
        chromium
            .wait_until("the page to be stored", ready, vec![])
            .await?;
        server.stop();
        Ok(url)
    }

    async fn start_offline(&mut self, chromium: &Chromium, url: &str) -> Result<()> {
        let client = chromium.client();
        let home = client.window().await?;
        let tab = client.new_window(true).await?;
        client.switch_to_window(tab.handle).await?;
        chromium.cdp("ServiceWorker.enable", json!({})).await?;
        chromium
            .cdp("ServiceWorker.stopAllWorkers", json!({}))
            .await?;
        self.start(chromium, url).await?;
        client.close_window().await?;
        client.switch_to_window(home).await?;
        tokio::time::sleep(Duration::from_millis(100)).await;
        Ok(())
    }
}

/// By nearest rank: the samples are few, and an interpolated one was never seen.
fn percentile(samples: &[f64], percent: usize) -> f64 {
    let mut sorted = samples.to_vec();
    sorted.sort_by(f64::total_cmp);
    let index = (sorted.len().saturating_sub(1) * percent + 50) / 100;
    sorted.get(index).copied().unwrap_or(f64::NAN)
}

/// Prints how they compare, and forgets the starts.
fn report(kind: &str, pages: &mut [Page; 2]) {
    let [bare, app] = pages.each_ref().map(|page| {
        let (median, high) = (percentile(&page.times, 50), percentile(&page.times, 95));
        let (name, work) = (page.name, percentile(&page.work, 50));
        println!("{name:>10} {kind:>8}  paint {median:.0} ms (95 % {high:.0} ms)  main thread {work:.0} ms");
        median
    });
    println!(
        "{kind}: the app takes {:.2} times the bare page's time",
        app / bare
    );
    for page in pages {
        page.times.clear();
        page.work.clear();
    }
}

#[tokio::main]
async fn main() -> Result<()> {
    let mut pages = [
        Page::new("bare page", &workspace()?.join("target/bare")),
        Page::new("app", &built_app()?),
    ];
    for _ in 0..COLD {
        for page in &mut pages {
            page.start_cold().await?;
        }
    }
    report("cold", &mut pages);

    let profile = Profile::new()?;
    let chromium = Chromium::start(&profile, Screen::PHONE).await?;
    let mut urls = Vec::new();
    for page in &pages {
        urls.push(page.store(&chromium).await?);
    }
    for _ in 0..OFFLINE {
        for (page, url) in pages.iter_mut().zip(&urls) {
            page.start_offline(&chromium, url).await?;
        }
    }
    chromium.close().await?;
    report("offline", &mut pages);
    Ok(())
}
