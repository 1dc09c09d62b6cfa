//! The app without signal, and what it asks of the network when there is some.

use std::io::Read;
use std::net::TcpListener;
use std::time::{Duration, Instant};

use anyhow::{Result, ensure};
use laneside_tests::browser::{Browser, Device, Profile, Screen};
use laneside_tests::server::Server;
use serde_json::json;

use crate::versions::Version;
use crate::visit::NO_SIGNAL;

/// Waits until the version is stored and serves this page.
pub async fn stored(browser: &Browser) -> Result<()> {
    let ready = "return navigator.serviceWorker?.controller?.state === 'activated'";
    browser
        .wait_until("the app to be stored", ready, vec![])
        .await
}

#[tokio::test]
async fn the_app_loads_and_asks_nobody_else() -> Result<()> {
    let version = Version::current()?;
    let server = Server::start(version.folder(), 0)?;
    let profile = Profile::new()?;
    let device = Device::start_told(&profile, Screen::PHONE, &server).await?;
    device.open(&server.url()).await?;
    stored(&device).await?;
    device.reload().await?;
    let complaints = device.complaints().await?;
    assert!(complaints.is_empty(), "{complaints:#?}");
    let requests = device.asked(&profile, &server).await?;
    // The page's own requests are in the log, and the service worker's too.
    for name in [version.wasm()?.as_str(), "icon-512.png"] {
        assert!(
            requests.iter().any(|url| url.ends_with(name)),
            "{name}: {requests:#?}"
        );
    }
    for url in requests {
        assert!(url.starts_with(&server.url()), "asked for {url}");
    }
    Ok(())
}

/// The check above can fail: a request to another origin is stopped, and told.
#[tokio::test]
async fn the_policy_stops_requests_to_others() -> Result<()> {
    let version = Version::current()?;
    let server = Server::start(version.folder(), 0)?;
    let other = TcpListener::bind("127.0.0.1:0")?;
    other.set_nonblocking(true)?;
    let address = format!("http://{}/", other.local_addr()?);
    let profile = Profile::new()?;
    let device = Device::start(&profile, Screen::PHONE).await?;
    device.open(&server.url()).await?;
    let attempt = "
        const [address, done] = arguments;
        fetch(address).then(() => done('sent'), () => done('stopped'));";
    let outcome = device.script_later(attempt, vec![json!(address)]).await?;
    assert_eq!(outcome, json!("stopped"));
    for element in ["img", "script", "iframe"] {
        let attempt = "
            const [tag, address, done] = arguments;
            const element = document.createElement(tag);
            document.addEventListener('securitypolicyviolation', () => done('stopped'), { once: true });
            // A frame that is stopped shows the browser's own page, and WebKit tells of no violation:
            // what counts is who is asked, below.
            if (tag === 'iframe') setTimeout(() => done('stopped'), 2000);
            else element.onload = () => done('sent');
            element.src = address;
            document.body.append(element);";
        let arguments = vec![json!(element), json!(address)];
        let outcome = device.script_later(attempt, arguments).await?;
        assert_eq!(outcome, json!("stopped"), "{element}");
    }
    // In a timer: the driver's own scripts are let through.
    let evaluation = "
        const [done] = arguments;
        setTimeout(() => {
            try { done(window.eval('1')) } catch { done('stopped') }
        });";
    let evaluated = device.script_later(evaluation, vec![]).await?;
    assert_eq!(evaluated, json!("stopped"));
    // WebKit's come by way of its output.
    let end = Instant::now() + Duration::from_secs(10);
    while device.complaints().await?.is_empty() {
        assert!(Instant::now() < end, "nothing was said of what was stopped");
        tokio::time::sleep(Duration::from_millis(25)).await;
    }
    device.close().await?;
    // Chromium may open a connection ahead of a page in a frame; nothing may be said on it.
    while let Ok((mut stream, _)) = other.accept() {
        let mut said = String::new();
        stream.set_read_timeout(Some(Duration::from_secs(1)))?;
        drop(stream.read_to_string(&mut said));
        assert_eq!(said, "", "a request went to the other origin");
    }
    Ok(())
}

#[tokio::test]
async fn it_starts_cold_with_the_server_gone() -> Result<()> {
    let version = Version::current()?;
    let server = Server::start(version.folder(), 0)?;
    let url = server.url();
    let profile = Profile::new()?;
    let device = Device::start(&profile, Screen::PHONE).await?;
    device.open(&url).await?;
    let drawn = device.text("body").await?;
    stored(&device).await?;
    server.stop();

    // A fresh tab in the same browser.
    let tab = device.client().new_window(true).await?;
    device.client().switch_to_window(tab.handle).await?;
    device.open(&url).await?;
    assert_eq!(device.text("body").await?, drawn);
    for address in ["index.html", "?from=home-screen"] {
        device.open(&format!("{url}{address}")).await?;
        assert_eq!(device.text("body").await?, drawn, "{address}");
    }
    // A page kept as a bookmark.
    device.open(&format!("{url}#/pulleys")).await?;
    device.close().await?;

    // The phone was switched off in between.
    let device = Device::start(&profile, Screen::PHONE).await?;
    device.open(&url).await?;
    assert_eq!(device.text("body").await?, drawn);
    device.end(&NO_SIGNAL).await
}

/// Icons, manifest and scripts too: whatever the page may ask for later is already there.
#[tokio::test]
async fn every_file_of_the_build_is_stored() -> Result<()> {
    let version = Version::current()?;
    let server = Server::start(version.folder(), 0)?;
    let profile = Profile::new()?;
    let device = Device::start(&profile, Screen::PHONE).await?;
    device.open(&server.url()).await?;
    stored(&device).await?;
    server.stop();
    let mut files = 0;
    for entry in std::fs::read_dir(version.folder())? {
        let name = entry?.file_name().to_string_lossy().into_owned();
        // The words of another language are stored once that is spoken.
        let is_words = name.starts_with("words-");
        if name.ends_with(".br") || name == "service-worker.js" || is_words {
            continue;
        }
        let fetched = "
            const [name, done] = arguments;
            fetch(name).then((response) => response.arrayBuffer())
                .then((data) => done(data.byteLength), (error) => done(String(error)));";
        let found = device.script_later(fetched, vec![json!(name)]).await?;
        let length = std::fs::metadata(version.path(&name))?.len();
        assert_eq!(found, json!(length), "{name}");
        files += 1;
    }
    ensure!(files >= 5, "only {files} files in the build");
    device.close().await
}
