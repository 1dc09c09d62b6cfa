//! What a test does with Laneside itself: its pages, its pad, its saved cars.

use anyhow::{Context, Result};
use laneside_core::car::Car;
use serde_json::{Value, json};

use super::Browser;

/// Every page, as its hash names it.
pub const PAGES: [&str; 10] = [
    "welcome", "board", "cars", "car", "pulleys", "belt", "pass", "day", "swap", "log",
];

/// The entry of the browser's storage that holds a saved car.
#[must_use]
pub fn car_key(id: usize) -> String {
    format!("laneside.car.{id}")
}

/// What that entry holds.
///
/// # Errors
///
/// The car cannot be written as a file.
pub fn record(car: &Car) -> Result<String> {
    Ok(json!({ "file": car.to_file()?, "drafts": [] }).to_string())
}

impl Browser {
    /// Goes to a page by its hash, as a link does, and waits until it is drawn.
    ///
    /// # Errors
    ///
    /// It does not show.
    pub async fn go(&self, page: &str) -> Result<()> {
        self.script("location.hash = '#/' + arguments[0]", vec![json!(page)])
            .await?;
        let name = page.split('/').next().unwrap_or_default().to_owned();
        let here = "return document.title.toLowerCase().startsWith(arguments[0] + ' ')";
        self.wait_until(page, here, vec![json!(name)]).await?;
        self.settle().await
    }

    /// Waits until what is due has been drawn, and whatever moves has come to rest.
    ///
    /// # Errors
    ///
    /// The session is gone.
    pub async fn settle(&self) -> Result<()> {
        let frames = "
            const [done] = arguments;
            const frame = () => new Promise(requestAnimationFrame);
            frame().then(frame).then(() =>
                Promise.allSettled(document.getAnimations().map((moving) => moving.finished)))
                .then(() => setTimeout(done));";
        self.script_later(frames, vec![]).await?;
        Ok(())
    }

    /// Loads the page again as a browser in which these cars are saved, the first one open, and
    /// nothing else.
    ///
    /// # Errors
    ///
    /// A car cannot be written, or the page stays empty.
    pub async fn save_cars(&self, cars: &[Car], page: &str) -> Result<()> {
        let records = cars.iter().map(record).collect::<Result<Vec<_>>>()?;
        let put = "
            const [records, page] = arguments;
            localStorage.clear();
            records.forEach((text, at) => localStorage.setItem(`laneside.car.${at + 1}`, text));
            if (records.length) localStorage.setItem('laneside.open', '1');
            history.replaceState(null, '', '#/' + page);";
        self.script(put, vec![json!(records), json!(page)]).await?;
        self.reload().await?;
        self.settle().await
    }

    /// An entry of the browser's storage; `None` where there is none.
    ///
    /// # Errors
    ///
    /// The session is gone.
    pub async fn stored(&self, key: &str) -> Result<Option<String>> {
        let read = "return localStorage.getItem(arguments[0])";
        let found = self.script(read, vec![json!(key)]).await?;
        Ok(found.as_str().map(str::to_owned))
    }

    /// A saved car as the browser's storage has it.
    ///
    /// # Errors
    ///
    /// There is none, or it cannot be read.
    pub async fn saved_car(&self, id: usize) -> Result<Car> {
        let key = car_key(id);
        let text = self.stored(&key).await?.context("no such car is saved")?;
        let record: Value = serde_json::from_str(&text)?;
        let file = record["file"].as_str().context("no car file in it")?;
        Ok(Car::from_file(file)?)
    }

    /// Taps keys of the number pad by their faces, `Next` among them.
    ///
    /// # Errors
    ///
    /// The pad is not open, or has no such key.
    pub async fn tap_keys(&self, faces: &[&str]) -> Result<()> {
        for face in faces {
            let key = format!(".pad .keys [aria-label='{face}']");
            self.tap(&key).await?;
            if *face == "Next" {
                // The keys of the next entry may be others.
                self.settle().await?;
            }
        }
        Ok(())
    }
}
