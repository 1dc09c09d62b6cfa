//! WebKit: a bare window of its GTK port (`webkit_host.py`) on a screen in memory.

use std::ops::Deref;
use std::process::Stdio;
use std::time::{Duration, Instant};

use anyhow::{Context, Result, ensure};
use fantoccini::wd::Capabilities;
use serde_json::{Value, json};
use tokio::io::{AsyncBufReadExt, BufReader};
use tokio::process::{Child, Command};

use super::device::Taste;
use super::driver::Driver;
use super::page::{GLANCE, PATIENCE};
use super::{Browser, Profile, Screen, workspace};
use crate::server::Server;

/// Until it has written what changed last.
const WRITTEN: Duration = Duration::from_millis(700);

/// A running WebKit; it derefs to the [`Browser`] that drives its page.
#[derive(Debug)]
pub struct WebKit {
    browser: Browser,
    driver: Driver,
    /// Killed when dropped, after the browser.
    _display: Child,
}

impl Deref for WebKit {
    type Target = Browser;

    fn deref(&self) -> &Browser {
        &self.browser
    }
}

impl WebKit {
    /// Device pixels per CSS pixel: whole ones only, and each is drawn by the processor.
    pub const PIXEL_RATIO: f64 = 1.0;

    /// Starts the browser on the profile with the screen, for a person of this language; it asks everything
    /// through the server, if one is given.
    ///
    /// # Errors
    ///
    /// The browser or its driver is not installed, or does not start.
    pub async fn start(
        profile: &Profile,
        screen: Screen,
        language: &str,
        through: Option<&Server>,
    ) -> Result<Self> {
        let (display, name) = display().await?;
        // What the page's log says comes on the browser's error output.
        let mut command = Command::new("sh");
        command
            .args(["-c", "exec \"$0\" \"$@\" 2>&1", "WebKitWebDriver"])
            .env("DISPLAY", format!(":{name}"))
            // Its sandbox needs what a container does not give.
            .env("WEBKIT_DISABLE_SANDBOX_THIS_IS_DANGEROUS", "1")
            .env("LIBGL_ALWAYS_SOFTWARE", "1")
            .env("GTK_A11Y", "none")
            .env("NO_AT_BRIDGE", "1")
            .env("LANG", "C.UTF-8");
        profile.tell_sound(&mut command);
        let driver = Driver::told_its_port(command)?;
        let host = workspace()?.join("tests/src/browser/webkit_host.py");
        let arguments = json!([
            profile.folder(),
            screen.width.to_string(),
            screen.height.to_string(),
            language
        ]);
        let options = json!({ "binary": host, "args": arguments });
        let mut capabilities =
            Capabilities::from_iter([("webkitgtk:browserOptions".into(), options)]);
        capabilities.extend(through.map(Server::as_proxy));
        let client = driver.session(capabilities).await?;
        // The driver knows no finger: a touch screen is touched with the mouse.
        let browser = Browser::new(client, false);
        Ok(Self {
            browser,
            driver,
            _display: display,
        })
    }

    /// Runs a script before those of every page from the next one on.
    ///
    /// # Errors
    ///
    /// The session is gone.
    pub async fn before_pages(&self, script: &str) -> Result<()> {
        self.ask(json!({ "before": script })).await
    }

    /// Sets what the person prefers.
    ///
    /// # Errors
    ///
    /// The session is gone.
    pub async fn prefer(&self, taste: Taste) -> Result<()> {
        self.ask(match taste {
            Taste::Light => json!({ "scheme": "light" }),
            Taste::Dark => json!({ "scheme": "dark" }),
            Taste::Still => json!({ "still": true }),
            Taste::OwnColors => anyhow::bail!("WebKit has no forced colors"),
        })
        .await
    }

    /// Refuses microphone and camera, in the page: WebKit allows them wherever a driver is at work.
    ///
    /// # Errors
    ///
    /// The session is gone.
    pub async fn refuse_capture(&self) -> Result<()> {
        let refuse = "MediaDevices.prototype.getUserMedia = async () => {
            throw new DOMException('refused', 'NotAllowedError');
        };";
        self.run_always(refuse).await
    }

    /// Agrees to keep what the page keeps, in the page: WebKit asks nobody and its driver has no way to it.
    ///
    /// # Errors
    ///
    /// The session is gone.
    pub async fn agree_to_keep(&self) -> Result<()> {
        let agree = "
            const yes = async () => localStorage.getItem('agreed') === 'yes';
            StorageManager.prototype.persist = () => { localStorage.setItem('agreed', 'yes'); return yes() };
            StorageManager.prototype.persisted = yes;";
        self.run_always(agree).await
    }

    /// The page on paper of this size in inches, as a PDF.
    ///
    /// # Errors
    ///
    /// The session is gone, or no file comes.
    pub async fn print(&self, width: f64, height: f64) -> Result<Vec<u8>> {
        let folder = tempfile::tempdir()?;
        let file = folder.path().join("paper.pdf");
        self.ask(json!({ "print": [file, width, height] })).await?;
        let end = Instant::now() + PATIENCE;
        while !file.exists() {
            ensure!(Instant::now() < end, "nothing is printed");
            tokio::time::sleep(GLANCE).await;
        }
        Ok(std::fs::read(file)?)
    }

    /// Runs a script in this page and before those of every page after it.
    async fn run_always(&self, script: &str) -> Result<()> {
        self.before_pages(script).await?;
        self.browser.script(script, vec![]).await?;
        Ok(())
    }

    async fn ask(&self, what: Value) -> Result<()> {
        let ask = "webkit.messageHandlers.host.postMessage(arguments[0])";
        self.browser
            .script(ask, vec![json!(what.to_string())])
            .await?;
        self.browser.settle().await
    }

    /// What the page's log said since the last call.
    pub fn console(&self) -> Vec<String> {
        self.driver.said()
    }

    /// Closes the browser; what it keeps is then in its profile.
    ///
    /// # Errors
    ///
    /// The session is already gone.
    pub async fn close(self) -> Result<()> {
        // Half a second after the last change WebKit writes its local storage; its end does not wait for that.
        tokio::time::sleep(WRITTEN).await;
        self.driver.end(self.browser.client()).await
    }
}

/// A screen in memory, and its number, which the server chooses.
async fn display() -> Result<(Child, u32)> {
    let mut display = Command::new("Xvfb")
        .args(["-displayfd", "1", "-screen", "0", "1400x1000x24"])
        .args(["-nolisten", "tcp", "-noreset"])
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .kill_on_drop(true)
        .spawn()
        .context("Xvfb does not start; `bash tests/run.sh` installs it")?;
    let output = display.stdout.take().context("Xvfb has no output")?;
    let line = BufReader::new(output).lines().next_line().await?;
    let name = line.context("Xvfb ended without a screen")?;
    Ok((display, name.trim().parse()?))
}
