//! Chromium: started through its driver, with what no other engine offers.

use std::ops::Deref;
use std::path::PathBuf;
use std::process::Stdio;
use std::time::Duration;

use anyhow::{Context, Result, bail, ensure};
use fantoccini::ClientBuilder;
use fantoccini::wd::{Capabilities, WebDriverCompatibleCommand};
use http::Method;
use hyper_util::client::legacy::connect::HttpConnector;
use serde_json::{Value, json};
use tempfile::TempDir;
use tokio::io::{AsyncBufReadExt, BufReader};
use tokio::process::{Child, Command};
use url::{ParseError, Url};

use super::{Browser, Screen};

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

/// What the browser keeps from one start to the next: its stores, caches and service workers.
#[derive(Debug)]
pub struct Profile(TempDir);

impl Profile {
    /// A new and empty one, deleted when dropped.
    ///
    /// # Errors
    ///
    /// No temporary folder can be made.
    pub fn new() -> Result<Self> {
        Ok(Self(tempfile::tempdir()?))
    }

    fn folder(&self) -> PathBuf {
        self.0.path().join("profile")
    }

    fn net_log(&self) -> PathBuf {
        self.0.path().join(NET_LOG)
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
    /// Killed when dropped, and the browser with it.
    driver: Child,
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
        let (driver, port) = start_driver().await?;
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
        let client = ClientBuilder::new(HttpConnector::new())
            .capabilities(capabilities)
            .connect(&format!("http://127.0.0.1:{port}"))
            .await
            .context("Chromium does not start")?;
        let browser = Browser::new(client, screen.touch);
        Ok(Self { browser, driver })
    }

    /// Closes the browser; what it keeps is then in its profile.
    ///
    /// # Errors
    ///
    /// The session is already gone.
    pub async fn close(mut self) -> Result<()> {
        self.browser.client().clone().close().await?;
        self.driver.kill().await?;
        Ok(())
    }

    /// Kills the browser in the middle of whatever it does, as a phone does that needs the room: it can write
    /// nothing more.
    ///
    /// # Errors
    ///
    /// Its process is not found.
    pub async fn kill(mut self, profile: &Profile) -> Result<()> {
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
        self.driver.kill().await?;
        Ok(())
    }

    /// Has a script run in every page before its own, from the next load on.
    ///
    /// # Errors
    ///
    /// The session is gone.
    pub async fn run_first(&self, script: &str) -> Result<()> {
        let source = json!({ "source": script });
        self.cdp("Page.addScriptToEvaluateOnNewDocument", source)
            .await?;
        Ok(())
    }

    /// Sends a command of the Chrome DevTools protocol.
    ///
    /// # Errors
    ///
    /// The command is not known, or fails.
    pub async fn cdp(&self, method: &str, parameters: Value) -> Result<Value> {
        let body = json!({ "cmd": method, "params": parameters });
        self.command("goog/cdp/execute", body)
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

    /// Sets the color scheme that the page is told of, `light` or `dark`.
    ///
    /// # Errors
    ///
    /// The session is gone.
    pub async fn color_scheme(&self, scheme: &str) -> Result<()> {
        let feature = json!({ "features": [{ "name": "prefers-color-scheme", "value": scheme }] });
        self.cdp("Emulation.setEmulatedMedia", feature).await?;
        Ok(())
    }

    /// Takes the page's network away, or gives it back.
    ///
    /// # Errors
    ///
    /// The session is gone.
    pub async fn offline(&self, offline: bool) -> Result<()> {
        let conditions = json!({
            "offline": offline, "latency": 0, "downloadThroughput": -1, "uploadThroughput": -1,
        });
        self.cdp("Network.enable", json!({})).await?;
        self.cdp("Network.emulateNetworkConditions", conditions)
            .await?;
        Ok(())
    }

    /// What the console and the security checks of the browser said since the last call.
    ///
    /// # Errors
    ///
    /// The session is gone.
    pub async fn console(&self) -> Result<Vec<String>> {
        let log = self.command("se/log", json!({ "type": "browser" })).await?;
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

    async fn command(&self, path: &'static str, body: Value) -> Result<Value> {
        let command = VendorCommand { path, body };
        Ok(self.browser.client().issue_cmd(command).await?)
    }
}

/// Starts the driver on a port that it chooses itself, and reads which.
async fn start_driver() -> Result<(Child, u16)> {
    let mut driver = Command::new("chromedriver")
        .arg("--port=0")
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .kill_on_drop(true)
        .spawn()
        .context("chromedriver does not start; `bash tests/run.sh` installs it")?;
    let output = driver.stdout.take().context("chromedriver has no output")?;
    let mut lines = BufReader::new(output).lines();
    while let Some(line) = lines.next_line().await? {
        if let Some((_, port)) = line.split_once("started successfully on port ") {
            let port = port.trim_end_matches('.').parse()?;
            return Ok((driver, port));
        }
    }
    bail!("chromedriver ended without naming its port")
}

/// A command beyond the WebDriver standard, under the session's address.
#[derive(Debug)]
struct VendorCommand {
    path: &'static str,
    body: Value,
}

impl WebDriverCompatibleCommand for VendorCommand {
    fn endpoint(&self, base: &Url, session: Option<&str>) -> Result<Url, ParseError> {
        let session = session.unwrap_or_default();
        base.join(&format!("session/{session}/{}", self.path))
    }

    fn method_and_body(&self, _: &Url) -> (Method, Option<String>) {
        (Method::POST, Some(self.body.to_string()))
    }
}
