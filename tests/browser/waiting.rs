//! Several cars that wait to be kept, and one's own beside them: each page is of the car that is shown.

use anyhow::Result;
use laneside_core::car::{demo, several};
use laneside_core::log::kept::KeptPass;
use laneside_tests::browser::{Screen, Taste};
use laneside_tests::cars;
use serde_json::json;
use std::time::Duration;

use crate::share::{link, nothing_waits, open_file, written_down};
use crate::storage_faults::NO_DATABASE;
use crate::visit::Visit;

/// Codes and links are of the car that is shown: of the next one too.
#[tokio::test]
async fn what_goes_out_follows_the_car() -> Result<()> {
    let visit = Visit::with(&[cars::holds()], "cars").await?;
    let phone = &visit.device;
    phone.prefer(Taste::Still).await?;
    let two = demo::cars();
    let none: [&KeptPass; 0] = [];
    let pairs: Vec<_> = two.iter().map(|car| (car, none)).collect();
    open_file(phone, &several::write(&pairs)?.0).await?;
    phone.wait_text(".received", "(1 of 2)").await?;
    phone.go("codes").await?;
    phone.wait_for("svg.code").await?;
    let code = "return document.querySelector('svg.code path')?.getAttribute('d') ?? ''";
    let first = phone.script(code, vec![]).await?;
    let next = ".received .button:nth-of-type(2)";
    phone.tap(next).await?;
    phone.wait_text(".received", "(2 of 2)").await?;
    let other = "
        const code = document.querySelector('svg.code path')?.getAttribute('d');
        return Boolean(code) && code !== arguments[0]";
    phone.wait_until("other codes", other, vec![first]).await?;

    phone.go("share").await?;
    let fails = "Object.defineProperty(navigator, 'clipboard', { configurable: true, value: {
        writeText: async () => { throw new Error('no') } } });";
    phone.script(fails, vec![]).await?;
    let send = "[...document.querySelectorAll('main button')].find((one) => one.innerText === 'Send a link').click()";
    phone.script(send, vec![]).await?;
    phone.wait_for(".by-hand textarea").await?;
    phone.tap(next).await?;
    phone.wait_text(".received", "(1 of 2)").await?;
    phone.wait_gone(".by-hand").await?;
    assert!(!phone.text("main").await?.contains("Not copied"));
    visit.end().await
}

/// The only own car is deleted while another waits: that one is looked at, and no page is empty.
#[tokio::test]
async fn what_waits_is_looked_at_once_no_car_is_left() -> Result<()> {
    let visit = Visit::with(&[cars::holds()], "pulleys").await?;
    let phone = &visit.device;
    phone
        .open(&link(&visit.url, &demo::tansy().to_short_file()?)?)
        .await?;
    phone.wait_text(".car-name", "Tansy").await?;
    phone.go("cars").await?;
    phone.tap(".cars button").await?;
    phone.wait_text(".car-name", "Holds").await?;
    phone.tap(".apart .plain").await?;
    phone.wait_text(".undo", "Holds").await?;
    phone.wait_text(".car-name", "Tansy").await?;
    phone.go("pulleys").await?;
    phone.wait_for("main .verdict .word").await?;
    phone.tap(".undo .button").await?;
    phone.wait_text(".car-name", "Holds").await?;
    visit.end().await
}

/// A link that is tapped twice brings one car; of two in a row, the fault of the second is told.
#[tokio::test]
async fn two_links_in_a_row_are_told_apart() -> Result<()> {
    let visit = Visit::with(&[cars::holds()], "pulleys").await?;
    let phone = &visit.device;
    let good = link("", &demo::tansy().to_short_file()?)?;
    for _ in 0..2 {
        phone
            .script("location.hash = arguments[0]", vec![json!(good)])
            .await?;
        let taken = "return !location.hash.startsWith('#/take')";
        phone.wait_until("the link is taken", taken, vec![]).await?;
        phone.wait_text(".received", "Tansy").await?;
    }
    assert!(!phone.text(".received").await?.contains("of 2"));
    let row = "
        const [first, second] = arguments;
        location.hash = first;
        setTimeout(() => { location.hash = second }, 0);";
    let bad = json!("#/take/AAAA");
    phone.script(row, vec![json!(good), bad]).await?;
    phone.wait_text("#take-fault", "no whole car").await?;
    tokio::time::sleep(Duration::from_millis(500)).await;
    phone.wait_text("#take-fault", "no whole car").await?;
    phone.wait_text(".received", "Tansy").await?;
    visit.end().await
}

