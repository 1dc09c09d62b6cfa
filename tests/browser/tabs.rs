//! One browser, two windows, the same cars.

use anyhow::Result;
use fantoccini::wd::WindowHandle;
use laneside_core::car::demo;
use laneside_core::quantity::InLength;
use laneside_tests::cars;

use crate::share::{link, nothing_waits, written_down};
use crate::visit::Visit;

const NOTICE: &str = ".verdict-slot .notice";

async fn second(visit: &Visit, page: &str) -> Result<(WindowHandle, WindowHandle)> {
    let client = visit.device.client();
    let first = client.window().await?;
    let second = client.new_window(true).await?.handle;
    client.switch_to_window(second.clone()).await?;
    visit.device.open(&format!("{}#/{page}", visit.url)).await?;
    visit.device.settle().await?;
    Ok((first, second))
}

/// What another window saved is taken, and built upon.
#[tokio::test]
async fn a_window_takes_what_the_other_saved() -> Result<()> {
    let visit = Visit::with(&[cars::over()], "pulleys").await?;
    let phone = &visit.device;
    let (first, second) = second(&visit, "pulleys").await?;
    phone.retype("#fitted", "2 1/2").await?;
    phone.client().switch_to_window(first).await?;
    let shown = "return document.querySelector('#fitted').value === '2 1/2 in'";
    phone
        .wait_until("the other's pulley", shown, vec![])
        .await?;
    phone.go("car").await?;
    phone.retype("#limiter", "6,900").await?;
    phone.client().switch_to_window(second).await?;
    phone.go("car").await?;
    let shown = "return document.querySelector('#limiter').value.startsWith('6,900')";
    phone
        .wait_until("the other's limiter", shown, vec![])
        .await?;
    assert!((phone.saved_fitted(1).await?.size.inches() - 2.5).abs() < 1e-6);
    assert_eq!(phone.stored("laneside.car.2").await?, None);
    assert_eq!(phone.count(NOTICE).await?, 0);
    visit.end().await
}

/// Two windows that do not hear of each other change one car: both are kept.
#[tokio::test]
async fn two_windows_that_change_one_car_keep_both() -> Result<()> {
    let visit = Visit::with(&[cars::over()], "pulleys").await?;
    let phone = &visit.device;
    // The event comes late, as to a window that was put to sleep.
    phone
        .before_pages(
            "addEventListener('storage', (event) => event.stopImmediatePropagation(), true)",
        )
        .await?;
    phone.reload().await?;
    let (first, _) = second(&visit, "pulleys").await?;
    phone.retype("#fitted", "2 1/2").await?;
    let other = phone.stored("laneside.car.1").await?;
    phone.client().switch_to_window(first).await?;
    assert_eq!(phone.value("#fitted").await?, "2 1/4 in");
    phone.retype("#fitted", "3 1/2").await?;
    phone.wait_text(NOTICE, "Both are kept").await?;
    phone.wait_text(".car-name", "Nettle, this window").await?;
    assert_eq!(phone.stored("laneside.car.1").await?, other);
    assert!((phone.saved_fitted(2).await?.size.inches() - 3.5).abs() < 1e-6);
    // It is a car of its own from here on.
    phone.retype("#fitted", "3 1/4").await?;
    assert!((phone.saved_fitted(2).await?.size.inches() - 3.25).abs() < 1e-6);
    assert_eq!(phone.stored("laneside.car.1").await?, other);
    phone.go("cars").await?;
    let names = "return [...document.querySelectorAll('.cars .car')].map((car) => car.innerText)";
    let names = phone.script(names, vec![]).await?;
    assert_eq!(names, serde_json::json!(["Nettle", "Nettle, this window"]));
    visit.end().await
}

/// A browser that keeps no car, while `full` is set on the page.
const NO_CARS: &str = "
    const { prototype } = Storage, { setItem } = prototype;
    window.full = true;
    prototype.setItem = function (key, text) {
        if (window.full && key.startsWith('laneside.car.')) throw new DOMException('full', 'QuotaExceededError');
        return setItem.call(this, key, text);
    };";

