//! The way to a field: the next one on the pad, the one that is missing, the one that is to mend.

use anyhow::Result;
use laneside_core::car::entry::Field;
use laneside_core::car::{Car, RatingBy, demo};
use laneside_core::quantity::System;
use laneside_tests::browser::{Browser, Screen};
use serde_json::json;

use crate::visit::Visit;

const STRIP: &str = ".strip-verdict";

async fn is_at(phone: &Browser, id: &str) -> Result<()> {
    let there = "return document.activeElement?.id === arguments[0]";
    phone.wait_until(id, there, vec![json!(id)]).await
}

#[tokio::test]
async fn what_is_missing_is_said_and_led_to() -> Result<()> {
    let visit = Visit::with(&[demo::nettle()], "car").await?;
    let phone = &visit.device;
    phone.wait_text(STRIP, "OVER").await?;
    // Two figures, of which one is known.
    let pick = "const by = document.getElementById('rating-by'); by.selectedIndex = 1; \
                by.scrollIntoView(); by.dispatchEvent(new Event('change', { bubbles: true }))";
    phone.script(pick, vec![]).await?;
    phone.wait_text(STRIP, "Enter output at low speed").await?;
    phone.wait_text(".tag.missing", "still missing").await?;
    let seen = "const at = document.getElementById('low').getBoundingClientRect(); \
                const over = document.querySelector('.verdict-slot').getBoundingClientRect(); \
                return at.top >= over.bottom && at.bottom <= innerHeight";
    phone.wait_until("the box in sight", seen, vec![]).await?;
    // From another page the button leads to that box, not to the first of the five entries.
    phone.go("pulleys").await?;
    phone.wait_text(".empty", "output at low speed").await?;
    phone.tap(".empty a.button").await?;
    is_at(phone, &Field::Low.key()).await?;
    phone.wait_for(".pad").await?;
    phone.tap_keys(&["7", "0"]).await?;
    phone.wait_gone(".tag.missing").await?;
    phone.wait_text(STRIP, "OVER").await?;
    assert_eq!(
        phone.saved_car(1).await?.alternator.rating_by,
        RatingBy::Pair
    );
    visit.end().await
}

#[tokio::test]
async fn next_passes_over_what_is_closed_and_ends_after_the_last() -> Result<()> {
    let visit = Visit::with(&[demo::nettle()], "car").await?;
    let phone = &visit.device;
    let load = Field::LoadCurrent(0).key();
    phone.go(&format!("car/{load}")).await?;
    is_at(phone, &load).await?;
    phone.tap(&format!("#{load}")).await?;
    for next in [Field::LoadTolerance(0), Field::LoadVoltage(0), Field::Shed] {
        phone.tap(".key-next").await?;
        is_at(phone, &next.key()).await?;
    }
    phone.tap_keys(&["Done"]).await?;
    phone.wait_gone(".pad").await?;
    visit.end().await
}

#[tokio::test]
async fn next_does_not_go_round_an_empty_board() -> Result<()> {
    let visit = Visit::first(Screen::PHONE).await?;
    let phone = &visit.device;
    phone.tap("main a.door + a.door").await?;
    for field in [
        Field::Crank,
        Field::Fitted,
        Field::Limiter,
        Field::Idle,
        Field::Rated,
    ] {
        is_at(phone, &field.key()).await?;
        phone.wait_for(".pad").await?;
        phone.tap_keys(&["Next"]).await?;
    }
    phone.wait_gone(".pad").await?;
    visit.end().await
}

#[tokio::test]
async fn mend_opens_the_pad_on_the_field_each_time() -> Result<()> {
    let visit = Visit::with(&[demo::nettle()], "pulleys").await?;
    let phone = &visit.device;
    phone.retype("#tried", "2m").await?;
    phone
        .wait_text("#tried-fault", "\"2m\", which is 78.74 in")
        .await?;
    phone
        .wait_text("#tried-fault", "1.18 in to 9.84 in")
        .await?;
    // The second time the address is the same already.
    for _ in 0..2 {
        phone.tap("h1").await?;
        phone.wait_gone(".pad").await?;
        phone.tap(".stale a.button").await?;
        phone.wait_for(".pad").await?;
        is_at(phone, "tried").await?;
    }
    visit.end().await
}

#[tokio::test]
async fn cars_of_one_name_are_told_apart_and_a_long_name_fits() -> Result<()> {
    let own = |name: &str| Car {
        name: name.to_owned(),
        invented: false,
        ..demo::nettle()
    };
    let mine = [own("My car"), own(&"W".repeat(60))];
    let visit = Visit::with(&mine, "cars").await?;
    let phone = &visit.device;
    phone.wait_text(".cars", "alternator 2 1/4").await?;
    phone.tap(".cars li:nth-child(2) button").await?;
    for page in ["cars", "pulleys"] {
        phone.go(page).await?;
        phone.wait_text(".car-name", "WWW").await?;
        let fits = "return document.documentElement.scrollWidth <= innerWidth";
        phone
            .wait_until("a page no wider than the phone", fits, vec![])
            .await?;
    }
    phone.go("cars").await?;
    phone.tap("main > .button.large").await?;
    phone.wait_text(".car-name", "Car 2").await?;
    assert_eq!(phone.saved_car(3).await?, Car::new("Car 2", System::Inch));
    visit.end().await
}

/// A link to what is not on the page waits until all of the page is there: whoever goes on meanwhile is left in peace.
#[tokio::test]
async fn a_link_that_leads_nowhere_takes_nobody_away() -> Result<()> {
    let visit = Visit::with(&[demo::nettle()], "cars").await?;
    let phone = &visit.device;
    let to = "
        const [done] = arguments;
        location.hash = '#/day/nothing';
        const frame = () => new Promise(requestAnimationFrame);
        const go = async () => {
            while (!document.getElementById('rounds')) await frame();
            await frame();
            const rounds = document.getElementById('rounds');
            rounds.scrollIntoView({ block: 'center' });
            rounds.focus();
            done(document.documentElement.hasAttribute('data-unfinished'));
        };
        go();";
    let waits = phone.script_later(to, vec![]).await?;
    assert_eq!(waits, json!(true), "nothing was to come any more");
    phone.settle().await?;
    let here = "return [document.activeElement?.id, scrollY > 0]";
    assert_eq!(
        phone.script(here, vec![]).await?,
        json!(["rounds", true]),
        "taken away"
    );
    visit.end().await
}
