//! Stores that are full, refused, torn or killed: nothing entered is lost, and the person is told.

use anyhow::{Context, Result};
use laneside_core::car::{Car, several};
use laneside_core::quantity::InLength;
use laneside_tests::browser::app::{car_key, record};
use laneside_tests::browser::{Ability, Browser, Screen};
use laneside_tests::cars;
use serde_json::{Value, json};
use std::time::Duration;

use crate::pass::tap_words;
use crate::share::open_file;
use crate::visit::{Visit, saved_file};

const CAUTION: &str = ".verdict-slot .caution";
const NOTICE: &str = ".verdict-slot .notice";

/// Fills the local storage to the last byte.
const FILL: &str = "
    let text = 'x'.repeat(1 << 22);
    for (let at = 0; text.length; at += 1) {
        try { localStorage.setItem('filler' + at, text) } catch { text = text.slice(text.length / 2 + 1) }
    }";

/// How much fills it.
const FILLED: &str =
    "return Object.entries(localStorage).filter(([key]) => key.startsWith('filler'))
    .reduce((sum, [, text]) => sum + text.length, 0)";

/// A browser that has no local storage to give.
pub const NO_STORAGE: &str = "
    Object.defineProperty(window, 'localStorage', {
        get() { throw new DOMException('Access is denied.', 'SecurityError') },
    });";

/// A browser that has no database to give.
pub const NO_DATABASE: &str = "
    IDBFactory.prototype.open = () => { throw new DOMException('Access is denied.', 'SecurityError') };";

/// The spare copies, each with its car's number.
pub async fn spares(phone: &Browser) -> Result<Vec<(u64, String)>> {
    texts_of(phone, 0).await
}

/// What lies in the database under an owner, each text with its number.
pub async fn texts_of(phone: &Browser, owner: i32) -> Result<Vec<(u64, String)>> {
    let read = "
        const [owner, done] = arguments;
        const opening = indexedDB.open('laneside');
        opening.onsuccess = () => {
            const texts = opening.result.transaction('passes').objectStore('passes');
            const range = IDBKeyRange.bound([owner], [owner, []]);
            const found = [];
            texts.openCursor(range).onsuccess = ({ target: { result } }) => {
                if (!result) { opening.result.close(); return done(found) }
                found.push([result.key[1], result.value]);
                result.continue();
            };
        };";
    let found = phone.script_later(read, vec![json!(owner)]).await?;
    Ok(serde_json::from_value(found)?)
}

/// Waits until the spare copy of a car holds a text.
pub async fn spare_holds(phone: &Browser, id: u64, part: &str) -> Result<()> {
    for _ in 0..200 {
        let found = spares(phone).await?;
        if found
            .iter()
            .any(|(of, text)| *of == id && text.contains(part))
        {
            return Ok(());
        }
        tokio::time::sleep(Duration::from_millis(25)).await;
    }
    anyhow::bail!("no spare copy of car {id} with {part:?}")
}

/// A car as it comes back from its file, to the last bit.
pub fn as_saved(car: &Car) -> Result<Car> {
    Ok(Car::from_file(&car.to_file()?)?)
}

async fn put(phone: &Browser, key: &str, text: &str) -> Result<()> {
    let put = "localStorage.setItem(arguments[0], arguments[1])";
    phone.script(put, vec![json!(key), json!(text)]).await?;
    Ok(())
}

#[tokio::test]
async fn a_change_that_finds_no_room_is_kept_as_a_spare_copy() -> Result<()> {
    let name = "Nettle, with a much longer name than it had before";
    let mut tries = 0;
    let visit = loop {
        let visit = Visit::with(&[cars::over()], "cars").await?;
        let phone = &visit.device;
        phone.script(FILL, vec![]).await?;
        let full = phone.script(FILLED, vec![]).await?;
        phone.retype("#name", name).await?;
        phone.wait_text(CAUTION, "A spare copy is kept").await?;
        spare_holds(phone, 1, name).await?;
        // Still full at the next start, unless a busy browser was ended before it had written what fills it.
        let visit = visit.start_cold().await?;
        if visit.device.script(FILLED, vec![]).await? == full {
            break visit;
        }
        tries += 1;
        assert!(tries < 3, "the browser never writes what fills its storage");
        visit.device.close().await?;
    };
    // The change is there, and the caution too.
    let phone = &visit.device;
    phone.wait_text(".car-name", name).await?;
    phone.wait_text(CAUTION, "A spare copy is kept").await?;
    // With room again, the next save is an ordinary one.
    let empty = "Object.keys(localStorage).filter((key) => key.startsWith('filler'))
        .forEach((key) => localStorage.removeItem(key))";
    phone.script(empty, vec![]).await?;
    phone.go("pulleys").await?;
    phone.retype("#fitted", "2 1/2").await?;
    phone.wait_gone(CAUTION).await?;
    assert_eq!(phone.saved_car(1).await?.name, name);
    visit.end().await
}

