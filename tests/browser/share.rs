//! Cars that come from elsewhere and go there: files, links, the share sheet. What comes is looked at, changed by nothing and
//! beside one's own until it is kept; what is one's own stays as it is.

use anyhow::{Context, Result, bail};
use laneside_core::car::several::{self, Carried};
use laneside_core::car::{Car, demo};
use laneside_core::log::kept::KeptPass;
use laneside_tests::browser::Browser;
use laneside_tests::cars;
use serde_json::json;
use std::path::Path;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::Duration;

use crate::storage_faults::texts_of;
use crate::visit::Visit;

const GOLDEN: &str = include_str!("../../core/data/golden/1.car.json");
const STORED: &str = "return JSON.stringify(Object.entries(localStorage).sort())";

/// Everything that the browser keeps for the app, but for the pages last open.
async fn stored(phone: &Browser) -> Result<String> {
    let stored = phone.script(STORED, vec![]).await?;
    let entries: Vec<(String, String)> =
        serde_json::from_str(stored.as_str().context("no storage")?)?;
    let cars = entries
        .into_iter()
        .filter(|(key, _)| !key.starts_with("laneside.place."));
    Ok(format!("{:?}", cars.collect::<Vec<_>>()))
}

pub async fn open_file(phone: &Browser, text: &str) -> Result<()> {
    // Kept: a browser reads it when it gets to it.
    static OPENED: AtomicUsize = AtomicUsize::new(0);
    let name = OPENED.fetch_add(1, Ordering::Relaxed);
    let name = format!("{}-{name}.car.json", std::process::id());
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    std::fs::write(&path, text)?;
    let input = phone.client();
    let input = input.find(fantoccini::Locator::Css("#car-file")).await?;
    input
        .send_keys(path.to_str().context("an odd folder")?)
        .await?;
    // The browser reads it only now.
    phone
        .wait_until(
            "the file is read",
            "return Boolean(document.querySelector('.received, #car-file-fault .found'))",
            vec![],
        )
        .await
}

pub fn link(url: &str, text: &str) -> Result<String> {
    Ok(format!("{url}{}", laneside_tests::link::hash(text)?))
}

/// Waits until the database holds so many cars that came.
pub async fn written_down(phone: &Browser, count: usize) -> Result<()> {
    for _ in 0..200 {
        if texts_of(phone, -1).await?.len() == count {
            return Ok(());
        }
        tokio::time::sleep(Duration::from_millis(50)).await;
    }
    bail!("{count} cars are not what waits")
}

/// Nothing that came is left on the phone, so no start finds it.
pub async fn nothing_waits(phone: &Browser) -> Result<()> {
    written_down(phone, 0).await
}

async fn names(phone: &Browser) -> Result<Vec<String>> {
    let names = "return [...document.querySelectorAll('.cars .car')].map((car) => car.innerText)";
    Ok(serde_json::from_value(phone.script(names, vec![]).await?)?)
}

/// Validation. Source: RFC 1951 by `flate2`: a link made without the app is taken by it. The car is looked at on every
/// page, with all its entries disabled; none of one's own is touched until it is kept, and then under a name of its own.
#[tokio::test]
async fn a_link_opens_beside_and_is_kept_by_a_tap() -> Result<()> {
    let visit = Visit::with(&[cars::over()], "pulleys").await?;
    let phone = &visit.device;
    let before = stored(phone).await?;
    phone
        .open(&link(&visit.url, &demo::nettle().to_short_file()?)?)
        .await?;
    phone.wait_text(".received", "Received, not kept").await?;
    phone.wait_text("h1", "Which pulley?").await?;
    for page in [
        "pulleys", "car", "belt", "pass", "day", "swap", "log", "share",
    ] {
        phone.go(page).await?;
        phone.wait_for(".received").await?;
        let open = "return [...document.querySelectorAll('main :is(input, select, textarea):not([type=range],[type=file])')]
            .filter((entry) => !entry.matches(':disabled')).map((entry) => entry.id || entry.outerHTML)";
        let open = phone.script(open, vec![]).await?;
        let view_only = ["load-shown", "zoom"];
        let open: Vec<String> = serde_json::from_value(open)?;
        let changing: Vec<&String> = open
            .iter()
            .filter(|id| !id.is_empty() && !view_only.iter().any(|known| id.contains(known)))
            .collect();
        assert!(changing.is_empty(), "{page}: {changing:?}");
    }
    // A button that is not disabled changes nothing either, and says why.
    phone.go("car").await?;
    phone
        .script(
            "document.querySelectorAll('main details').forEach((one) => one.open = true)",
            vec![],
        )
        .await?;
    phone.settle().await?;
    phone
        .script(
            "const add = [...document.querySelectorAll('main button')].find((one) => /Add a phase/.test(one.innerText)); add.click()",
            vec![],
        )
        .await?;
    phone.wait_text(".received", "Keep this car first").await?;
    assert_eq!(
        stored(phone).await?,
        before,
        "nothing of one's own is touched"
    );
    // It waits through a reload, aside, and the same link again is the same car.
    phone.reload().await?;
    phone.wait_text(".car-name", "Nettle").await?;
    phone.wait_text(".received", "waits on this phone").await?;
    phone
        .open(&link(&visit.url, &demo::nettle().to_short_file()?)?)
        .await?;
    phone.wait_text(".received", "You look at it only").await?;
    let name = phone.text(".received-name").await?;
    assert_eq!(name, "Nettle", "one car, not two");
    phone.tap(".received .button").await?;
    phone.wait_gone(".received").await?;
    phone.wait_text(".car-name", "Nettle (2)").await?;
    nothing_waits(phone).await?;
    let kept = phone.saved_car(2).await?;
    let sent = Car::from_file(&demo::nettle().to_file()?)?;
    assert_eq!(
        kept,
        Car {
            name: "Nettle (2)".to_owned(),
            ..sent
        }
    );
    let own = phone.saved_car(1).await?;
    assert_eq!(own.name, cars::over().name);
    phone.go("cars").await?;
    assert_eq!(names(phone).await?, ["Nettle", "Nettle (2)"]);
    visit.end().await
}

