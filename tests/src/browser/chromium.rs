//! Chromium: started through its driver, with what no other engine offers.

use std::collections::BTreeMap;
use std::ops::Deref;
use std::path::PathBuf;
use std::sync::{Mutex, PoisonError};
use std::time::Duration;

use anyhow::{Context, Result, ensure};
use fantoccini::wd::Capabilities;
use serde_json::{Value, json};
use tokio::process::Command;

use super::device::Taste;
use super::driver::Driver;
use super::{Browser, Profile, Screen};

/// Keeps Chromium to the page under test: no first-run pages and no talk with its maker.
const ARGUMENTS: [&str; 9] = [
    "--headless=new",
    "--no-sandbox",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-dev-shm-usage",
    // The browser ends when the other end of the pipe does, even if a test is cut short.
    "--remote-debugging-pipe",
];

/// Draws on the main thread: the least to go wrong where there are no graphics.
const DRAW_HERE: &str = "--disable-gpu";

/// Draws in a process of its own, as the graphics of a phone do: for [`Chromium::start_with`]. Only
/// then is the work of the main thread that of a phone.
pub const DRAW_APART: [&str; 3] = [
    "--enable-gpu-rasterization",
    "--use-gl=angle",
    "--use-angle=swiftshader",
];

const NET_LOG: &str = "net-log.json";

impl Profile {
    fn net_log(&self) -> PathBuf {
        self.beside(NET_LOG)
    }

    /// Every address that a page or a worker of the origin asked for in the last run, its service
    /// worker's own fetches among them.
    ///
    /// # Errors
    ///
    /// The browser still runs, so that its log is not whole.
    pub fn requests_of(&self, origin: &str) -> Result<Vec<String>> {
        let origin = origin.trim_end_matches('/');
        let text = std::fs::read_to_string(self.net_log())?;
        let log: Value = serde_json::from_str(&text).context("the net log is not whole")?;
        let start = &log["constants"]["logEventTypes"]["URL_REQUEST_START_JOB"];
        ensure!(start.is_number(), "the net log names no request events");
        let events = log["events"].as_array().context("no events")?;
        Ok(events
            .iter()
            .filter(|event| &event["type"] == start)
            .map(|event| &event["params"])
            .filter(|request| request["initiator"].as_str() == Some(origin))
            .filter_map(|request| request["url"].as_str().map(str::to_owned))
            .collect())
    }
}

/// A running Chromium; it derefs to the [`Browser`] that drives its page.
#[derive(Debug)]
pub struct Chromium {
    browser: Browser,
    driver: Driver,
    /// What the page is told of the person, by the names of its media features.
    tastes: Mutex<BTreeMap<&'static str, &'static str>>,
}

impl Deref for Chromium {
    type Target = Browser;

    fn deref(&self) -> &Browser {
        &self.browser
    }
}

impl Chromium {
    /// Starts the browser on the profile with the screen.
    ///
    /// # Errors
    ///
    /// The browser or its driver is not installed, or does not start.
    pub async fn start(profile: &Profile, screen: Screen) -> Result<Self> {
        Self::start_with(profile, screen, &[]).await
    }

    /// Starts the browser with more arguments on its command line.
    ///
    /// # Errors
    ///
    /// The browser or its driver is not installed, or does not start.
    pub async fn start_with(profile: &Profile, screen: Screen, more: &[&str]) -> Result<Self> {
        let mut command = Command::new("chromedriver");
        command.arg("--port=0");
        let driver = Driver::naming_its_port(command, "started successfully on port ").await?;
        let mut arguments: Vec<String> = ARGUMENTS
            .iter()
            .chain(more)
            .map(ToString::to_string)
            .collect();
        if !DRAW_APART.iter().all(|argument| more.contains(argument)) {
            arguments.push(DRAW_HERE.to_owned());
        }
        arguments.push(format!("--user-data-dir={}", profile.folder().display()));
        arguments.push(format!("--log-net-log={}", profile.net_log().display()));
        arguments.push(format!("--window-size={},{}", screen.width, screen.height));
        let mut options = json!({ "args": arguments });
        if screen.touch {
            options["mobileEmulation"] = json!({ "deviceMetrics": {
                "width": screen.width, "height": screen.height,
                "pixelRatio": screen.pixel_ratio, "touch": true, "mobile": true,
            }});
        }
        let capabilities = Capabilities::from_iter([
            ("browserName".into(), json!("chrome")),
            ("goog:chromeOptions".into(), options),
            ("goog:loggingPrefs".into(), json!({ "browser": "ALL" })),
        ]);
        let client = driver.session(capabilities).await?;
        let browser = Browser::new(client, screen.touch);
        Ok(Self {
            browser,
            driver,
            tastes: Mutex::default(),
        })
    }