/// There is room for the save before or for a longer car, not for both: the newest is what is kept.
#[tokio::test]
async fn the_save_before_gives_its_room_to_a_change() -> Result<()> {
    let visit = Visit::with(&[cars::over()], "cars").await?;
    let phone = &visit.device;
    phone.retype("#name", "Nettles").await?;
    let saved = "return localStorage['laneside.car.1'].includes(arguments[0])";
    phone
        .wait_until("a save", saved, vec![json!("Nettles")])
        .await?;
    // What has stood for two seconds is kept at the next save.
    tokio::time::sleep(Duration::from_millis(2_100)).await;
    let leave_room = "
        localStorage.removeItem('laneside.good.1');
        const room = 'x'.repeat(localStorage['laneside.car.1'].length + 32);
        localStorage.room = room;";
    phone.script(leave_room, vec![]).await?;
    phone.script(FILL, vec![]).await?;
    phone
        .script("localStorage.removeItem('room')", vec![])
        .await?;
    phone.type_text("#name", "s").await?;
    let kept = "return localStorage.getItem('laneside.good.1') !== null";
    phone.wait_until("the save before", kept, vec![]).await?;
    let name = "Nettle, with a much longer name than it had before";
    phone.retype("#name", name).await?;
    phone
        .wait_until("the change in its place", saved, vec![json!(name)])
        .await?;
    assert_eq!(phone.count(CAUTION).await?, 0);
    visit.end().await
}

/// A database that takes no more passes, while `full` is set on the page; spare copies find room.
const NO_PASSES: &str = "
    const { prototype } = IDBObjectStore, { put } = prototype;
    prototype.put = function (text, key) {
        if (window.full && key[0] !== 0) throw new DOMException('full', 'QuotaExceededError');
        return put.call(this, text, key);
    };";

/// Passes of a received car that the browser does not keep are told on every page, stay with their car, are told until
/// they are kept, and are kept once there is room.
#[tokio::test]
async fn passes_that_find_no_room_are_told_until_they_do() -> Result<()> {
    let golden = include_str!("../../core/data/golden/1.car.json");
    let visit = Visit::with(&[cars::holds()], "cars").await?;
    let phone = &visit.device;
    phone.in_page(NO_PASSES).await?;
    let keep = async |name: &str| -> Result<()> {
        phone.go("cars").await?;
        open_file(phone, golden).await?;
        phone.tap(".received .button").await?;
        phone.wait_gone(".received").await?;
        phone.wait_text(".car-name", name).await
    };
    phone.in_page("window.full = true").await?;
    keep("Nettle").await?;
    phone.wait_text(NOTICE, "Kept passes of Nettle").await?;
    phone.in_page("window.full = false").await?;
    keep("Nettle (2)").await?;
    phone.go("log").await?;
    phone.wait_text("main .log-passes", "Round 2").await?;
    assert_eq!(phone.count("main .caution[role=alert]").await?, 0);
    // What was kept of the one keeps nothing of the other.
    phone.go("cars").await?;
    phone.tap(".cars li:nth-child(2) button").await?;
    phone.wait_text(".car-name", "Nettle").await?;
    phone.wait_text(NOTICE, "Kept passes of Nettle").await?;
    phone.go("log").await?;
    phone.wait_text("main .log-passes", "Round 1").await?;
    phone.wait_text("main .log-passes", "Round 2").await?;
    phone.wait_text("main .caution", "No room is left").await?;
    phone.tap("main .log-passes li:last-child .plain").await?;
    phone.wait_gone("main .caution[role=alert]").await?;
    phone.reload().await?;
    phone.go("log").await?;
    phone.wait_for("main .log-passes li").await?;
    assert_eq!(phone.count("main .log-passes li").await?, 1);
    visit.end().await
}

