//! A running browser of whichever engine the tests are run in.

use std::ops::Deref;

use anyhow::{Result, anyhow, bail, ensure};
use fantoccini::wd::{PrintConfiguration, PrintSize};
use serde_json::json;

use super::firefox::Firefox;
use super::webkit::WebKit;
use super::{Browser, Chromium, Engine, Profile, Screen};
use crate::server::Server;

/// What a person prefers, as a page is told it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Taste {
    /// Dark text on light ground.
    Light,
    /// Light text on dark ground.
    Dark,
    /// Less motion.
    Still,
    /// Few colors, the person's own: forced colors.
    OwnColors,
}

/// A running browser; it derefs to the [`Browser`] that drives its page.
#[derive(Debug)]
#[allow(clippy::large_enum_variant, reason = "a test has one or two of them")]
pub enum Device {
    /// See [`Chromium`].
    Chromium(Chromium),
    /// See [`Firefox`].
    Firefox(Firefox),
    /// See [`WebKit`].
    WebKit(WebKit),
}

impl Deref for Device {
    type Target = Browser;

    fn deref(&self) -> &Browser {
        match self {
            Self::Chromium(browser) => browser,
            Self::Firefox(browser) => browser,
            Self::WebKit(browser) => browser,
        }
    }
}

impl Device {
    /// Starts the browser of [`Engine::chosen`] on the profile with the screen.
    ///
    /// # Errors
    ///
    /// The browser or its driver is not installed, or does not start.
    pub async fn start(profile: &Profile, screen: Screen) -> Result<Self> {
        // Sizes are typed in inches where this language is spoken.
        Self::speaking(profile, screen, "en-US").await
    }

    /// Starts it for a person of this language, a tag of BCP 47.
    ///
    /// # Errors
    ///
    /// The browser or its driver is not installed, or does not start.
    pub async fn speaking(profile: &Profile, screen: Screen, language: &str) -> Result<Self> {
        Ok(match Engine::chosen()? {
            Engine::Chromium => {
                let language = format!("--accept-lang={language}");
                // A microphone and a camera that can be refused: without any there is nothing to ask for.
                let devices = "--use-fake-device-for-media-stream";
                Self::Chromium(Chromium::start_with(profile, screen, &[&language, devices]).await?)
            }
            Engine::Firefox => {
                Self::Firefox(Firefox::start(profile, screen, language, None).await?)
            }
            Engine::WebKit => Self::WebKit(WebKit::start(profile, screen, language, None).await?),
        })
    }

    /// Starts it so that what it asked for is known afterwards: see [`Device::asked`].
    ///
    /// # Errors
    ///
    /// The browser or its driver is not installed, or does not start.
    pub async fn start_told(profile: &Profile, screen: Screen, server: &Server) -> Result<Self> {
        let through = Some(server);
        Ok(match Engine::chosen()? {
            Engine::Chromium => Self::start(profile, screen).await?,
            Engine::Firefox => {
                Self::Firefox(Firefox::start(profile, screen, "en-US", through).await?)
            }
            Engine::WebKit => Self::WebKit(WebKit::start(profile, screen, "en-US", through).await?),
        })
    }

    /// Closes the browser, and tells every address that page and workers of the server's origin asked for:
    /// by Chromium's own log, or by what other browsers asked of the server as their proxy.
    ///
    /// # Errors
    ///
    /// The session is gone, or the log is not whole.
    pub async fn asked(self, profile: &Profile, server: &Server) -> Result<Vec<String>> {
        let has_log = matches!(self, Self::Chromium(_));
        self.close().await?;
        if has_log {
            return profile.requests_of(&server.url());
        }
        let url = server.url();
        let origin = url.trim_end_matches('/');
        let whole = |one: String| {
            if one.starts_with('/') {
                format!("{origin}{one}")
            } else {
                one
            }
        };
        Ok(server.requests().into_iter().map(whole).collect())
    }

    /// What only Chromium can do.
    ///
    /// # Errors
    ///
    /// This is another engine: the test has to say by `needs!` what it wants.
    pub fn as_chromium(&self) -> Result<&Chromium> {
        match self {
            Self::Chromium(browser) => Ok(browser),
            _ => bail!("not Chromium"),
        }
    }

    /// Closes the browser; what it keeps is then in its profile.
    ///
    /// # Errors
    ///
    /// The session is already gone.
    pub async fn close(self) -> Result<()> {
        match self {
            Self::Chromium(browser) => browser.close().await,
            Self::Firefox(browser) => browser.close().await,
            Self::WebKit(browser) => browser.close().await,
        }
    }

    /// Closes the browser; but for lines with one of these words, nothing may have gone wrong in the page since
    /// [`Device::complaints`] was last called.
    ///
    /// # Errors
    ///
    /// Something went wrong, or the session is already gone.
    pub async fn end(self, but: &[&str]) -> Result<()> {
        let mut told = self.complaints().await?;
        told.retain(|line| !but.iter().any(|word| line.contains(word)));
        ensure!(told.is_empty(), "{told:#?}");
        self.close().await
    }

