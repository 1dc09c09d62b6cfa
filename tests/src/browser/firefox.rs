//! Firefox: started through its driver, on a phone's screen that WebDriver BiDi gives it.

use std::ops::Deref;

use anyhow::{Context, Result};
use fantoccini::wd::Capabilities;
use serde_json::{Value, json};
use tokio::process::Command;

use super::bidi::Bidi;
use super::device::Taste;
use super::driver::Driver;
use super::{Browser, Profile, Screen};
use crate::server::Server;

/// A running Firefox; it derefs to the [`Browser`] that drives its page.
#[derive(Debug)]
pub struct Firefox {
    browser: Browser,
    bidi: Bidi,
    driver: Driver,
}

impl Deref for Firefox {
    type Target = Browser;

    fn deref(&self) -> &Browser {
        &self.browser
    }
}

impl Firefox {
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
        let mut command = Command::new("geckodriver");
        command.args(["--port=0", "--websocket-port=0", "--log=info"]);
        // Settings of the browser are set from its own side.
        command.arg("--allow-system-access");
        // Its maker's list of settings is asked for unless this says that another place may be.
        command.env("MOZ_REMOTE_SETTINGS_DEVTOOLS", "1");
        profile.tell_sound(&mut command);
        let driver = Driver::naming_its_port(command, "Listening on 127.0.0.1:").await?;
        let folder = profile.folder();
        std::fs::create_dir_all(&folder)?;
        // Of a pointer: 1 is coarse, 6 is fine and hovers.
        let pointer = if screen.touch { 1 } else { 6 };
        let options = json!({
            "args": ["-headless", "-profile", folder],
            "prefs": {
                "intl.accept_languages": language,
                "dom.w3c_touch_events.enabled": i32::from(screen.touch),
                "ui.primaryPointerCapabilities": pointer,
                "ui.allPointerCapabilities": pointer,
                // One page needs no process for each origin, and none that waits for the next page.
                "fission.autostart": false,
                "dom.ipc.processPrelaunch.enabled": false,
                // A touch screen's bars of scrolling take no room.
                "ui.useOverlayScrollbars": i32::from(screen.touch),
                // Nothing is kept of the page but what it keeps itself.
                "browser.cache.disk.enable": false,
                "browser.sessionstore.resume_from_crash": false,
                // Nobody is there to answer whether that is to stay.
                "dom.storageManager.prompt.testing": true,
                "dom.storageManager.prompt.testing.allow": false,
                "media.navigator.streams.fake": true,
                "media.navigator.permission.disabled": true,
                "privacy.reduceTimerPrecision": false,
                // A proxy is asked for what is on this machine, too.
                "network.proxy.allow_hijacking_localhost": true,
                "datareporting.policy.dataSubmissionEnabled": false,
                "app.update.disabledForTesting": true,
                "services.settings.server": "data:,",
            },
        });
        let mut capabilities = Capabilities::from_iter([
            ("browserName".into(), json!("firefox")),
            ("webSocketUrl".into(), json!(true)),
            ("moz:firefoxOptions".into(), options),
        ]);
        capabilities.extend(through.map(Server::as_proxy));
        let client = driver.session(capabilities).await?;
        let url = client
            .capabilities()
            .and_then(|found| found.get("webSocketUrl")?.as_str())
            .context("no address for BiDi")?;
        let bidi = Bidi::connect(url).await?;
        let browser = Browser::new(client, screen.touch);
        let this = Self {
            browser,
            bidi,
            driver,
        };
        this.fit(screen).await?;
        Ok(this)
    }

    /// Gives the page that is open the screen.
    ///
    /// # Errors
    ///
    /// The session is gone.
    pub async fn fit(&self, screen: Screen) -> Result<()> {
        let page: String = self.browser.client().window().await?.into();
        let viewport = json!({
            "context": page,
            "viewport": { "width": screen.width, "height": screen.height },
            "devicePixelRatio": screen.pixel_ratio,
        });
        self.bidi
            .send("browsingContext.setViewport", viewport)
            .await?;
        Ok(())
    }

    /// Runs a script before those of every page from the next one on.
    ///
    /// # Errors
    ///
    /// The session is gone.
    pub async fn before_pages(&self, script: &str) -> Result<()> {
        let function = format!("() => {{ {script} }}");
        let parameters = json!({ "functionDeclaration": function });
        self.bidi
            .send("script.addPreloadScript", parameters)
            .await?;
        Ok(())
    }

    /// Runs a script as one of the page's own.
    ///
    /// # Errors
    ///
    /// The script throws.
    pub async fn in_page(&self, script: &str) -> Result<()> {
        let page: String = self.browser.client().window().await?.into();
        let call = json!({
            "functionDeclaration": format!("() => {{ {script} }}"),
            "target": { "context": page },
            "awaitPromise": false,
        });
        let done = self.bidi.send("script.callFunction", call).await?;
        anyhow::ensure!(done["type"] == "success", "{done}");
        Ok(())
    }

    /// Sets what the person prefers.
    ///
    /// # Errors
    ///
    /// The session is gone.
    pub async fn prefer(&self, taste: Taste) -> Result<()> {
        let (name, value) = match taste {
            Taste::Light => ("layout.css.prefers-color-scheme.content-override", 1),
            Taste::Dark => ("layout.css.prefers-color-scheme.content-override", 0),
            Taste::Still => ("ui.prefersReducedMotion", 1),
            Taste::OwnColors => ("browser.display.document_color_use", 2),
        };
        self.set(name, json!(value)).await
    }

    /// Refuses microphone and camera, as a person does.
    ///
    /// # Errors
    ///
    /// The session is gone.
    pub async fn refuse_capture(&self) -> Result<()> {
        self.set("media.navigator.permission.disabled", json!(false))
            .await?;
        self.set("permissions.default.camera", json!(2)).await?;
        self.set("permissions.default.microphone", json!(2)).await
    }

    /// Agrees to keep what the page keeps.
    ///
    /// # Errors
    ///
    /// The session is gone.
    pub async fn agree_to_keep(&self) -> Result<()> {
        self.set("dom.storageManager.prompt.testing.allow", json!(true))
            .await
    }

    /// Changes a setting of the browser itself, from its own side.
    async fn set(&self, name: &str, value: Value) -> Result<()> {
        let side = async |context: &str| {
            let body = json!({ "context": context });
            self.browser.vendor("moz/context", body).await
        };
        side("chrome").await?;
        let put = "
            const [name, value] = arguments;
            if (typeof value === 'number') Services.prefs.setIntPref(name, value);
            else Services.prefs.setBoolPref(name, value);";
        let done = self.browser.script(put, vec![json!(name), value]).await;
        side("content").await?;
        done?;
        Ok(())
    }

    /// What the page's log said since the last call.
    ///
    /// # Errors
    ///
    /// The session is gone.
    pub async fn console(&self) -> Result<Vec<String>> {
        self.bidi.told().await
    }

    /// Closes the browser; what it keeps is then in its profile.
    ///
    /// # Errors
    ///
    /// The session is already gone.
    pub async fn close(self) -> Result<()> {
        self.driver.end(self.browser.client()).await
    }
}