/// A database that gives no passes; spare copies are read.
const NO_READING: &str = "
    const { prototype } = IDBObjectStore, { getAll } = prototype;
    prototype.getAll = function (range) {
        if (range?.lower?.[0] !== 0) throw new DOMException('no', 'UnknownError');
        return getAll.call(this, range);
    };";

/// Kept passes that cannot be read are missed in the car's file and in its copy, and both are said to lack them.
#[tokio::test]
async fn passes_that_cannot_be_read_are_missed_aloud() -> Result<()> {
    let golden = include_str!("../../core/data/golden/1.car.json");
    let visit = Visit::with(&[cars::holds()], "cars").await?;
    let phone = &visit.device;
    open_file(phone, golden).await?;
    phone.tap(".received .button").await?;
    phone.wait_gone(".received").await?;
    phone.go("log").await?;
    phone.reload().await?;
    phone.wait_text("main .log-passes", "Round 2").await?;
    phone.go("cars").await?;
    let passes = |file: &str| Ok::<_, anyhow::Error>(several::read(file)?[0].passes.len());
    assert_eq!(passes(&saved_file(phone).await?)?, 2);
    assert!(!phone.text("main").await?.contains("could not be read"));
    phone.before_pages(NO_READING).await?;
    phone.reload().await?;
    assert_eq!(passes(&saved_file(phone).await?)?, 0);
    phone
        .wait_text(
            "main",
            "could not be read from this phone: they are not in the file",
        )
        .await?;
    tap_words(phone, "Copy it").await?;
    phone.wait_text(".car-name", "Nettle, copy").await?;
    phone
        .wait_text(NOTICE, "Nettle, copy has none of them")
        .await?;
    visit.end().await
}

#[tokio::test]
async fn a_phone_with_no_room_at_all_says_that_nothing_is_kept() -> Result<()> {
    needs!(Ability::Quota);
    let visit = Visit::with(&[cars::over()], "cars").await?;
    let phone = &visit.device;
    phone.script(FILL, vec![]).await?;
    let origin = visit.url.trim_end_matches('/');
    let none = json!({ "origin": origin, "quotaSize": 1 });
    phone
        .as_chromium()?
        .cdp("Storage.overrideQuotaForOrigin", none)
        .await?;
    let before = phone.saved_car(1).await?;
    let name = "Nettle, with a much longer name than it had before";
    phone.retype("#name", name).await?;
    phone.wait_text(CAUTION, "keeps nothing").await?;
    // What was saved stays, what was typed is on the screen and in the file.
    assert_eq!(phone.saved_car(1).await?, before);
    phone.wait_text(".car-name", name).await?;
    assert_eq!(Car::from_file(&saved_file(phone).await?)?.name, name);
    let origin = json!({ "origin": origin });
    phone
        .as_chromium()?
        .cdp("Storage.overrideQuotaForOrigin", origin)
        .await?;
    phone
        .retype("#name", "Nettle, with a longer name than it had before")
        .await?;
    phone.wait_text(CAUTION, "A spare copy is kept").await?;
    visit.end().await
}

#[tokio::test]
async fn with_its_storage_switched_off_cars_live_in_the_database() -> Result<()> {
    let visit = Visit::first(Screen::PHONE).await?;
    let phone = &visit.device;
    phone.before_pages(NO_STORAGE).await?;
    phone.reload().await?;
    phone.go("cars").await?;
    phone.tap("main .door-button").await?;
    phone.wait_text(CAUTION, "A spare copy is kept").await?;
    phone.go("pulleys").await?;
    phone.retype("#fitted", "2 1/2").await?;
    spare_holds(phone, 1, "63.5").await?;
    phone.reload().await?;
    phone.go("pulleys").await?;
    phone.wait_for("#fitted").await?;
    assert_eq!(phone.value("#fitted").await?, "2 1/2 in");
    assert_eq!(phone.count(NOTICE).await?, 0);
    visit.end().await
}

