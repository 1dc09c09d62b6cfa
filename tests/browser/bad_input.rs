//! What is typed wrong: told beside its field, kept as typed, and the last good answer stays.

use std::time::Duration;

use anyhow::Result;
use laneside_core::car::{Car, RatingBy, demo};
use laneside_tests::browser::Browser;
use serde_json::json;

use crate::visit::{ON_CAR, Visit};

/// The verdict on the pulley on the car, as every page has it in its head.
const STRIP: &str = ".strip-verdict";

/// How long typing has to rest to count as done, and some more.
const TYPING_RESTS: Duration = Duration::from_millis(1_200);

/// A text that is not to be taken: where it is typed, and parts of what is said to it.
struct Slip {
    page: &'static str,
    field: &'static str,
    text: &'static str,
    found: &'static str,
    needed: &'static str,
}

const fn slip(
    page: &'static str,
    field: &'static str,
    text: &'static str,
    found: &'static str,
    needed: &'static str,
) -> Slip {
    Slip {
        page,
        field,
        text,
        found,
        needed,
    }
}

/// No field twice in a row: what is typed into one without a rest is one text.
const SLIPS: [Slip; 16] = [
    slip("pulleys", "fitted", "2 m", "78.74 in", "9.84 in"),
    slip("pulleys", "tried", "57.15", "57.15 in", "57.15 mm"),
    slip("pulleys", "fitted", "2000 mm", "78.74 in", "9.84 in"),
    slip("pulleys", "tried", "0", "0", "in"),
    slip("pulleys", "fitted", "-2", "\u{2212}2 in", "in"),
    slip("car", "crank", "a big one", "a big one", "a number"),
    slip("car", "limiter", "90,000", "90,000 rpm", "20,000 rpm"),
    slip("car", "idle", "7,500", "7,500 rpm", "5,000 rpm"),
    slip("car", "limiter", "900", "900 rpm", "1,000 rpm"),
    slip("car", "launch", "fast", "fast", "a number"),
    slip("car", "limiter", "7,2,00,0 rpm rpm", "7,2,00,0", "Needed"),
    slip("car", "rated", "1e9", "1", "Needed"),
    slip("car", "crank", "9999999999999999999999", "9", "Needed"),
    slip("car", "rated", "NaN", "NaN", "a number"),
    slip("pulleys", "fitted", "", "Found nothing", "a number"),
    slip("car", "limiter", "", "Found nothing", "a number"),
];

/// Whether the box of one element lies right under that of another, as near as its own message.
const BESIDE: &str = "
    const field = document.querySelector(arguments[0]).getBoundingClientRect();
    const fault = document.querySelector(arguments[1]).getBoundingClientRect();
    return fault.top >= field.top && fault.top - field.bottom < 120;";

async fn told(phone: &Browser, slip: &Slip) -> Result<()> {
    let field = format!("#{}", slip.field);
    let fault = format!("#{}-fault", slip.field);
    phone
        .wait_text(&format!("{fault} .found"), slip.found)
        .await?;
    phone
        .wait_text(&format!("{fault} .needed"), slip.needed)
        .await?;
    assert_eq!(phone.value(&field).await?, slip.text, "typed text is kept");
    let beside = phone
        .script(BESIDE, vec![json!(field), json!(fault)])
        .await?;
    assert_eq!(
        beside,
        json!(true),
        "{}: the message is elsewhere",
        slip.text
    );
    Ok(())
}

/// The figures that are still good, marked old on the page and in the head of every other.
async fn marked_old(phone: &Browser, page: &str, strip: &str) -> Result<()> {
    phone.wait_for(".stale a.button").await?;
    phone.wait_text(STRIP, "(old)").await?;
    let shown = phone.text(STRIP).await?.replace(" (old)", "");
    assert_eq!(shown, strip, "the last good verdict is gone");
    if page == "pulleys" {
        phone.wait_for("canvas").await?;
        phone.wait_for(&format!("{ON_CAR} .verdict .word")).await?;
    }
    Ok(())
}

#[tokio::test]
async fn slips_are_told_beside_the_field_and_lose_nothing() -> Result<()> {
    let visit = Visit::with(&[demo::nettle()], "pulleys").await?;
    let phone = &visit.device;
    let strip = phone.text(STRIP).await?;
    for slip in &SLIPS {
        println!("{} {:?}", slip.field, slip.text);
        let field = format!("#{}", slip.field);
        phone.go(slip.page).await?;
        let before = phone.value(&field).await?;
        let car = phone.saved_car(1).await?;
        phone.retype(&field, slip.text).await?;
        told(phone, slip).await?;
        marked_old(phone, slip.page, &strip).await?;
        assert_eq!(phone.saved_car(1).await?, car, "{} was taken", slip.text);

        // Nothing is lost by loading the page again.
        phone.reload().await?;
        phone.go(slip.page).await?;
        told(phone, slip).await?;
        marked_old(phone, slip.page, &strip).await?;

        // The strip's button leads to the field from the other page.
        let other = if slip.page == "car" { "pulleys" } else { "car" };
        phone.go(other).await?;
        phone.tap(".stale a.button").await?;
        let there = "return document.activeElement?.id === arguments[0]";
        phone
            .wait_until("the way to the field", there, vec![json!(slip.field)])
            .await?;

        // Mended, nothing is old.
        phone.retype(&field, &before).await?;
        phone.wait_gone(".stale").await?;
        phone.wait_gone(&format!("{field}-fault .found")).await?;
        assert_eq!(phone.text(STRIP).await?, strip, "{}", slip.text);
    }
    visit.end().await
}