/// What leaves is gone, and the own car is open again.
#[tokio::test]
async fn a_car_that_is_left_leaves_nothing() -> Result<()> {
    let visit = Visit::with(&[cars::holds()], "pulleys").await?;
    let phone = &visit.device;
    let before = stored(phone).await?;
    phone
        .open(&link(&visit.url, &demo::tansy().to_short_file()?)?)
        .await?;
    phone.wait_text(".car-name", "Tansy").await?;
    written_down(phone, 1).await?;
    // One's own is a tap away while the other waits.
    phone.go("cars").await?;
    phone.tap(".cars button").await?;
    phone.wait_text(".car-name", "Holds").await?;
    phone.wait_text(".received", "Tansy").await?;
    phone.tap(".received .button:nth-of-type(2)").await?;
    phone.wait_text(".car-name", "Tansy").await?;
    phone.tap(".received .button:last-of-type").await?;
    phone.wait_gone(".received").await?;
    phone.wait_text(".car-name", "Holds").await?;
    assert_eq!(stored(phone).await?, before);
    nothing_waits(phone).await?;
    visit.end().await
}

/// Each broken link is told apart, and one's own cars stay.
#[tokio::test]
async fn broken_links_are_told_and_harm_nothing() -> Result<()> {
    let visit = Visit::with(&[cars::over()], "pulleys").await?;
    let phone = &visit.device;
    let before = stored(phone).await?;
    let good = demo::nettle().to_short_file()?;
    let whole = link("", &good)?;
    let newer = good.replace("\"version\":1", "\"version\":3");
    let deep = format!(
        "{{\"format\":\"laneside-car\",\"version\":1,\"car\":{}",
        "[".repeat(90_000)
    );
    // A thousand blanks take a byte.
    let bomb = format!("{good}{}", " ".repeat(8 << 20));
    for (hash, told) in [
        ("#/take/".to_owned(), "carries no car"),
        (whole[..whole.len() - 200].to_owned(), "no whole car"),
        ("#/take/!!!".to_owned(), "no whole car"),
        ("#/take/AAAA".to_owned(), "no whole car"),
        (format!("#/take/{}", "A".repeat(17_000)), "link of 1"),
        (link("", &newer)?, "version 3, from a newer"),
        (link("", &deep)?, "no whole car file"),
        (link("", &bomb)?, "packed into it"),
        (link("", "<html>")?, "no whole car file"),
    ] {
        phone.open(&format!("{}{hash}", visit.url)).await?;
        phone.wait_text("#take-fault", told).await?;
        phone.wait_text("main", "as they were").await?;
        assert_eq!(stored(phone).await?, before, "{told}");
        assert_eq!(phone.count(".received").await?, 0);
    }
    visit.end().await
}