#[tokio::test]
async fn with_everything_switched_off_it_answers_and_says_so() -> Result<()> {
    let visit = Visit::first(Screen::PHONE).await?;
    let phone = &visit.device;
    phone
        .before_pages(&format!("{NO_STORAGE} {NO_DATABASE}"))
        .await?;
    phone.reload().await?;
    phone.go("cars").await?;
    phone.tap("main .door-button").await?;
    phone.wait_text(CAUTION, "keeps nothing").await?;
    phone.wait_text(".strip-verdict", "OVER").await?;
    phone.go("pulleys").await?;
    phone.retype("#fitted", "2 1/2").await?;
    phone.go("cars").await?;
    phone.go("pulleys").await?;
    assert_eq!(phone.value("#fitted").await?, "2 1/2");
    visit.end().await
}

/// A browser that is killed has often not written yet what it was told to keep in its local storage.
#[tokio::test]
async fn a_browser_killed_while_typing_loses_nothing() -> Result<()> {
    let visit = Visit::with(&[cars::over(), cars::holds()], "pulleys").await?;
    // A start that is whole on the disk, as after a day.
    let mut visit = visit.start_cold().await?;
    for (round, (text, inches)) in [("2 1/2", 2.5), ("2 3/4", 2.75), ("3 1/8", 3.125)]
        .into_iter()
        .enumerate()
    {
        let phone = &visit.device;
        phone.go("pulleys").await?;
        phone.retype("#fitted", text).await?;
        let mm = format!("{:.1}", inches * 25.4);
        spare_holds(phone, 1, &mm[..mm.len() - 2]).await?;
        let typed = phone.stored(&car_key(1)).await?;
        // Not one more round trip to the page: it ends here.
        visit = visit.killed().await?;
        let phone = &visit.device;
        phone.go("pulleys").await?;
        phone.wait_for("#fitted").await?;
        let shown = format!("return document.querySelector('#fitted').value === '{text} in'");
        phone
            .wait_until(&format!("round {round}"), &shown, vec![])
            .await?;
        let lost = phone.count(NOTICE).await?;
        println!("killed: {lost} of 1 came from the spare copy");
        assert!((phone.saved_fitted(1).await?.size.inches() - inches).abs() < 1e-6);
        assert_eq!(phone.stored(&car_key(1)).await?, typed);
        assert_eq!(phone.saved_car(2).await?, as_saved(&cars::holds())?);
    }
    visit.end().await
}

/// The entry is torn, and there is no spare copy either: the save before it is taken.
#[tokio::test]
async fn a_torn_entry_gives_way_to_the_save_before() -> Result<()> {
    let visit = Visit::with(&[cars::over(), cars::holds()], "pulleys").await?;
    let phone = &visit.device;
    phone.retype("#fitted", "2 1/2").await?;
    let good = phone.stored(&car_key(1)).await?.context("no car")?;
    // What has stood for two seconds is kept at the next save; what is only being typed is not.
    tokio::time::sleep(Duration::from_millis(2_100)).await;
    phone.type_text("#fitted", "5").await?;
    let changed = "return localStorage.getItem('laneside.good.1') === arguments[0]";
    phone
        .wait_until("the next save", changed, vec![json!(good)])
        .await?;
    let newest = phone.stored(&car_key(1)).await?.context("no car")?;
    spare_holds(phone, 1, &newest[newest.len() / 2..])
        .await
        .ok();
    let torn = &newest[..newest.len() / 2];
    put(phone, &car_key(1), torn).await?;
    phone.before_pages(NO_DATABASE).await?;
    phone.reload().await?;
    phone.wait_text(NOTICE, "An earlier save is open").await?;
    assert_eq!(phone.stored(&car_key(1)).await?.as_deref(), Some(&*good));
    assert_eq!(
        phone.stored("laneside.aside.1").await?.as_deref(),
        Some(torn)
    );
    assert_eq!(phone.value("#fitted").await?, "2 1/2 in");
    phone.tap(&format!("{NOTICE} .plain")).await?;
    phone.wait_gone(NOTICE).await?;
    phone.reload().await?;
    assert_eq!(phone.count(NOTICE).await?, 0, "told twice");
    visit.end().await
}

