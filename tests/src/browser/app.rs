//! What a test does with Laneside itself: its pages, its pad, its saved cars.

use anyhow::{Context, Result};
use laneside_core::car::Car;
use laneside_core::drive::Pulley;
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
        let name = page.split('/').next().unwrap_or_default();
        let title = format!("{}{}", name[..1].to_uppercase(), &name[1..]);
        let name = self.said(&title).await?;
        let here = "return document.title.startsWith(arguments[0] + ' ')";
        self.wait_until(page, here, vec![json!(name)]).await?;
        self.settle().await
    }

    /// A message in the language that the page speaks; of one with placeholders, what stands before the first.
    ///
    /// # Errors
    ///
    /// The session is gone.
    pub async fn said(&self, english: &str) -> Result<String> {
        let look = "
            const lines = (globalThis.laneside?.words ?? '').split('\\n');
            const line = lines.find((line) => line.startsWith(arguments[0] + '\\t'));
            return (line?.split('\\t')[1] ?? arguments[0]).split('{')[0];";
        let found = self.script(look, vec![json!(english)]).await?;
        Ok(found.as_str().unwrap_or_default().to_owned())
    }

    /// Waits until the shown text of the element contains a message, as [`Browser::said`] gives it.
    ///
    /// # Errors
    ///
    /// It does not in time.
    pub async fn wait_said(&self, css: &str, english: &str) -> Result<()> {
        self.wait_text(css, &self.said(english).await?).await
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
            // Spreads on a slow machine may take longer than a test waits for.
            const end = performance.now() + 20000;
            const unfinished = () => document.documentElement.hasAttribute('data-unfinished');
            const whole = () => unfinished() && performance.now() < end && frame().then(whole);
            frame().then(frame).then(whole).then(() =>
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
            const [records, page, done] = arguments;
            localStorage.clear();
            records.forEach((text, at) => localStorage.setItem(`laneside.car.${at + 1}`, text));
            if (records.length) localStorage.setItem('laneside.open', '1');
            history.replaceState(null, '', '#/' + page);
            // The spare copies of the cars that were there before go too, and what waited to be kept.
            const opening = indexedDB.open('laneside');
            opening.onupgradeneeded = () => opening.transaction.abort();
            opening.onerror = () => done();
            opening.onsuccess = () => {
                const write = opening.result.transaction('passes', 'readwrite');
                write.objectStore('passes').delete(IDBKeyRange.bound([-1], [0, []]));
                write.oncomplete = () => { opening.result.close(); done() };
            };";
        let arguments = vec![json!(records), json!(page)];
        self.script_later(put, arguments).await?;
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

    /// The pulley on a saved car's alternator.
    ///
    /// # Errors
    ///
    /// There is no such car, or none on it.
    pub async fn saved_fitted(&self, id: usize) -> Result<Pulley> {
        let fitted = self.saved_car(id).await?.drive.fitted;
        fitted.context("no pulley is on the car")
    }

    /// Taps keys of the number pad by their faces in English, `Next` among them.
    ///
    /// # Errors
    ///
    /// The pad is not open, or has no such key.
    pub async fn tap_keys(&self, faces: &[&str]) -> Result<()> {
        for face in faces {
            let name = self.said(face).await?;
            let key = format!(".pad .keys [aria-label='{name}']");
            self.tap(&key).await?;
            if *face == "Next" {
                // The keys of the next entry may be others.
                self.settle().await?;
            }
        }
        Ok(())
    }
}