/// Names and notes with markup in them are texts wherever they stand.
#[tokio::test]
async fn markup_stays_text() -> Result<()> {
    let visit = Visit::with(&[cars::over()], "pulleys").await?;
    let phone = &visit.device;
    let evil = "<img src=x onerror=window.bad=1><b>hi</b>";
    let mut car = Car::from_file(GOLDEN)?;
    car.name = evil.to_owned();
    if let Some(loads) = &mut car.loads {
        loads[0].name = evil.to_owned();
    }
    for entry in &mut car.history {
        entry.notes = evil.to_owned();
        entry.belt = evil.to_owned();
    }
    if let Some(card) = &mut car.swap {
        card.notes = evil.to_owned();
        card.version = evil.to_owned();
    }
    phone
        .open(&link(&visit.url, &car.to_short_file()?)?)
        .await?;
    phone.wait_text(".received-name", evil).await?;
    phone.wait_text(".car-name", evil).await?;
    let marks = "return [document.querySelectorAll('img[src=x], main b').length, window.bad ?? 0]";
    for page in [
        "pulleys", "car", "cars", "belt", "pass", "day", "swap", "log", "share", "codes", "report",
        "card",
    ] {
        phone.go(page).await?;
        phone.settle().await?;
        assert_eq!(phone.script(marks, vec![]).await?, json!([0, 0]), "{page}");
    }
    phone.go("car").await?;
    phone.tap(".received .button").await?;
    phone.wait_gone(".received").await?;
    assert_eq!(phone.saved_car(2).await?.name, evil);
    assert_eq!(phone.script(marks, vec![]).await?, json!([0, 0]));
    visit.end().await
}

/// All cars with their passes, as one file, and back on another phone: nothing is lost, and nothing is overwritten.
#[tokio::test]
async fn all_cars_go_as_one_file() -> Result<()> {
    let visit = Visit::with(&[demo::tansy()], "cars").await?;
    let phone = &visit.device;
    open_file(phone, GOLDEN).await?;
    phone.wait_text(".received", "Nettle").await?;
    phone.go("swap").await?;
    let notes = "return document.querySelector('main').innerText.includes('Nut was dry.')
        || [...document.querySelectorAll('main textarea')].some((one) => one.value === 'Nut was dry.')";
    phone.wait_until("its notes", notes, vec![]).await?;
    phone.go("cars").await?;
    phone.tap(".received .button").await?;
    phone.wait_gone(".received").await?;
    let golden = several::read(GOLDEN)?;
    let catch = "
        window.files = [];
        const make = URL.createObjectURL;
        URL.createObjectURL = (file) => { window.files.push(file); return make.call(URL, file); };";
    phone.script(catch, vec![]).await?;
    phone
        .script(
            "[...document.querySelectorAll('main button')].find((one) => /all cars/.test(one.innerText)).click()",
            vec![],
        )
        .await?;
    phone.wait_text("main", "among its downloads").await?;
    let file = phone
        .script_later(
            "const done = arguments[arguments.length - 1]; window.files[0].text().then((text) => done([window.files[0].name, text]))",
            vec![],
        )
        .await?;
    let (name, text): (String, String) = serde_json::from_value(file)?;
    assert_eq!(name, "all-cars.car.json");
    let read = several::read(&text)?;
    let found: Vec<&str> = read.iter().map(|one| one.car.name.as_str()).collect();
    assert_eq!(found, ["Tansy", "Nettle"]);
    let texts = |one: &Carried| {
        one.passes
            .iter()
            .filter_map(KeptPass::to_text)
            .collect::<Vec<_>>()
    };
    assert_eq!(texts(&read[1]).len(), 2);
    assert_eq!(texts(&read[1]), texts(&golden[0]));
    assert_eq!(read[1].car, golden[0].car);

    let other = Visit::with(&[demo::tansy()], "cars").await?;
    let second = &other.device;
    open_file(second, &text).await?;
    second.wait_text(".received", "(1 of 2)").await?;
    second
        .script(
            "[...document.querySelectorAll('.received button')].find((one) => /Keep all/.test(one.innerText)).click()",
            vec![],
        )
        .await?;
    second.wait_gone(".received").await?;
    assert_eq!(names(second).await?, ["Tansy", "Tansy (2)", "Nettle"]);
    // What was looked at is open.
    second.wait_text(".car-name", "Tansy (2)").await?;
    second.tap(".cars li:nth-child(3) button").await?;
    second.wait_text(".car-name", "Nettle").await?;
    second.go("log").await?;
    second.wait_text("main .log-passes", "Round 2").await?;
    second.reload().await?;
    second.wait_text("main .log-passes", "Round 1").await?;
    other.end().await?;
    visit.end().await
}

