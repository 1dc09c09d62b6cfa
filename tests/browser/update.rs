//! From one version to the next: offered, never forced, and whole or not at all.

use std::io::ErrorKind;
use std::time::{Duration, Instant};

use anyhow::{Context, Result, ensure};
use laneside_tests::browser::app::car_key;
use laneside_tests::browser::{Browser, Device, Profile, Screen};
use laneside_tests::cars;
use laneside_tests::server::Server;
use serde_json::json;

use crate::offline::stored;
use crate::versions::Version;

pub const NEXT: &str = "meta[name=next-version]";
const OFFERED: &str = "return document.documentElement.dataset.update === 'ready'";

/// Looks for a newer version and tells how its installation ended.
const LOOK: &str = "
    const done = arguments[arguments.length - 1];
    const registration = await navigator.serviceWorker.getRegistration();
    const follow = (worker) => {
        const tell = () => ['installed', 'redundant'].includes(worker.state) && done(worker.state);
        worker.addEventListener('statechange', tell);
        tell();
    };
    registration.addEventListener('updatefound', () => follow(registration.installing));
    await registration.update();
    // The page itself may have looked a moment before.
    const found = registration.installing ?? registration.waiting;
    if (found) follow(found);";

pub async fn look(browser: &Browser) -> Result<String> {
    // The script of the driver is not asynchronous itself.
    let script = format!("(async function () {{ {LOOK} }}).apply(null, arguments)");
    let outcome = browser.script_later(&script, vec![]).await?;
    Ok(outcome.as_str().unwrap_or_default().to_owned())
}

pub async fn on_next(browser: &Browser) -> Result<bool> {
    Ok(browser.count(NEXT).await? > 0)
}

/// One phone that has stored the current version, and a server that moves on to another.
pub struct Phone {
    profile: Profile,
    pub device: Device,
    pub url: String,
    /// The folder that the first server serves.
    _version: Version,
}

impl Phone {
    pub async fn with_current() -> Result<(Self, Server)> {
        Self::with(Version::current()?).await
    }

    pub async fn with(version: Version) -> Result<(Self, Server)> {
        let server = Server::start(version.folder(), 0)?;
        let profile = Profile::new()?;
        let device = Device::start(&profile, Screen::PHONE).await?;
        let url = server.url();
        device.open(&url).await?;
        stored(&device).await?;
        let keep = "localStorage.setItem('kept-by-test', 'a car')";
        device.script(keep, vec![]).await?;
        let phone = Self {
            profile,
            device,
            url,
            _version: version,
        };
        Ok((phone, server))
    }

    /// Switches the phone off and on.
    pub async fn restart(self) -> Result<Self> {
        self.device.close().await?;
        let device = Device::start(&self.profile, Screen::PHONE).await?;
        device.open(&self.url).await?;
        Ok(Self { device, ..self })
    }
}

pub fn swap(server: Server, version: &Version) -> Result<Server> {
    let port = server.port();
    server.stop();
    // Another program may ask something from this very port meanwhile.
    let end = Instant::now() + Duration::from_secs(10);
    loop {
        match Server::start(version.folder(), port) {
            Err(error) if error.kind() == ErrorKind::AddrInUse && Instant::now() < end => {
                std::thread::sleep(Duration::from_millis(100));
            }
            started => return Ok(started?),
        }
    }
}

#[tokio::test]
async fn a_newer_version_is_offered_and_waits_to_be_accepted() -> Result<()> {
    let (phone, server) = Phone::with_current().await?;
    let device = &phone.device;
    let next = Version::next()?;
    let server = swap(server, &next)?;
    device
        .script(
            "addEventListener('laneside-update', () => window.offers = (window.offers ?? 0) + 1)",
            vec![],
        )
        .await?;
    assert_eq!(look(device).await?, "installed");
    device.wait_until("the offer", OFFERED, vec![]).await?;
    assert_eq!(
        device.script("return window.offers", vec![]).await?,
        json!(1)
    );

    // What did not change was not fetched again, and what did was.
    let requests = server.requests();
    let asked = |name: &str| requests.iter().any(|path| path == &format!("/{name}"));
    assert!(
        asked(&next.wasm()?) && asked("icon.svg") && asked(""),
        "{requests:?}"
    );
    assert!(!asked("icon-512.png"), "{requests:?}");

    // Not forced: not by waiting, not by loading the page again.
    tokio::time::sleep(Duration::from_secs(1)).await;
    assert!(!on_next(device).await?);
    device.reload().await?;
    assert!(!on_next(device).await?);
    device
        .wait_until("the offer after a reload", OFFERED, vec![])
        .await?;
    // The version at work has run well meanwhile, and lets go of the ones before: not of the one that waits.
    tokio::time::sleep(Duration::from_secs(3)).await;

    // Accepted: the page loads again, once, in the next version.
    device.script("window.before = true", vec![]).await?;
    let accept = "dispatchEvent(new CustomEvent('laneside-accept-update'))";
    device.script(accept, vec![]).await?;
    let moved = "return !window.before && document.querySelector(arguments[0]) !== null";
    device
        .wait_until("the next version", moved, vec![json!(NEXT)])
        .await?;
    device.script("window.before = true", vec![]).await?;
    tokio::time::sleep(Duration::from_secs(1)).await;
    let still = device.script("return window.before", vec![]).await?;
    assert_eq!(still, json!(true), "it went on loading itself");
    let kept = device
        .script("return localStorage.getItem('kept-by-test')", vec![])
        .await?;
    assert_eq!(kept, json!("a car"));
    // The version before goes once the next one has run well.
    only_one_stored(device).await?;

    server.stop();
    let phone = phone.restart().await?;
    assert!(
        on_next(&phone.device).await?,
        "the next version starts without signal"
    );
    phone.device.close().await
}

