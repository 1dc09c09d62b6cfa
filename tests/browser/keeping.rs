//! What the browser promises about what is kept.

use anyhow::Result;
use laneside_core::car::{Car, demo};
use laneside_tests::browser::Browser;
use laneside_tests::cars;

use crate::visit::Visit;

const SAID: &str = ".keeping [role=status]";

/// Counts how often it is asked, over loads of the page.
const COUNT: &str = "
    const persist = StorageManager.prototype.persist;
    StorageManager.prototype.persist = function () {
        localStorage.setItem('asked-by-page', Number(localStorage.getItem('asked-by-page')) + 1);
        return persist.call(this);
    };";

/// An engine that clears what a week leaves, told by what it has that others have not.
const WEEK: &str = "window.GestureEvent = class {};";

async fn asked(phone: &Browser) -> Result<Option<String>> {
    phone.stored("asked-by-page").await
}

fn own() -> Car {
    Car {
        invented: false,
        ..cars::holds()
    }
}

/// Headless, the browser says no.
#[tokio::test]
async fn the_browser_is_asked_once_and_its_no_is_shown() -> Result<()> {
    let visit = Visit::with(&[demo::nettle(), own()], "cars").await?;
    let phone = &visit.device;
    phone.before_pages(COUNT).await?;
    phone.reload().await?;
    phone.wait_text(SAID, "has not agreed").await?;
    // An invented car is not worth asking for.
    phone.go("pulleys").await?;
    phone.retype("#fitted", "2 1/2").await?;
    assert_eq!(asked(phone).await?, None);
    phone.go("cars").await?;
    phone.tap(".cars li:nth-child(2) button").await?;
    phone.wait_text(".car-name", "Holds").await?;
    phone.retype("#name", "Thistle").await?;
    assert_eq!(asked(phone).await?.as_deref(), Some("1"));
    phone.retype("#name", "Thistle two").await?;
    phone.reload().await?;
    phone.retype("#name", "Thistle three").await?;
    assert_eq!(asked(phone).await?.as_deref(), Some("1"), "asked again");
    // By hand it can be.
    phone.wait_text(SAID, "has not agreed").await?;
    phone.tap(".keeping .button").await?;
    let twice = "return localStorage.getItem('asked-by-page') === '2'";
    phone
        .wait_until("the second question", twice, vec![])
        .await?;
    phone.screenshot("keeping-no").await?;
    visit.end().await
}

#[tokio::test]
async fn its_yes_is_shown() -> Result<()> {
    let visit = Visit::with(&[own()], "cars").await?;
    let phone = &visit.device;
    phone.agree_to_keep(visit.url.trim_end_matches('/')).await?;
    phone.retype("#name", "Thistle").await?;
    phone.wait_text(SAID, "has agreed to keep").await?;
    phone.reload().await?;
    phone.wait_text(SAID, "has agreed to keep").await?;
    assert_eq!(phone.count(".keeping .button").await?, 0);
    visit.end().await
}

/// Where there is nothing to ask, that is a no.
#[tokio::test]
async fn a_browser_that_promises_nothing_says_so() -> Result<()> {
    let visit = Visit::with(&[own()], "cars").await?;
    let phone = &visit.device;
    phone
        .before_pages(
            "Object.defineProperty(Navigator.prototype, 'storage', { get: () => undefined })",
        )
        .await?;
    phone.reload().await?;
    phone.wait_text(SAID, "has not agreed").await?;
    phone.retype("#name", "Thistle").await?;
    phone.wait_text(".car-name", "Thistle").await?;
    visit.end().await
}

#[tokio::test]
async fn a_browser_that_clears_after_a_week_says_so_once() -> Result<()> {
    let notice = ".verdict-slot .notice";
    let visit = Visit::with(&[demo::nettle(), own()], "cars").await?;
    let phone = &visit.device;
    phone.before_pages(WEEK).await?;
    phone.reload().await?;
    phone.wait_for(SAID).await?;
    // With an invented car there is nothing to lose.
    assert_eq!(phone.count(notice).await?, 0);
    phone.tap(".cars li:nth-child(2) button").await?;
    phone.wait_text(notice, "seven days").await?;
    phone.screenshot("keeping-week").await?;
    phone.tap(&format!("{notice} .plain")).await?;
    phone.wait_gone(notice).await?;
    phone.reload().await?;
    phone.wait_for(SAID).await?;
    assert_eq!(phone.count(notice).await?, 0, "told twice");
    visit.end().await
}

#[tokio::test]
async fn on_the_home_screen_there_is_no_week() -> Result<()> {
    let visit = Visit::with(&[own()], "cars").await?;
    let phone = &visit.device;
    phone
        .before_pages(&format!("{WEEK} navigator.standalone = true;"))
        .await?;
    phone.reload().await?;
    phone.wait_for(SAID).await?;
    assert_eq!(phone.count(".verdict-slot .notice").await?, 0);
    visit.end().await
}