/// Where there is a share sheet, it gets the file and the link; where there is none, the link is copied; where that fails, it
/// stands there to be copied by hand. The kept passes are left out of the link, and said so.
#[tokio::test]
async fn links_and_files_are_handed_on() -> Result<()> {
    let visit = Visit::with(&[demo::tansy()], "cars").await?;
    let phone = &visit.device;
    open_file(phone, GOLDEN).await?;
    phone.tap(".received .button").await?;
    phone.wait_gone(".received").await?;
    phone.go("share").await?;
    phone.wait_text("main", "too long for it").await?;
    let tap = |name: &'static str| {
        let find = "[...document.querySelectorAll('main button')].find((one) => one.innerText === arguments[0]).click()";
        phone.script(find, vec![json!(name)])
    };
    let stub = "
        window.said = [];
        Object.defineProperty(navigator, 'clipboard', { configurable: true, value: {
            writeText: async (text) => { if (window.fails) throw new Error('no'); window.said.push(text); } } });";
    phone.script(stub, vec![]).await?;
    tap("Send a link").await?;
    phone.wait_text("main", "Copied.").await?;
    phone.wait_text("main", "stay out").await?;
    let link = phone.script("return window.said[0]", vec![]).await?;
    let link = link.as_str().context("no link")?.to_owned();
    phone.script("window.fails = true", vec![]).await?;
    tap("Send a link").await?;
    phone.wait_text("main", "Not copied").await?;
    assert_eq!(phone.value(".by-hand textarea").await?, link);

    // The sheet takes links and files.
    let sheet = "
        navigator.canShare = () => true;
        navigator.share = async (data) => { window.shared = data; };";
    phone.script(sheet, vec![]).await?;
    phone.go("cars").await?;
    phone.go("share").await?;
    tap("Send a link").await?;
    phone.wait_text("main", "Handed to the phone").await?;
    assert_eq!(
        phone.script("return window.shared.url", vec![]).await?,
        json!(link)
    );
    tap("Send the file").await?;
    phone
        .wait_until("the file", "return Boolean(window.shared.files)", vec![])
        .await?;
    let text = phone
        .script_later(
            "const done = arguments[arguments.length - 1]; window.shared.files[0].text().then(done)",
            vec![],
        )
        .await?;
    let read = several::read(text.as_str().context("no text")?)?;
    assert_eq!((read.len(), read[0].passes.len()), (1, 2));
    phone
        .script(
            "navigator.share = async () => { throw new DOMException('no', 'AbortError') }",
            vec![],
        )
        .await?;
    tap("Send the file").await?;
    phone.wait_text("main", "sheet was closed").await?;

    // While the sheet is open a second tap does nothing; where another page's is open, that is told.
    let open = "
        window.asked = 0;
        window.saved = 0;
        navigator.share = () => { window.asked += 1; return new Promise(() => {}) };
        URL.createObjectURL = () => { window.saved += 1; throw new Error('no') };";
    phone.script(open, vec![]).await?;
    tap("Send the file").await?;
    tap("Send the file").await?;
    tap("Send a link").await?;
    let counts = "return [window.asked, window.saved]";
    assert_eq!(phone.script(counts, vec![]).await?, json!([1, 0]));
    let busy =
        "navigator.share = async () => { throw new DOMException('no', 'InvalidStateError') }";
    phone.script(busy, vec![]).await?;
    phone.go("cars").await?;
    phone.go("share").await?;
    tap("Send the file").await?;
    phone.wait_text("main", "sheet is open already").await?;
    assert_eq!(phone.script(counts, vec![]).await?, json!([1, 0]));
    // A file that goes no way at all was not saved; it was never to be copied.
    let refused =
        "navigator.share = async () => { throw new DOMException('no', 'NotAllowedError') }";
    phone.script(refused, vec![]).await?;
    tap("Send the file").await?;
    phone.wait_text("main", "Not saved").await?;

    // The link of the app is raw deflate in the alphabet of links, and the app takes it.
    phone.open(&link).await?;
    phone.wait_text(".received", "Nettle").await?;
    visit.end().await
}

/// A browser without the streams says so, and offers the file.
#[tokio::test]
async fn without_streams_the_file_is_the_way() -> Result<()> {
    let visit = Visit::with(&[demo::nettle()], "cars").await?;
    let phone = &visit.device;
    phone
        .script(
            "delete window.CompressionStream; delete window.DecompressionStream",
            vec![],
        )
        .await?;
    phone.go("codes").await?;
    phone.wait_text("#codes-fault", "cannot pack").await?;
    phone.wait_text("#codes-fault", "as a file").await?;
    phone.go("card").await?;
    phone.wait_text("#card-fault", "cannot pack").await?;
    let hash = link("", &demo::tansy().to_short_file()?)?;
    phone
        .script("location.hash = arguments[0]", vec![json!(hash)])
        .await?;
    phone.wait_text("#take-fault", "cannot pack").await?;
    visit.end().await
}