/// A car that the browser refused to keep goes on under another number once another window changed it: what stands under
/// the old one is that window's.
#[tokio::test]
async fn what_was_refused_goes_on_beside_what_the_other_saved() -> Result<()> {
    let visit = Visit::with(&[cars::over()], "pulleys").await?;
    let phone = &visit.device;
    let (first, second) = second(&visit, "pulleys").await?;
    phone.client().switch_to_window(first.clone()).await?;
    phone.in_page(NO_CARS).await?;
    phone.retype("#fitted", "3 1/2").await?;
    phone
        .wait_text(".verdict-slot .caution", "A spare copy is kept")
        .await?;
    phone.client().switch_to_window(second).await?;
    phone.retype("#fitted", "2 1/2").await?;
    phone.client().switch_to_window(first).await?;
    phone.in_page("window.full = false").await?;
    phone.retype("#fitted", "3 1/4").await?;
    phone.wait_text(NOTICE, "Both are kept").await?;
    phone.wait_gone(".verdict-slot .caution").await?;
    assert!((phone.saved_fitted(1).await?.size.inches() - 2.5).abs() < 1e-6);
    assert!((phone.saved_fitted(2).await?.size.inches() - 3.25).abs() < 1e-6);
    phone.go("cars").await?;
    let other = ".cars li:nth-child(1)";
    phone.wait_text(other, "alternator 2 1/2").await?;
    phone.tap(&format!("{other} button")).await?;
    phone.go("pulleys").await?;
    assert_eq!(phone.value("#fitted").await?, "2 1/2 in");
    visit.end().await
}

#[tokio::test]
async fn cars_come_and_go_in_the_other_window_too() -> Result<()> {
    let visit = Visit::with(&[cars::over(), cars::holds()], "cars").await?;
    let phone = &visit.device;
    let (first, second) = second(&visit, "cars").await?;
    phone.tap(".actions button").await?;
    phone.wait_text(".car-name", "Nettle, copy").await?;
    phone.client().switch_to_window(first.clone()).await?;
    let count = "return document.querySelectorAll('.cars li').length === arguments[0]";
    phone.wait_until("the copy", count, vec![3.into()]).await?;
    // The one that is open here is deleted there.
    phone.client().switch_to_window(second).await?;
    phone.tap(".cars li:nth-child(1) button").await?;
    phone.wait_text(".car-name", "Nettle").await?;
    phone.tap(".apart .plain").await?;
    phone.tap(".undo .plain").await?;
    phone.client().switch_to_window(first).await?;
    phone
        .wait_text(NOTICE, "was deleted in another window")
        .await?;
    phone.retype("#name", "Nettle again").await?;
    assert_eq!(phone.saved_car(1).await?.name, "Nettle again");
    visit.end().await
}

/// A car that came into two windows is one: kept in one of them, it waits in neither, and no start brings it back.
#[tokio::test]
async fn what_came_into_two_windows_is_kept_once() -> Result<()> {
    let visit = Visit::with(&[cars::over()], "pulleys").await?;
    let phone = &visit.device;
    let hash = serde_json::json!(link("", &demo::tansy().to_short_file()?)?);
    let to = "location.hash = arguments[0]";
    phone.script(to, vec![hash.clone()]).await?;
    phone.wait_text(".received", "Tansy").await?;
    written_down(phone, 1).await?;
    let (first, second) = second(&visit, "cars").await?;
    // As it waits, and as the same link opens it.
    phone.wait_text(".received", "Tansy").await?;
    phone.script(to, vec![hash]).await?;
    phone.wait_text(".received", "You look at it only").await?;
    written_down(phone, 1).await?;
    phone.client().switch_to_window(first).await?;
    phone.tap(".received .button").await?;
    phone.wait_gone(".received").await?;
    nothing_waits(phone).await?;
    phone.client().switch_to_window(second).await?;
    phone.wait_gone(".received").await?;
    phone.wait_text(".car-name", "Nettle").await?;
    phone.reload().await?;
    phone.go("cars").await?;
    let names = "return [...document.querySelectorAll('.cars .car')].map((car) => car.innerText)";
    let names = phone.script(names, vec![]).await?;
    assert_eq!(names, serde_json::json!(["Nettle", "Tansy"]));
    assert_eq!(phone.count(".received").await?, 0);
    visit.end().await
}