    /// Closes the browser; what it keeps is then in its profile.
    ///
    /// # Errors
    ///
    /// The session is already gone.
    pub async fn close(self) -> Result<()> {
        self.driver.end(self.browser.client()).await
    }

    /// Kills the browser in the middle of whatever it does, as a phone does that needs the room: it can write
    /// nothing more.
    ///
    /// # Errors
    ///
    /// Its process is not found.
    pub async fn kill(self, profile: &Profile) -> Result<()> {
        let folder = format!("--user-data-dir={}", profile.folder().display());
        let mut killed = 0;
        for process in std::fs::read_dir("/proc")? {
            let process = process?;
            let Ok(line) = std::fs::read(process.path().join("cmdline")) else {
                continue;
            };
            let arguments: Vec<_> = line.split(|byte| *byte == 0).collect();
            let has = |start: &str| {
                arguments
                    .iter()
                    .any(|one| one.starts_with(start.as_bytes()))
            };
            // The browser itself has no type; its children end with it.
            if has(&folder) && !has("--type=") && !has("--port=") {
                let id = process.file_name();
                let ended = Command::new("kill").arg("-9").arg(&id).status().await?;
                killed += usize::from(ended.success());
            }
        }
        ensure!(killed > 0, "no browser runs on {folder}");
        // Its driver ends with it.
        Ok(())
    }

    /// Sends a command of the Chrome DevTools protocol.
    ///
    /// # Errors
    ///
    /// The command is not known, or fails.
    pub async fn cdp(&self, method: &str, parameters: Value) -> Result<Value> {
        let body = json!({ "cmd": method, "params": parameters });
        self.browser
            .vendor("goog/cdp/execute", body)
            .await
            .with_context(|| method.to_owned())
    }

    /// Slows the page's main thread down by the factor; 1 is full speed.
    ///
    /// # Errors
    ///
    /// The session is gone.
    pub async fn throttle_cpu(&self, factor: f64) -> Result<()> {
        let rate = json!({ "rate": factor });
        self.cdp("Emulation.setCPUThrottlingRate", rate).await?;
        Ok(())
    }

    /// Sets what the person prefers.
    ///
    /// # Errors
    ///
    /// The session is gone.
    pub async fn prefer(&self, taste: Taste) -> Result<()> {
        let (name, value) = match taste {
            Taste::Light => ("prefers-color-scheme", "light"),
            Taste::Dark => ("prefers-color-scheme", "dark"),
            Taste::Still => ("prefers-reduced-motion", "reduce"),
            Taste::OwnColors => ("forced-colors", "active"),
        };
        let features: Vec<_> = {
            let mut tastes = self.tastes.lock().unwrap_or_else(PoisonError::into_inner);
            tastes.insert(name, value);
            let feature = |(name, value)| json!({ "name": name, "value": value });
            tastes.iter().map(feature).collect()
        };
        let features = json!({ "features": features });
        self.cdp("Emulation.setEmulatedMedia", features).await?;
        Ok(())
    }

    /// What the console and the security checks of the browser said since the last call.
    ///
    /// # Errors
    ///
    /// The session is gone.
    pub async fn console(&self) -> Result<Vec<String>> {
        let log = self
            .browser
            .vendor("se/log", json!({ "type": "browser" }))
            .await?;
        let entries = log.as_array().context("not a log")?;
        Ok(entries
            .iter()
            .map(|entry| {
                let text = |key: &str| entry[key].as_str().unwrap_or_default().to_owned();
                format!("{} {}: {}", text("level"), text("source"), text("message"))
            })
            .collect())
    }

    /// How long the tab's main thread has worked, all tasks together, since this was first asked.
    ///
    /// # Errors
    ///
    /// The session is gone, or the browser does not count.
    pub async fn main_thread_work(&self) -> Result<Duration> {
        self.cdp("Performance.enable", json!({})).await?;
        let answer = self.cdp("Performance.getMetrics", json!({})).await?;
        answer["metrics"]
            .as_array()
            .into_iter()
            .flatten()
            .find(|metric| metric["name"] == "TaskDuration")
            .and_then(|metric| metric["value"].as_f64())
            .map(Duration::from_secs_f64)
            .context("the browser does not count its tasks")
    }
}