/// The entry is torn, its newest state is in the spare copy: nothing at all is missing.
#[tokio::test]
async fn a_torn_entry_comes_back_whole_from_its_spare_copy() -> Result<()> {
    let visit = Visit::with(&[cars::over()], "pulleys").await?;
    let phone = &visit.device;
    phone.retype("#fitted", "2 1/2").await?;
    let newest = phone.stored(&car_key(1)).await?.context("no car")?;
    let stamp: Value = serde_json::from_str(&newest)?;
    spare_holds(phone, 1, &stamp["stamp"].to_string()).await?;
    put(phone, &car_key(1), &newest[..newest.len() / 2]).await?;
    phone.reload().await?;
    phone.wait_text(NOTICE, "nothing is missing").await?;
    assert_eq!(phone.stored(&car_key(1)).await?, Some(newest.clone()));
    // All entries are gone at once.
    phone.script("localStorage.clear()", vec![]).await?;
    phone.reload().await?;
    phone.wait_text(NOTICE, "nothing is missing").await?;
    phone.wait_text(".car-name", "Nettle").await?;
    assert_eq!(phone.stored(&car_key(1)).await?, Some(newest));
    // A car that was deleted stays deleted.
    phone.go("cars").await?;
    phone.tap(".apart .plain").await?;
    phone.tap(".undo .plain").await?;
    for _ in 0..200 {
        if spares(phone).await?.is_empty() {
            break;
        }
        tokio::time::sleep(Duration::from_millis(25)).await;
    }
    phone.reload().await?;
    phone.settle().await?;
    assert_eq!(phone.stored(&car_key(1)).await?, None);
    visit.end().await
}

/// Written by a newer version, which was then left: refused without harm, and back once it can be read.
#[tokio::test]
async fn a_car_of_a_newer_version_waits_for_that_version() -> Result<()> {
    let visit = Visit::with(&[cars::over(), cars::holds()], "cars").await?;
    let phone = &visit.device;
    let own = record(&cars::over())?;
    let newer = own.replace("\\\"version\\\": 1", "\\\"version\\\": 2");
    assert_ne!(own, newer);
    put(phone, &car_key(1), &newer).await?;
    phone.reload().await?;
    phone.wait_text(".car-name", "Holds").await?;
    phone.wait_for(".aside a[download]").await?;
    assert_eq!(phone.stored("laneside.aside.1").await?, Some(newer));
    // Another car takes the number meanwhile.
    phone.tap(".actions button").await?;
    phone.wait_text(".car-name", "Holds, copy").await?;
    // The version that reads it is there again.
    put(phone, "laneside.aside.1", &own).await?;
    phone.reload().await?;
    phone.wait_text(NOTICE, "Nettle was set aside").await?;
    assert_eq!(phone.stored("laneside.aside.1").await?, None);
    let names =
        "return [...document.querySelectorAll('.cars .car')].map((car) => car.innerText).sort()";
    let names = phone.script(names, vec![]).await?;
    assert_eq!(names, json!(["Holds", "Holds, copy", "Nettle"]));
    visit.end().await
}

/// Each car is there twice, and large ones are: with a job card, a history and something being tried.
#[tokio::test]
async fn a_hundred_large_cars_fit_twice() -> Result<()> {
    let visit = Visit::first(Screen::PHONE).await?;
    let fixture = laneside_tests::browser::workspace()?.join("tests/fixtures/kept/release-1.json");
    let kept: Value = serde_json::from_str(&std::fs::read_to_string(fixture)?)?;
    let entries = kept["local"].as_array().context("no entries")?;
    let texts = entries.iter().filter_map(|entry| entry[1].as_str());
    let largest = texts.max_by_key(|text| text.len()).context("no car")?;
    let fill = "
        localStorage.clear();
        let count = 0;
        try {
            for (;;) {
                localStorage.setItem('laneside.car.' + (count + 1), arguments[0]);
                localStorage.setItem('laneside.good.' + (count + 1), arguments[0]);
                count += 1;
            }
        } catch { localStorage.clear(); return count }";
    let count = visit.device.script(fill, vec![json!(largest)]).await?;
    println!("{count} cars of {} characters fit twice", largest.len());
    assert!(
        count.as_u64() >= Some(100),
        "{count} cars of {}",
        largest.len()
    );
    visit.end().await
}
