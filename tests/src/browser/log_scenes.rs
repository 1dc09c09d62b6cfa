//! States of the page Log, for the looks at it.

use anyhow::{Context, Result};
use fantoccini::Locator;
use laneside_core::car::demo;

use super::Browser;
use crate::log_files::Recipe;

/// A state of the page Log.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LogScene {
    /// The channels of a log, to be confirmed.
    Channels,
    /// A question about a file.
    Question,
    /// A file that is no log.
    Failed,
    /// A log with a pass on which the voltage falls.
    Falls,
    /// A good pass beside a kept one that was not, and both on the way.
    Compared,
    /// Two passes of a car of which nothing is entered.
    Bare,
    /// Four readings by hand, one of them not taken.
    Readings,
}

impl LogScene {
    /// A name for a picture of it.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Channels => "log-channels",
            Self::Question => "log-question",
            Self::Failed => "log-failed",
            Self::Falls => "log-falls",
            Self::Compared => "log-compared",
            Self::Bare => "log-bare",
            Self::Readings => "log-readings",
        }
    }

    /// Brings the browser, in which the app is open, into this state.
    ///
    /// # Errors
    ///
    /// Something of it does not show.
    pub async fn show(self, browser: &Browser) -> Result<()> {
        let cars = match self {
            Self::Bare | Self::Readings => Vec::new(),
            _ => demo::cars().to_vec(),
        };
        forget(browser).await?;
        browser.save_cars(&cars, "log").await?;
        let falls = Recipe::FALLS.text();
        match self {
            Self::Channels => choose(browser, &falls, ".log-channels").await,
            Self::Question => {
                let no_time = falls.lines().filter_map(|line| line.split_once(','));
                let rows: Vec<&str> = no_time.map(|(_, rest)| rest).collect();
                choose(browser, &rows.join("\n"), ".log-question").await
            }
            Self::Failed => choose(browser, "alpha\nbeta\n", "#log-fault .found").await,
            Self::Falls => read(browser, &falls).await,
            Self::Compared => {
                read(browser, &falls).await?;
                browser.tap("main .actions .large").await?;
                browser.wait_for(".log-passes").await?;
                read(browser, &Recipe::CURED.text()).await?;
                browser.wait_for("#log-before").await?;
                Ok(())
            }
            Self::Bare => {
                let two = Recipe {
                    passes: 2,
                    ..Recipe::FALLS
                };
                read(browser, &two.text()).await
            }
            Self::Readings => {
                browser.tap("main .door-button").await?;
                browser.retype("#reading-0-0", "12.7").await?;
                browser.retype("#reading-1-0", "99").await?;
                browser.retype("#reading-2-0", "14.1").await?;
                browser.wait_for("main .verdict .word").await?;
                Ok(())
            }
        }
    }
}

/// Forgets the passes that were kept in another state.
async fn forget(browser: &Browser) -> Result<()> {
    let forget = "
        const [done] = arguments;
        const request = indexedDB.deleteDatabase('laneside');
        request.onsuccess = request.onerror = request.onblocked = () => done();";
    browser.script_later(forget, vec![]).await?;
    Ok(())
}

/// Chooses a file of this text, and waits for what it leads to.
async fn choose(browser: &Browser, text: &str, awaited: &str) -> Result<()> {
    let folder = tempfile::tempdir()?;
    let path = folder.path().join("friday.csv");
    std::fs::write(&path, text)?;
    let input = browser.client().find(Locator::Css("#log-file")).await?;
    input
        .send_keys(path.to_str().context("an odd folder")?)
        .await?;
    browser.wait_for(awaited).await?;
    Ok(())
}

/// Reads a log on the page Log, which must be open, and confirms its channels.
///
/// # Errors
///
/// It is not read.
pub async fn read(browser: &Browser, text: &str) -> Result<()> {
    choose(browser, text, ".log-channels").await?;
    browser.tap(".log-channels .thumb .button").await?;
    browser.wait_for("main canvas").await?;
    // The model comes once nothing has changed for a while.
    tokio::time::sleep(std::time::Duration::from_millis(1_500)).await;
    Ok(())
}