    /// Kills it in the middle of whatever it does, as a phone does that needs the room: it can write
    /// nothing more.
    ///
    /// # Errors
    ///
    /// Its process is not found.
    pub async fn kill(self, profile: &Profile) -> Result<()> {
        match self {
            Self::Chromium(browser) => browser.kill(profile).await?,
            // Started by their drivers, and killed with them.
            Self::Firefox(browser) => drop(browser),
            Self::WebKit(browser) => drop(browser),
        }
        Ok(())
    }

    /// Sets what the person prefers, from now on.
    ///
    /// # Errors
    ///
    /// The session is gone, or the engine cannot.
    pub async fn prefer(&self, taste: Taste) -> Result<()> {
        match self {
            Self::Chromium(browser) => browser.prefer(taste).await,
            Self::Firefox(browser) => browser.prefer(taste).await,
            Self::WebKit(browser) => browser.prefer(taste).await,
        }
    }

    /// Sets the color scheme that the page is told of, `light` or `dark`.
    ///
    /// # Errors
    ///
    /// The session is gone.
    pub async fn color_scheme(&self, scheme: &str) -> Result<()> {
        let is_dark = scheme == "dark";
        self.prefer(if is_dark { Taste::Dark } else { Taste::Light })
            .await
    }

    /// Runs a script before those of every page from the next one on.
    ///
    /// # Errors
    ///
    /// The session is gone.
    pub async fn before_pages(&self, script: &str) -> Result<()> {
        match self {
            Self::Chromium(browser) => {
                let parameters = json!({ "source": script });
                let method = "Page.addScriptToEvaluateOnNewDocument";
                browser.cdp(method, parameters).await?;
                Ok(())
            }
            Self::Firefox(browser) => browser.before_pages(script).await,
            Self::WebKit(browser) => browser.before_pages(script).await,
        }
    }

    /// Runs a script as one of the page's own: what Firefox's driver runs has other classes than the page.
    ///
    /// # Errors
    ///
    /// The script throws.
    pub async fn in_page(&self, script: &str) -> Result<()> {
        match self {
            Self::Firefox(browser) => browser.in_page(script).await,
            _ => {
                self.script(script, vec![]).await?;
                Ok(())
            }
        }
    }

    /// Refuses microphone and camera from now on, as a person does who is asked for them.
    ///
    /// # Errors
    ///
    /// The session is gone.
    pub async fn refuse_capture(&self) -> Result<()> {
        match self {
            Self::Chromium(browser) => {
                for name in ["microphone", "camera"] {
                    let denied = json!({ "permission": { "name": name }, "setting": "denied" });
                    browser.cdp("Browser.setPermission", denied).await?;
                }
                Ok(())
            }
            Self::Firefox(browser) => browser.refuse_capture().await,
            Self::WebKit(browser) => browser.refuse_capture().await,
        }
    }

    /// Agrees from now on to keep what the page keeps; asked before, the browser says no.
    ///
    /// # Errors
    ///
    /// The session is gone.
    pub async fn agree_to_keep(&self, origin: &str) -> Result<()> {
        match self {
            Self::Chromium(browser) => {
                let grant = json!({ "permissions": ["durableStorage"], "origin": origin });
                browser.cdp("Browser.grantPermissions", grant).await?;
                Ok(())
            }
            Self::Firefox(browser) => browser.agree_to_keep().await,
            Self::WebKit(browser) => browser.agree_to_keep().await,
        }
    }

    /// The page on paper of this size in inches, as a PDF, as the browser itself makes it.
    ///
    /// # Errors
    ///
    /// The session is gone, or the driver does not print.
    pub async fn print(&self, width: f64, height: f64) -> Result<Vec<u8>> {
        const CM: f64 = 2.54;
        let size = PrintSize {
            width: width * CM,
            height: height * CM,
        };
        if let Self::WebKit(browser) = self {
            return browser.print(width, height).await;
        }
        let paper = PrintConfiguration::builder().size(size).build();
        let paper = paper.map_err(|error| anyhow!("{error:?}"))?;
        Ok(self.client().print(paper).await?)
    }

    /// What went wrong in the page since the last call: failed scripts, what a policy stopped, and
    /// what a page itself calls an error.
    ///
    /// # Errors
    ///
    /// The session is gone.
    pub async fn complaints(&self) -> Result<Vec<String>> {
        let (said, bad): (_, &[&str]) = match self {
            // Its words where a policy or a script fails.
            Self::Chromium(browser) => (browser.console().await?, &["SEVERE", "Security Policy"]),
            Self::Firefox(browser) => (browser.console().await?, &["error ", "Security Policy"]),
            // The other words there are those of the windows' library.
            Self::WebKit(browser) => (
                browser.console(),
                &[
                    "CONSOLE ERROR",
                    "CONSOLE JS ERROR",
                    "CONSOLE SECURITY ERROR",
                    "Security Policy",
                ],
            ),
        };
        // WebKit's GTK port knows no manifests, and says at every load that it passes this directive over.
        let unknown = "directive 'manifest-src'";
        let is_bad =
            |line: &String| bad.iter().any(|word| line.contains(word)) && !line.contains(unknown);
        Ok(said.into_iter().filter(is_bad).collect())
    }
}
