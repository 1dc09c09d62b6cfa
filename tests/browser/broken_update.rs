//! A newer version that does not start is left for the one before it; a download that ends in the middle harms nothing.

use anyhow::Result;
use laneside_core::quantity::InLength;
use laneside_tests::browser::Browser;
use laneside_tests::cars;
use laneside_tests::server::Server;
use serde_json::json;

use crate::breaking::{Cutting, trapping};
use crate::storage_faults::as_saved;
use crate::update::{NEXT, Phone, look, on_next, only_one_stored, swap};
use crate::versions::Version;

const ACCEPT: &str = "dispatchEvent(new CustomEvent('laneside-accept-update'))";
const WENT_BACK: &str = "did not start on this phone";

/// Which version runs: the number in its mark, 0 for the first.
async fn running(browser: &Browser) -> Result<i64> {
    let read = "return Number(document.querySelector(arguments[0])?.content ?? 0)";
    let number = browser.script(read, vec![json!(NEXT)]).await?;
    Ok(number.as_i64().unwrap_or(-1))
}

async fn runs(browser: &Browser, version: u8) -> Result<()> {
    let here = "return Number(document.querySelector(arguments[0])?.content ?? 0) === arguments[1]
        && document.querySelector('main h1') !== null";
    let arguments = vec![json!(NEXT), json!(version)];
    browser
        .wait_until(&format!("version {version}"), here, arguments)
        .await
}

/// The phone accepts the stored version of this number and keeps it alone, without signal too, with the pulley on the
/// car at so many inches.
async fn takes(phone: Phone, server: Server, version: u8, inches: f64) -> Result<Phone> {
    phone.device.script(ACCEPT, vec![]).await?;
    runs(&phone.device, version).await?;
    only_one_stored(&phone.device).await?;
    server.stop();
    let phone = phone.restart().await?;
    runs(&phone.device, version).await?;
    let fitted = phone.device.saved_car(1).await?.drive.fitted;
    assert!(fitted.is_some_and(|fitted| (fitted.size.inches() - inches).abs() < 1e-6));
    Ok(phone)
}

/// The phone accepts a version that does not start, is back in its own, offline too, and takes the next good one.
async fn is_left(broken: Version) -> Result<()> {
    let (phone, server) = Phone::with_current().await?;
    phone.device.save_cars(&[cars::over()], "pulleys").await?;
    // Twice started: this version is known to run.
    phone.device.reload().await?;
    phone.device.retype("#fitted", "2 1/2").await?;
    let server = swap(server, &broken)?;
    assert_eq!(look(&phone.device).await?, "installed");
    phone.device.script(ACCEPT, vec![]).await?;
    phone.device.wait_text(".offer", WENT_BACK).await?;
    runs(&phone.device, 0).await?;
    assert_eq!(phone.device.value("#fitted").await?, "2 1/2 in");
    // It is not offered again, not even after another look.
    phone.device.script(
        "navigator.serviceWorker.getRegistration().then((registration) => registration.update())",
        vec![],
    ).await?;
    phone.device.tap(".offer .plain").await?;
    phone.device.reload().await?;
    runs(&phone.device, 0).await?;
    tokio::time::sleep(std::time::Duration::from_millis(1_500)).await;
    assert_eq!(phone.device.count(".offer").await?, 0);

    server.stop();
    let phone = phone.restart().await?;
    phone.device.go("pulleys").await?;
    runs(&phone.device, 0).await?;
    assert_eq!(phone.device.value("#fitted").await?, "2 1/2 in");
    phone.device.retype("#fitted", "3").await?;

    // The one after it runs, and the rest is let go.
    let good = Version::after(2)?;
    let server = Server::start(good.folder(), crate::update::url_port(&phone.url)?)?;
    assert_eq!(look(&phone.device).await?, "installed");
    let phone = takes(phone, server, 2, 3.0).await?;
    phone.device.close().await
}

#[tokio::test]
async fn a_version_that_traps_at_its_start_is_left() -> Result<()> {
    let next = Version::next()?;
    let wasm = next.wasm()?;
    let broken = trapping(&std::fs::read(next.path(&wasm))?)?;
    is_left(next.with_fault(&wasm, |data| *data = broken)?).await
}

#[tokio::test]
async fn a_version_whose_start_script_fails_is_left() -> Result<()> {
    let next = Version::next()?;
    let boot = next.script("boot")?;
    is_left(next.with_fault(&boot, |data| *data = b"throw new Error('broken')".to_vec())?).await
}