/// A browser short of room may lose what is stored: with signal all of it is fetched again, at the first start that runs
/// well.
#[tokio::test]
async fn lost_files_are_fetched_again() -> Result<()> {
    let (phone, server) = Phone::with_current().await?;
    let device = &phone.device;
    let count = "
        const [part, done] = arguments;
        (async () => {
            const [name] = await caches.keys();
            const cache = await caches.open(name);
            const files = (await cache.keys()).filter(({ url }) => !url.includes('?'));
            const lost = part ? files.filter(({ url }) => url.includes(part)) : [];
            for (const file of lost) await cache.delete(file);
            done(files.length - lost.length);
        })();";
    let whole = device.script_later(count, vec![json!("")]).await?;
    let whole = whole.as_u64().context("no count")?;
    // One file, then every one.
    for part in [".wasm", "/"] {
        let left = device.script_later(count, vec![json!(part)]).await?;
        assert!(left.as_u64().context("no count")? < whole, "{part}");
        device.reload().await?;
        let end = Instant::now() + Duration::from_secs(20);
        while device.script_later(count, vec![json!("")]).await? != json!(whole) {
            ensure!(Instant::now() < end, "{part}: files are still lost");
            tokio::time::sleep(Duration::from_millis(200)).await;
        }
    }
    server.stop();
    let phone = phone.restart().await?;
    phone.device.wait_for("main h1").await?;
    phone.device.close().await
}

/// Waits until no version but one is stored.
pub async fn only_one_stored(browser: &Browser) -> Result<()> {
    let count = "
        const [done] = arguments;
        const end = Date.now() + 10_000;
        const look = async () => {
            const count = (await caches.keys()).length;
            if (count === 1 || Date.now() > end) done(count); else setTimeout(look, 50);
        };
        look();";
    let count = browser.script_later(count, vec![]).await?;
    ensure!(count == json!(1), "{count} versions are stored");
    Ok(())
}

/// Two copies of the app on one host keep out of each other's stored files.
#[tokio::test]
async fn copies_beside_each_other_keep_their_own_files() -> Result<()> {
    let host = tempfile::tempdir()?;
    let (one, two) = (Version::current()?, Version::next()?);
    std::fs::rename(one.folder(), host.path().join("one"))?;
    std::fs::rename(two.folder(), host.path().join("one-b"))?;
    std::fs::write(host.path().join("index.html"), "the host's own page")?;
    let server = Server::start(host.path(), 0)?;
    let profile = Profile::new()?;
    let device = Device::start(&profile, Screen::PHONE).await?;
    for name in ["one/", "one-b/"] {
        device.open(&format!("{}{name}", server.url())).await?;
        stored(&device).await?;
    }
    let keys = "caches.keys().then((names) => arguments[0](names.sort()))";
    let names = device.script_later(keys, vec![]).await?;
    let names: Vec<String> = serde_json::from_value(names)?;
    assert_eq!(names.len(), 2, "{names:?}");
    assert!(
        names[0].contains(" /one-b/ ") || names[1].contains(" /one-b/ "),
        "{names:?}"
    );
    let first = format!("{}one/", server.url());
    server.stop();
    device.open(&first).await?;
    assert!(!on_next(&device).await?);
    device.close().await
}

/// Accepted on the bar that the person sees, with a car saved: the car is still there.
#[tokio::test]
async fn a_saved_car_outlives_an_update() -> Result<()> {
    let (phone, server) = Phone::with_current().await?;
    let device = &phone.device;
    let mut car = cars::over();
    car.engine.limiter = None;
    device.save_cars(&[cars::holds(), car], "car").await?;
    // A text that was not taken is part of what is saved.
    device.retype("#idle", "slow").await?;
    device.wait_text("#idle-fault .found", "slow").await?;
    let verdict = device.text(".strip-verdict").await?;
    let keys = [car_key(1), car_key(2)];
    let before = [
        device.stored(&keys[0]).await?,
        device.stored(&keys[1]).await?,
    ];
    let next = Version::next()?;
    let server = swap(server, &next)?;
    assert_eq!(look(device).await?, "installed");
    device.tap(".offer .button").await?;
    let moved = "return document.querySelector(arguments[0]) !== null";
    device
        .wait_until("the next version", moved, vec![json!(NEXT)])
        .await?;
    server.stop();
    let phone = phone.restart().await?;
    let device = &phone.device;
    assert!(on_next(device).await?);
    for (key, before) in keys.iter().zip(before) {
        assert!(before.is_some());
        assert_eq!(device.stored(key).await?, before, "{key}");
    }
    device.go("car").await?;
    device.wait_text(".car-name", "Holds").await?;
    assert_eq!(device.text(".strip-verdict").await?, verdict);
    device.wait_text("#idle-fault .found", "slow").await?;
    assert_eq!(device.value("#idle").await?, "slow");
    phone.device.close().await
}

