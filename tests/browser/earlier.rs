//! What earlier releases kept in a browser, read by this one: every car, text, trial, pass and card is there.
//!
//! `tests/fixtures/kept` has one file a release, for good. A release adds its own by
//! `LANESIDE_RELEASE=release-2 cargo test -p laneside-tests --features browser --test browser what_this_release -- --ignored`.

use std::path::{Path, PathBuf};

use anyhow::{Context, Result, ensure};
use laneside_core::car::Car;
use laneside_tests::browser::Browser;
use laneside_tests::browser::{Screen, workspace};
use laneside_tests::cars;
use laneside_tests::log_files::Recipe;
use serde_json::{Value, json};

use crate::breaking::trapping;
use crate::log::{Files, read};
use crate::pass::tap_words;
use crate::update::{Phone, look, swap};
use crate::versions::Version;
use crate::visit::Visit;

fn folder() -> Result<PathBuf> {
    Ok(workspace()?.join("tests/fixtures/kept"))
}

/// Both stores as they are.
const DUMP: &str = "
    const [done] = arguments;
    const local = Object.entries({ ...localStorage }).filter(([key]) => key.startsWith('laneside.')).sort();
    const opening = indexedDB.open('laneside');
    opening.onsuccess = () => {
        const texts = [];
        opening.result.transaction('passes').objectStore('passes').openCursor().onsuccess =
            ({ target: { result } }) => {
                if (!result) { opening.result.close(); return done({ local, texts }) }
                texts.push([result.key, result.value]);
                result.continue();
            };
    };";

/// Puts both stores back into a browser in which nothing is kept.
const PUT: &str = "
    const [{ local, texts }, done] = arguments;
    localStorage.clear();
    for (const [key, text] of local) localStorage.setItem(key, text);
    const gone = indexedDB.deleteDatabase('laneside');
    gone.onsuccess = () => {
        const opening = indexedDB.open('laneside', 1);
        opening.onupgradeneeded = () => opening.result.createObjectStore('passes');
        opening.onsuccess = () => {
            const write = opening.result.transaction('passes', 'readwrite');
            for (const [key, text] of texts) write.objectStore('passes').put(text, key);
            write.oncomplete = () => { opening.result.close(); done() };
        };
    };";

async fn dump(phone: &Browser) -> Result<Value> {
    phone.script_later(DUMP, vec![]).await
}

/// The kept passes in a dump, without spare copies of cars.
fn passes(kept: &Value) -> Vec<&Value> {
    let texts = kept["texts"]
        .as_array()
        .map(Vec::as_slice)
        .unwrap_or_default();
    texts.iter().filter(|text| text[0][0] != json!(0)).collect()
}

/// The saved cars in a dump: key and record.
fn saved(kept: &Value) -> Result<Vec<(String, Value)>> {
    let entries = kept["local"].as_array().context("no entries")?;
    let mut cars = Vec::new();
    for entry in entries {
        let (Some(key), Some(text)) = (entry[0].as_str(), entry[1].as_str()) else {
            anyhow::bail!("an odd entry: {entry}");
        };
        if key.starts_with("laneside.car.") {
            cars.push((key.to_owned(), serde_json::from_str(text)?));
        }
    }
    Ok(cars)
}

fn car(record: &Value) -> Result<Car> {
    Ok(Car::from_file(record["file"].as_str().context("no file")?)?)
}

#[tokio::test]
async fn all_that_earlier_releases_kept_is_there() -> Result<()> {
    let mut releases = 0;
    for file in std::fs::read_dir(folder()?)? {
        let kept: Value = serde_json::from_str(&std::fs::read_to_string(file?.path())?)?;
        is_all_there(&kept).await?;
        releases += 1;
    }
    ensure!(releases > 0, "no release has left a file");
    Ok(())
}

async fn is_all_there(kept: &Value) -> Result<()> {
    let visit = Visit::first(Screen::PHONE).await?;
    let phone = &visit.device;
    phone.script_later(PUT, vec![kept.clone()]).await?;
    phone.reload().await?;
    phone.go("cars").await?;
    let before = saved(kept)?;
    ensure!(before.len() > 1, "few cars in the file");
    assert_eq!(phone.count(".cars li").await?, before.len());
    assert_eq!(phone.count(".aside li").await?, 0);
    assert_eq!(phone.count(".verdict-slot .notice").await?, 0);

    let (mut drafts, mut trials, mut owners) = (0, 0, 0);
    for (place, (_, record)) in before.iter().enumerate() {
        phone.go("cars").await?;
        let name = car(record)?.name;
        let find = "
            const row = [...document.querySelectorAll('.cars li')]
                .findIndex((row) => row.querySelector('.car').innerText === arguments[0]);
            return row + 1;";
        let row = phone.script(find, vec![json!(name)]).await?;
        phone
            .tap(&format!(".cars li:nth-child({row}) button"))
            .await?;
        phone.wait_text(".car-name", &name).await?;
        for draft in record["drafts"].as_array().into_iter().flatten() {
            let (field, text) = (draft[0].as_str().unwrap_or_default(), draft[1].as_str());
            phone.go(&format!("car/{field}")).await?;
            phone.wait_for(&format!("#{field}-fault .found")).await?;
            assert_eq!(
                Some(&*phone.value(&format!("#{field}")).await?),
                text,
                "{name}"
            );
            drafts += 1;
        }
        if !record["trial"].is_null() {
            phone.wait_text(".strip-verdict", "(trying)").await?;
            trials += 1;
        }
        if let Some(owner) = record["log"]["owner"].as_f64() {
            let own = passes(kept)
                .iter()
                .filter(|text| text[0][0].as_f64() == Some(owner))
                .count();
            phone.go("log").await?;
            let count =
                "return document.querySelectorAll('main .log-passes li').length === arguments[0]";
            phone
                .wait_until("the kept passes", count, vec![json!(own)])
                .await?;
            owners += 1;
        }
        let history = car(record)?.history.len();
        if history > 0 {
            phone.go("swap").await?;
            let rows =
                "return document.querySelectorAll('.history tbody tr').length >= arguments[0]";
            phone
                .wait_until("the history", rows, vec![json!(history)])
                .await?;
        }
        ensure!(place < 20, "many cars");
    }
    assert!(
        drafts > 0 && trials > 0 && owners > 0,
        "{drafts} {trials} {owners}"
    );

    // A save of each, and the clearing up some seconds after a start, leave all of it.
    phone.go("pulleys").await?;
    phone.retype("#fitted", "60 mm").await?;
    phone.reload().await?;
    tokio::time::sleep(std::time::Duration::from_secs(5)).await;
    let now = dump(phone).await?;
    assert_eq!(passes(&now), passes(kept));
    let open = phone
        .stored("laneside.open")
        .await?
        .context("none is open")?;
    for ((key, before), (same, after)) in before.iter().zip(&saved(&now)?) {
        assert_eq!(key, same);
        if *key != format!("laneside.car.{open}") {
            assert_eq!(car(before)?, car(after)?, "{key}");
        }
        for part in ["drafts", "trial", "log", "measures"] {
            assert_eq!(before[part], after[part], "{key}, {part}");
        }
    }
    visit.end().await
}

