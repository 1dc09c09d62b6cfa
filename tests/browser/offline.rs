//! The app without signal, and what it asks of the network when there is some.

use std::io::Read;
use std::net::TcpListener;
use std::time::Duration;

use anyhow::{Result, ensure};
use laneside_tests::browser::chromium::Profile;
use laneside_tests::browser::{Browser, Chromium, Screen};
use laneside_tests::server::Server;
use serde_json::json;

use crate::versions::Version;

/// Waits until the version is stored and serves this page.
pub async fn stored(browser: &Browser) -> Result<()> {
    let ready = "return navigator.serviceWorker?.controller?.state === 'activated'";
    browser
        .wait_until("the app to be stored", ready, vec![])
        .await
}

/// Words that the browser uses when a policy or a script fails.
pub fn complaints(console: &[String]) -> Vec<&String> {
    let bad = |line: &&String| line.starts_with("SEVERE") || line.contains("Security Policy");
    console.iter().filter(bad).collect()
}

#[tokio::test]
async fn the_app_loads_and_asks_nobody_else() -> Result<()> {
    let version = Version::current()?;
    let server = Server::start(version.folder(), 0)?;
    let profile = Profile::new()?;
    let chromium = Chromium::start(&profile, Screen::PHONE).await?;
    chromium.open(&server.url()).await?;
    stored(&chromium).await?;
    chromium.reload().await?;
    let console = chromium.console().await?;
    assert!(complaints(&console).is_empty(), "{console:#?}");
    chromium.close().await?;

    let requests = profile.requests_of(&server.url())?;
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
    let chromium = Chromium::start(&profile, Screen::PHONE).await?;
    chromium.open(&server.url()).await?;
    let attempt = "
        const [address, done] = arguments;
        fetch(address).then(() => done('sent'), () => done('stopped'));";
    let outcome = chromium.script_later(attempt, vec![json!(address)]).await?;
    assert_eq!(outcome, json!("stopped"));
    for element in ["img", "script", "iframe"] {
        let attempt = "
            const [tag, address, done] = arguments;
            const element = document.createElement(tag);
            document.addEventListener('securitypolicyviolation', () => done('stopped'), { once: true });
            element.onload = () => done('sent');
            element.src = address;
            document.body.append(element);";
        let arguments = vec![json!(element), json!(address)];
        let outcome = chromium.script_later(attempt, arguments).await?;
        assert_eq!(outcome, json!("stopped"), "{element}");
    }
    // In a timer: the driver's own scripts are let through.
    let evaluation = "
        const [done] = arguments;
        setTimeout(() => {
            try { done(window.eval('1')) } catch { done('stopped') }
        });";
    let evaluated = chromium.script_later(evaluation, vec![]).await?;
    assert_eq!(evaluated, json!("stopped"));
    let console = chromium.console().await?;
    assert!(!complaints(&console).is_empty(), "{console:#?}");
    chromium.close().await?;
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
    let chromium = Chromium::start(&profile, Screen::PHONE).await?;
    chromium.open(&url).await?;
    let drawn = chromium.text("body").await?;
    stored(&chromium).await?;
    server.stop();

    // A fresh tab in the same browser.
    let tab = chromium.client().new_window(true).await?;
    chromium.client().switch_to_window(tab.handle).await?;
    chromium.open(&url).await?;
    assert_eq!(chromium.text("body").await?, drawn);
    for address in ["index.html", "?from=home-screen"] {
        chromium.open(&format!("{url}{address}")).await?;
        assert_eq!(chromium.text("body").await?, drawn, "{address}");
    }
    // A page kept as a bookmark.
    chromium.open(&format!("{url}#/pulleys")).await?;
    chromium.close().await?;

    // The phone was switched off in between.
    let chromium = Chromium::start(&profile, Screen::PHONE).await?;
    chromium.open(&url).await?;
    assert_eq!(chromium.text("body").await?, drawn);
    let console = chromium.console().await?;
    let failed: Vec<_> = complaints(&console)
        .into_iter()
        // The look for a newer version fails, as it must without signal.
        .filter(|line| !line.contains("service-worker.js"))
        .collect();
    assert!(failed.is_empty(), "{failed:#?}");
    chromium.close().await
}

/// Icons, manifest and scripts too: whatever the page may ask for later is already there.
#[tokio::test]
async fn every_file_of_the_build_is_stored() -> Result<()> {
    let version = Version::current()?;
    let server = Server::start(version.folder(), 0)?;
    let profile = Profile::new()?;
    let chromium = Chromium::start(&profile, Screen::PHONE).await?;
    chromium.open(&server.url()).await?;
    stored(&chromium).await?;
    server.stop();
    chromium.offline(true).await?;
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
        let found = chromium.script_later(fetched, vec![json!(name)]).await?;
        let length = std::fs::metadata(version.path(&name))?.len();
        assert_eq!(found, json!(length), "{name}");
        files += 1;
    }
    ensure!(files >= 5, "only {files} files in the build");
    chromium.close().await
}