/// Passes beyond what a car is taken with are left out, and said so.
#[tokio::test]
async fn too_many_passes_are_told() -> Result<()> {
    let visit = Visit::with(&[cars::holds()], "cars").await?;
    let phone = &visit.device;
    let passes = vec!["1"; several::MOST_PASSES + 3].join(",");
    let whole = demo::tansy().to_file()?;
    let many = whole.replacen(
        "\"car\": ",
        &format!("\"passes\": [{passes}], \"car\": "),
        1,
    );
    open_file(phone, &many).await?;
    phone
        .wait_text(".received", "the 3 oldest stay behind")
        .await?;
    phone
        .wait_text(".received", "400 of its kept passes cannot be read")
        .await?;
    visit.end().await
}

/// What follows a car late (the sizes on hand, the other ways of a day) is gone with the car.
#[tokio::test]
async fn nothing_of_the_car_before_stands_under_the_next() -> Result<()> {
    let visit = Visit::with(&[cars::holds()], "cars").await?;
    let phone = &visit.device;
    let two = demo::cars();
    let none: [&KeptPass; 0] = [];
    let pairs: Vec<_> = two.iter().map(|car| (car, none)).collect();
    open_file(phone, &several::write(&pairs)?.0).await?;
    phone.wait_text(".received", "(1 of 2)").await?;
    for (page, part) in [
        ("pulleys", "ol.ranking"),
        ("day", "main div:has(> h2 + h3)"),
    ] {
        phone.go(page).await?;
        phone.wait_for(&format!("{part} li")).await?;
        phone.settle().await?;
        let next = "
            const [part, done] = arguments;
            const text = () => document.querySelector(part)?.innerText ?? '';
            const before = text();
            document.querySelector('.received .button:nth-of-type(2)').click();
            requestAnimationFrame(() => requestAnimationFrame(() => done([before, text()])));";
        let said = phone.script_later(next, vec![json!(part)]).await?;
        let (before, after): (String, String) = serde_json::from_value(said)?;
        assert_ne!(before, after, "{page}");
        // That of the next one comes.
        phone.wait_for(&format!("{part} li")).await?;
        phone.settle().await?;
        assert_ne!(phone.text(part).await?, before, "{page}");
    }
    visit.end().await
}

/// A phone lets go of a page that is out of sight: what came is there again with the next start, its passes too.
#[tokio::test]
async fn what_came_waits_through_a_start() -> Result<()> {
    let visit = Visit::first(Screen::PHONE).await?;
    let phone = &visit.device;
    let golden = several::read(include_str!("../../core/data/golden/1.car.json"))?;
    let tansy = demo::tansy();
    let pairs = [(&golden[0].car, &golden[0].passes[..]), (&tansy, &[])];
    phone.go("cars").await?;
    open_file(phone, &several::write(&pairs)?.0).await?;
    phone.wait_text(".received", "(1 of 2)").await?;
    written_down(phone, 2).await?;
    phone.reload().await?;
    phone.wait_text(".received", "(1 of 2)").await?;
    phone.wait_text(".received", "waits on this phone").await?;
    // It stays aside until it is looked at.
    assert!(!phone.text(".received").await?.contains("look at it only"));
    phone.tap(".received .button:nth-of-type(2)").await?;
    phone.wait_text(".received", "You look at it only").await?;
    phone.wait_text(".received", "(1 of 2)").await?;
    phone.go("log").await?;
    phone.wait_text("main .log-passes", "Round 2").await?;
    phone.tap(".received .button:nth-of-type(4)").await?;
    phone.wait_gone(".received").await?;
    nothing_waits(phone).await?;
    phone.wait_text("main .log-passes", "Round 2").await?;
    assert_eq!(phone.saved_car(1).await?, golden[0].car);
    assert_eq!(phone.saved_car(2).await?.name, tansy.name);
    visit.end().await
}

/// Where it cannot be written down, that is said.
#[tokio::test]
async fn what_finds_no_room_is_said_to_go() -> Result<()> {
    let visit = Visit::with(&[cars::holds()], "pulleys").await?;
    let phone = &visit.device;
    phone.before_pages(NO_DATABASE).await?;
    phone.reload().await?;
    let hash = link("", &demo::tansy().to_short_file()?)?;
    phone
        .script("location.hash = arguments[0]", vec![json!(hash)])
        .await?;
    phone
        .wait_text(".received", "gone once the app is closed")
        .await?;
    visit.end().await
}