/// From the build of the release before to this one; and back to it from one that does not start.
#[tokio::test]
#[ignore = "needs the build of the release before, in the folder that LANESIDE_FORMER names"]
async fn the_release_before_gives_way_and_is_gone_back_to() -> Result<()> {
    let former = std::env::var("LANESIDE_FORMER").context("LANESIDE_FORMER names no folder")?;
    let former = Path::new(&former);
    let accept = "dispatchEvent(new CustomEvent('laneside-accept-update'))";
    for is_broken in [false, true] {
        let (phone, server) = Phone::with(Version::of(former)?).await?;
        let page = &phone.device;
        page.save_cars(&[cars::over(), cars::holds()], "pulleys")
            .await?;
        page.retype("#fitted", "2 1/2").await?;
        let before = page.stored("laneside.car.1").await?;
        let mut next = Version::current()?;
        if is_broken {
            let wasm = next.wasm()?;
            let trapping = trapping(&std::fs::read(next.path(&wasm))?)?;
            next = next.with_fault(&wasm, |data| *data = trapping)?;
        }
        let server = swap(server, &next)?;
        assert_eq!(look(page).await?, "installed");
        page.script("window.before = true", vec![]).await?;
        page.script(accept, vec![]).await?;
        let runs = "return !window.before && document.querySelector('main h1') !== null
            && (document.querySelector('script[src*=guard]') === null) === arguments[0]";
        page.wait_until("the version to be", runs, vec![json!(is_broken)])
            .await?;
        assert_eq!(page.value("#fitted").await?, "2 1/2 in");
        assert_eq!(page.stored("laneside.car.1").await?, before);
        page.retype("#fitted", "3").await?;
        server.stop();
        let phone = phone.restart().await?;
        let page = &phone.device;
        page.go("pulleys").await?;
        assert_eq!(page.value("#fitted").await?, "3 in");
        phone.device.close().await?;
    }
    Ok(())
}

/// Fills a phone through its pages and writes down what the release keeps of it.
#[tokio::test]
#[ignore = "writes the file of a release, once"]
async fn what_this_release_keeps() -> Result<()> {
    let release = std::env::var("LANESIDE_RELEASE").context("LANESIDE_RELEASE names no file")?;
    let cars = [
        cars::over(),
        cars::no_size(),
        laneside_core::car::demo::tansy(),
    ];
    let visit = Visit::with(&cars, "log").await?;
    let phone = &visit.device;
    // Passes, history, a text that is not taken.
    let files = Files::new()?;
    for (name, recipe) in [("before.csv", Recipe::FALLS), ("after.csv", Recipe::CURED)] {
        read(phone, &files, name, recipe).await?;
        tap_words(phone, "Keep this pass").await?;
        phone.wait_text("main", "This pass is kept.").await?;
    }
    phone.go("swap").await?;
    tap_words(phone, "Write down what is on now").await?;
    tap_words(phone, "Make the job card").await?;
    phone.go("car").await?;
    phone.retype("#limiter", "much too fast").await?;
    phone.wait_for("#limiter-fault .found").await?;
    // Something being tried.
    phone.go("cars").await?;
    phone.tap(".cars li:nth-child(2) button").await?;
    phone.wait_text(".car-name", "None").await?;
    phone.go("pulleys").await?;
    phone.tap(".ways button").await?;
    phone.wait_text("main .undo", "Trying: ").await?;
    // Metric, and settings.
    phone.go("cars").await?;
    phone.tap(".cars li:nth-child(3) button").await?;
    phone.wait_text(".car-name", "Tansy").await?;
    phone.tap(".header-line .plain").await?;
    phone.tap("#light .option:last-child").await?;
    phone.reload().await?;
    let kept = dump(phone).await?;
    let path = folder()?.join(format!("{release}.json"));
    ensure!(!path.exists(), "{} is there, and stays", path.display());
    std::fs::create_dir_all(folder()?)?;
    std::fs::write(path, serde_json::to_string_pretty(&kept)? + "\n")?;
    visit.end().await
}