/// A second tab is not torn away from its version, nor from that version's files.
#[tokio::test]
async fn another_tab_keeps_its_version_until_it_is_accepted_there() -> Result<()> {
    let (phone, server) = Phone::with_current().await?;
    let client = phone.device.client();
    let first = client.window().await?;
    let second = client.new_window(true).await?;
    client.switch_to_window(second.handle.clone()).await?;
    phone.device.open(&phone.url).await?;
    phone
        .device
        .script("window.untouched = true", vec![])
        .await?;
    client.switch_to_window(first).await?;

    let next = Version::next()?;
    let server = swap(server, &next)?;
    assert_eq!(look(&phone.device).await?, "installed");
    let accept = "dispatchEvent(new CustomEvent('laneside-accept-update'))";
    phone.device.script(accept, vec![]).await?;
    let moved = "return document.querySelector(arguments[0]) !== null";
    phone
        .device
        .wait_until("the next version", moved, vec![json!(NEXT)])
        .await?;

    client.switch_to_window(second.handle).await?;
    assert!(!on_next(&phone.device).await?);
    let untouched = phone
        .device
        .script("return window.untouched", vec![])
        .await?;
    assert_eq!(untouched, json!(true), "the second tab was loaded again");
    phone
        .device
        .wait_until("the offer there too", OFFERED, vec![])
        .await?;
    server.stop();
    phone.device.script(accept, vec![]).await?;
    phone
        .device
        .wait_until("the next version", moved, vec![json!(NEXT)])
        .await?;
    phone.device.close().await
}

/// Whatever goes wrong with the download, the phone keeps the version it has, whole.
async fn stays_whole(next: Version, break_it: impl FnOnce(&Version) -> Result<()>) -> Result<()> {
    let (phone, server) = Phone::with_current().await?;
    break_it(&next)?;
    let server = swap(server, &next)?;
    assert_eq!(look(&phone.device).await?, "redundant");
    assert!(
        server
            .requests()
            .iter()
            .any(|path| path == "/service-worker.js")
    );
    let offered = phone.device.script(OFFERED, vec![]).await?;
    assert_eq!(offered, json!(false));
    phone.device.reload().await?;
    assert!(!on_next(&phone.device).await?);

    server.stop();
    let phone = phone.restart().await?;
    assert!(!on_next(&phone.device).await?);
    let waiting = phone
        .device
        .script_later(
            "navigator.serviceWorker.getRegistration()
                .then((registration) => arguments[0](registration.waiting === null))",
            vec![],
        )
        .await?;
    assert_eq!(waiting, json!(true));

    // Mended on the server, the same version then arrives.
    next.finish()?;
    let port = url_port(&phone.url)?;
    let server = Server::start(next.folder(), port)?;
    assert_eq!(look(&phone.device).await?, "installed");
    server.stop();
    phone.device.close().await
}

pub fn url_port(url: &str) -> Result<u16> {
    let port = url
        .trim_end_matches('/')
        .rsplit(':')
        .next()
        .unwrap_or_default();
    Ok(port.parse()?)
}

#[tokio::test]
async fn a_flipped_bit_leaves_the_current_version_whole() -> Result<()> {
    let next = Version::next()?;
    stays_whole(next, |next| next.spoil("icon.svg", |data| data[20] ^= 1)).await
}

#[tokio::test]
async fn half_a_file_leaves_the_current_version_whole() -> Result<()> {
    let next = Version::next()?;
    stays_whole(next, |next| {
        next.spoil(&next.wasm()?, |data| data.truncate(data.len() / 2))
    })
    .await
}

#[tokio::test]
async fn a_missing_file_leaves_the_current_version_whole() -> Result<()> {
    let next = Version::next()?;
    std::fs::write(next.path("extra.json"), "{}")?;
    next.finish()?;
    stays_whole(next, |next| next.remove("extra.json")).await
}

/// The page of one version over the files of another, as a careless upload leaves it.
#[tokio::test]
async fn a_mixture_of_versions_leaves_the_current_version_whole() -> Result<()> {
    let next = Version::next()?;
    stays_whole(next, |next| {
        next.spoil("index.html", |data| data.truncate(data.len() - 1))
    })
    .await
}