#[tokio::test]
async fn a_version_whose_start_script_is_no_script_is_left() -> Result<()> {
    let next = Version::next()?;
    let boot = next.script("boot")?;
    is_left(next.with_fault(&boot, |data| data.truncate(data.len() / 2))?).await
}

/// Not even the script that would tell works: the worker counts the starts that no word comes from.
#[tokio::test]
async fn a_version_that_stays_mute_is_left_after_three_starts() -> Result<()> {
    let (phone, server) = Phone::with_current().await?;
    phone.device.save_cars(&[cars::over()], "pulleys").await?;
    let next = Version::next()?;
    let (boot, guard) = (next.script("boot")?, next.script("guard")?);
    let next = next
        .with_fault(&guard, |data| *data = b"throw new Error('mute')".to_vec())?
        .with_fault(&boot, |data| *data = b"throw new Error('mute')".to_vec())?;
    let server = swap(server, &next)?;
    assert_eq!(look(&phone.device).await?, "installed");
    phone.device.script(ACCEPT, vec![]).await?;
    let moved = "return document.querySelector(arguments[0]) !== null";
    phone
        .device
        .wait_until("the next version", moved, vec![json!(NEXT)])
        .await?;
    for start in 2..=3 {
        phone.device.load_again().await?;
        assert_eq!(running(&phone.device).await?, 1, "start {start}");
    }
    phone.device.reload().await?;
    runs(&phone.device, 0).await?;
    assert_eq!(phone.device.saved_car(1).await?, as_saved(&cars::over())?);
    server.stop();
    let phone = phone.restart().await?;
    runs(&phone.device, 0).await?;
    phone.device.close().await
}

/// A fault that comes with no newer version has none to go back to: the sheet says so, and gives everything out.
#[tokio::test]
async fn a_first_version_that_fails_says_so() -> Result<()> {
    let version = Version::current()?;
    let boot = version.script("boot")?;
    let version =
        version.with_fault(&boot, |data| *data = b"throw new Error('broken')".to_vec())?;
    let server = Server::start(version.folder(), 0)?;
    let profile = laneside_tests::browser::Profile::new()?;
    let screen = laneside_tests::browser::Screen::PHONE;
    let chromium = laneside_tests::browser::Device::start(&profile, screen).await?;
    chromium.open(&server.url()).await?;
    chromium
        .wait_text(".stopped", "Laneside has stopped")
        .await?;
    assert_eq!(chromium.count(".stopped .button").await?, 3);
    chromium.close().await
}

#[tokio::test]
async fn a_download_cut_in_the_middle_leaves_the_version_whole() -> Result<()> {
    let (phone, server) = Phone::with_current().await?;
    phone.device.save_cars(&[cars::over()], "pulleys").await?;
    let next = Version::next()?;
    let port = server.port();
    server.stop();
    let cutting = Cutting::start(next.folder(), port, &next.wasm()?)?;
    assert_eq!(look(&phone.device).await?, "redundant");
    assert!(cutting.cuts() > 0, "the file was never asked for");
    cutting.stop()?;
    phone.device.reload().await?;
    runs(&phone.device, 0).await?;
    let phone = phone.restart().await?;
    phone.device.go("pulleys").await?;
    runs(&phone.device, 0).await?;
    assert!(!on_next(&phone.device).await?);
    assert_eq!(phone.device.saved_car(1).await?, as_saved(&cars::over())?);
    phone.device.close().await
}

/// Two versions pass unseen or unaccepted; the third is taken, with everything that was entered.
#[tokio::test]
async fn three_versions_on_all_is_there() -> Result<()> {
    let (phone, server) = Phone::with_current().await?;
    phone
        .device
        .save_cars(&[cars::over(), cars::holds()], "pulleys")
        .await?;
    let (one, three) = (Version::after(1)?, Version::after(3)?);
    let server = swap(server, &one)?;
    assert_eq!(look(&phone.device).await?, "installed");
    // Not accepted; the second one never reached this phone.
    let server = swap(server, &three)?;
    assert_eq!(look(&phone.device).await?, "installed");
    phone.device.retype("#fitted", "2 1/2").await?;
    let phone = takes(phone, server, 3, 2.5).await?;
    assert_eq!(phone.device.saved_car(2).await?, as_saved(&cars::holds())?);
    phone.device.close().await
}
