//! One phone with the app in its browser, and the server it came from.

use anyhow::{Context, Result};
use laneside_core::car::Car;
use laneside_tests::browser::{Browser, Device, Profile, Screen, built_app};
use laneside_tests::server::Server;
use std::path::Path;

/// The board of the pulley on the car, on the page Pulleys.
pub const ON_CAR: &str = ".pair > :nth-child(1)";
/// The board of the pulley to try.
pub const TO_TRY: &str = ".pair > :nth-child(2)";

/// Without signal the look for a newer version fails, as it must.
pub const NO_SIGNAL: [&str; 1] = ["service-worker.js"];

/// The text of the file that the page Cars saves of the open car.
pub async fn saved_file(phone: &Browser) -> Result<String> {
    let save = "
        const [done] = arguments, make = URL.createObjectURL;
        URL.createObjectURL = (file) => {
            URL.createObjectURL = make;
            file.text().then(done);
            return make.call(URL, file);
        };
        [...document.querySelectorAll('main button')].find((one) => one.innerText === 'Save as a file').click();";
    let found = "return [...document.querySelectorAll('main button')].some((one) => one.innerText === 'Save as a file')";
    phone.wait_until("the way to a file", found, vec![]).await?;
    let file = phone.script_later(save, vec![]).await?;
    phone.wait_text("main", "among its downloads").await?;
    Ok(file.as_str().context("no file")?.to_owned())
}

/// The phone, the server that it reached, and the page that is open.
pub struct Visit {
    pub device: Device,
    pub url: String,
    profile: Profile,
    server: Option<Server>,
    screen: Screen,
    /// The language of its person.
    speaks: String,
}

impl Visit {
    /// The first one.
    pub async fn first(screen: Screen) -> Result<Self> {
        Self::speaking("en-US", screen, &built_app()?).await
    }

    /// The first one of a phone in another language, with the app of this folder.
    pub async fn speaking(language: &str, screen: Screen, folder: &Path) -> Result<Self> {
        let server = Server::start(folder, 0)?;
        let url = server.url();
        let profile = Profile::new()?;
        let device = Device::speaking(&profile, screen, language).await?;
        device.open(&url).await?;
        Ok(Self {
            device,
            url,
            profile,
            server: Some(server),
            screen,
            speaks: language.to_owned(),
        })
    }

    /// One with cars saved, the first of them open.
    pub async fn with(cars: &[Car], page: &str) -> Result<Self> {
        let visit = Self::first(Screen::PHONE).await?;
        visit.device.save_cars(cars, page).await?;
        Ok(visit)
    }

    /// Switches the server off.
    pub fn lose_signal(&mut self) -> Result<()> {
        let server = self.server.take().context("there was no signal before")?;
        server.stop();
        Ok(())
    }

    /// Switches the phone off and on again, and opens the app.
    pub async fn start_cold(self) -> Result<Self> {
        self.device.close().await?;
        let device = Device::speaking(&self.profile, self.screen, &self.speaks).await?;
        device.open(&self.url).await?;
        Ok(Self { device, ..self })
    }

    /// Kills the browser, starts it again, and opens the app.
    pub async fn killed(self) -> Result<Self> {
        self.device.kill(&self.profile).await?;
        let device = Device::speaking(&self.profile, self.screen, &self.speaks).await?;
        device.open(&self.url).await?;
        Ok(Self { device, ..self })
    }

    /// Closes the browser; fails if anything went wrong in the page since the console was last read.
    pub async fn end(self) -> Result<()> {
        let but: &[&str] = if self.server.is_some() {
            &[]
        } else {
            &NO_SIGNAL
        };
        self.device.end(but).await
    }
}