/// Each alone is a good number; together they are not.
#[tokio::test]
async fn a_limiter_below_idle_is_told() -> Result<()> {
    let mut car = demo::nettle();
    car.engine.launch = None;
    car.engine.shift = None;
    let visit = Visit::with(&[car], "car").await?;
    let phone = &visit.device;
    let strip = phone.text(STRIP).await?;
    phone.retype("#idle", "3,000").await?;
    phone.wait_text(".strip-verdict .word", "").await?;
    phone.retype("#limiter", "2,500").await?;
    phone
        .wait_text("#limiter-fault .found", "2,500 rpm")
        .await?;
    phone
        .wait_text("#limiter-fault .needed", "idle, which is 3,000 rpm")
        .await?;
    phone.wait_for(".stale").await?;
    phone.wait_text(STRIP, "(old)").await?;

    // The other of the two mends it as well: what was typed is tried once more.
    phone.retype("#idle", "950").await?;
    phone.wait_gone(".stale").await?;
    phone.wait_gone("#limiter-fault .found").await?;
    assert_eq!(phone.value("#limiter").await?, "2,500");
    let car = phone.saved_car(1).await?;
    assert_eq!(
        car.engine.limiter,
        Some(laneside_core::quantity::rpm(2500.0))
    );
    assert_ne!(phone.text(STRIP).await?, strip);
    visit.end().await
}

/// Where there was no answer yet, an empty entry is a blank: the page says what it needs.
#[tokio::test]
async fn a_blank_is_asked_for() -> Result<()> {
    let mut car = demo::nettle();
    car.engine.limiter = None;
    car.engine.idle = None;
    let visit = Visit::with(&[car], "pulleys").await?;
    let phone = &visit.device;
    phone.wait_text("main .empty", "limiter").await?;
    assert_eq!(
        phone.count(STRIP).await?,
        0,
        "a verdict on what is not known"
    );
    assert_eq!(phone.count("canvas").await?, 0, "an empty chart");
    phone.tap("main .empty a.button").await?;
    phone.tap("#limiter").await?;
    phone.tap_keys(&["7", "2", "00", "Next"]).await?;
    phone.wait_for("#idle").await?;
    phone.tap_keys(&["9", "5", "0"]).await?;
    phone.tap_keys(&["Clear"]).await?;
    phone.tap_keys(&["9", "00", "Next"]).await?;
    phone.wait_for("canvas").await?;
    phone.wait_text(STRIP, "OVER").await?;
    visit.end().await
}

async fn with_points(text: &str) -> Result<(Visit, Car)> {
    let mut car = demo::nettle();
    car.alternator.rating_by = RatingBy::Points;
    let visit = Visit::with(&[car], "car").await?;
    visit
        .device
        .retype("#points", "2000 60\n3000 90\n6000 120")
        .await?;
    visit.device.wait_for(STRIP).await?;
    // What is typed without a rest is one text: a rest makes it the last good one.
    tokio::time::sleep(TYPING_RESTS).await;
    let good = visit.device.saved_car(1).await?;
    assert_eq!(good.alternator.points.len(), 3);
    visit.device.retype("#points", text).await?;
    Ok((visit, good))
}

#[tokio::test]
async fn curves_out_of_order_or_falling_are_told() -> Result<()> {
    let curves = [
        (
            "3000 90\n2000 60\n6000 120",
            "Point 2",
            "lowest speed first",
        ),
        ("2000 60\n3000 120\n6000 100", "Point 3", "hardly falls"),
        ("2000 60\nhm\n6000 120", "hm", "a speed and a current"),
        ("2000 60", "1 point", "two points"),
    ];
    for (text, found, needed) in curves {
        println!("{text:?}");
        let (visit, good) = with_points(text).await?;
        let phone = &visit.device;
        for _ in 0..2 {
            phone.wait_text("#points-fault .found", found).await?;
            phone.wait_text("#points-fault .needed", needed).await?;
            assert_eq!(phone.value("#points").await?, text);
            phone.wait_for(".stale").await?;
            phone.wait_text(STRIP, "(old)").await?;
            assert_eq!(phone.saved_car(1).await?, good);
            phone.reload().await?;
        }
        visit.end().await?;
    }
    Ok(())
}

/// A list that is full says so, and offers nothing that could not be kept.
#[tokio::test]
async fn more_loads_than_there_is_room_for() -> Result<()> {
    let mut car = demo::nettle();
    let one = car.loads.iter().flatten().next().cloned();
    car.loads = Some(one.into_iter().cycle().take(39).collect());
    let visit = Visit::with(&[car], "car").await?;
    let phone = &visit.device;
    phone.wait_for("#add-load").await?;
    let pick = "
        const pick = document.querySelector('#add-load');
        pick.selectedIndex = 1;
        pick.dispatchEvent(new Event('change', { bubbles: true }));";
    phone.script(pick, vec![]).await?;
    phone.wait_text("main", "40 loads are the most").await?;
    assert_eq!(phone.count("#add-load").await?, 0);
    let loads = phone.saved_car(1).await?.loads.unwrap_or_default();
    assert_eq!(loads.len(), 40);
    visit.end().await
}
