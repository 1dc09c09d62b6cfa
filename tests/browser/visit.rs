//! One phone with the app in its browser, and the server it came from.

use anyhow::{Context, Result};
use laneside_core::car::Car;
use laneside_tests::browser::chromium::Profile;
use laneside_tests::browser::{Chromium, Screen, built_app};
use laneside_tests::server::Server;
use std::path::Path;

use crate::offline::complaints;

/// The board of the pulley on the car, on the page Pulleys.
pub const ON_CAR: &str = ".pair > :nth-child(1)";
/// The board of the pulley to try.
pub const TO_TRY: &str = ".pair > :nth-child(2)";

/// The phone, the server that it reached, and the page that is open.
pub struct Visit {
    pub chromium: Chromium,
    pub url: String,
    profile: Profile,
    server: Option<Server>,
    screen: Screen,
    /// Sizes are typed in inches where American English is spoken.
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
        let speaks = format!("--accept-lang={language}");
        let chromium = Chromium::start_with(&profile, screen, &[&speaks]).await?;
        chromium.open(&url).await?;
        Ok(Self {
            chromium,
            url,
            profile,
            server: Some(server),
            screen,
            speaks,
        })
    }

    /// One with cars saved, the first of them open.
    pub async fn with(cars: &[Car], page: &str) -> Result<Self> {
        let visit = Self::first(Screen::PHONE).await?;
        visit.chromium.save_cars(cars, page).await?;
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
        self.chromium.close().await?;
        let chromium = Chromium::start_with(&self.profile, self.screen, &[&self.speaks]).await?;
        chromium.open(&self.url).await?;
        Ok(Self { chromium, ..self })
    }

    /// Kills the browser, starts it again, and opens the app.
    pub async fn killed(self) -> Result<Self> {
        self.chromium.kill(&self.profile).await?;
        let chromium = Chromium::start_with(&self.profile, self.screen, &[&self.speaks]).await?;
        chromium.open(&self.url).await?;
        Ok(Self { chromium, ..self })
    }

    /// Closes the browser; fails if anything went wrong in the page since the console was last read.
    pub async fn end(self) -> Result<()> {
        let console = self.chromium.console().await?;
        let told: Vec<_> = complaints(&console)
            .into_iter()
            // Without signal the look for a newer version fails, as it must.
            .filter(|line| self.server.is_some() || !line.contains("service-worker.js"))
            .collect();
        assert!(told.is_empty(), "{told:#?}");
        self.chromium.close().await
    }
}
