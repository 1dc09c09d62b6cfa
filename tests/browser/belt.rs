//! The page Belt: from a template to an answer, places by tape, dragging, what it must miss, errors.

use anyhow::{Context, Result};
use laneside_core::belt::{Role, Side};
use laneside_core::car::{BeltDrive, Car, PlacesBy, demo};
use laneside_tests::browser::Browser;
use serde_json::json;

use crate::pass::{open_all, pick, rows, tap_words};
use crate::visit::Visit;

const WORD: &str = "main .verdict .word";

async fn visit(car: &Car) -> Result<Visit> {
    Visit::with(std::slice::from_ref(car), "belt").await
}

/// Waits for the verdict's word.
async fn says(phone: &Browser, word: &str) -> Result<()> {
    phone.wait_text(WORD, word).await
}

/// The center of a square on the drawing, in CSS pixels, once it is in sight.
async fn square(phone: &Browser, handle: &str) -> Result<(f64, f64)> {
    let read = "
        const box = document.querySelector(`[data-handle=${arguments[0]}] rect`);
        box.scrollIntoView({ block: 'center' });
        const at = box.getBoundingClientRect();
        return [at.left + at.width / 2, at.top + at.height / 2]";
    let found = phone.script(read, vec![json!(handle)]).await?;
    Ok(serde_json::from_value(found)?)
}

/// Drags a square so many CSS pixels to the right and down, as a finger does.
async fn drag(phone: &Browser, handle: &str, (right, down): (f64, f64)) -> Result<()> {
    let (x, y) = square(phone, handle).await?;
    let drag = "
        const [handle, x, y, right, down] = arguments;
        const grip = document.querySelector(`[data-handle=${handle}] rect`);
        const area = grip.closest('svg');
        area.setPointerCapture = () => {};
        const send = (type, target, at) => target.dispatchEvent(new PointerEvent(type, {
            bubbles: true, cancelable: true, pointerId: 7, button: 0,
            clientX: x + at * right, clientY: y + at * down }));
        send('pointerdown', grip, 0);
        for (const at of [0.25, 0.5, 0.75, 1]) send('pointermove', area, at);
        send('pointerup', area, 1)";
    let arguments = [json!(handle), json!(x), json!(y), json!(right), json!(down)];
    phone.script(drag, arguments.to_vec()).await?;
    phone.settle().await
}

#[tokio::test]
async fn a_template_leads_to_an_answer_that_a_reload_keeps() -> Result<()> {
    let mut car = demo::nettle();
    car.belt_drive = BeltDrive::default();
    let visit = visit(&car).await?;
    let phone = &visit.device;
    phone.wait_text("main", "Belt says whether").await?;
    assert_eq!(phone.count("main svg").await?, 0);
    phone.tap("#begin").await?;
    says(phone, "FITS SO FAR").await?;
    phone.wait_for(".belt-drawing .belt-on").await?;
    phone.wait_for(".belt-drawing .belt-try").await?;
    let lengths = rows(phone, "Length of the belt").await?;
    let change = lengths.iter().find(|row| row[0].starts_with("Change"));
    let change = &change.context("no change")?[2];
    assert!(change.starts_with('+'), "the larger pulley wants {change}");
    assert!(!rows(phone, "Belts to bring").await?.is_empty());
    assert_eq!(rows(phone, "Wrap").await?.len(), 3);

    pick(phone, "belt-template", "With idler and power steering").await?;
    let six = "return document.querySelectorAll('.belt-pulley').length === 6";
    phone.wait_until("six pulleys", six, vec![]).await?;
    phone.retype("#belt-designation", "5pk 1700").await?;
    phone.retype("#belt-tension", "500").await?;
    phone.settle().await?;
    let drive = phone.saved_car(1).await?.belt_drive;
    assert_eq!((drive.pulleys.len(), drive.ribs), (6, Some(5)));
    assert_eq!(drive.belt_mm, Some(1_700.0));
    let before = phone.text(WORD).await?;
    phone.reload().await?;
    says(phone, &before).await?;
    assert_eq!(phone.value("#belt-designation").await?, "5PK1700");
    assert_eq!(phone.saved_car(1).await?.belt_drive, drive);
    visit.end().await
}

#[tokio::test]
async fn the_larger_pulley_meets_the_bolt_until_the_bolt_is_moved() -> Result<()> {
    let visit = visit(&demo::nettle()).await?;
    let phone = &visit.device;
    says(phone, "TOUCHES").await?;
    phone
        .wait_text("main .verdict", "Gap to bracket bolt")
        .await?;
    let offers = rows(phone, "Belts to bring").await?;
    let bring: Vec<_> = offers.iter().filter(|row| row[1] == "bring it").collect();
    assert_eq!(bring.len(), 1, "{offers:?}");
    assert_eq!(bring[0][0], "6PK1220");
    phone.wait_for(".belt-obstacle.belt-met").await?;
    let clear = rows(phone, "What it must miss").await?;
    assert!(clear[0][1].contains("clears"), "{clear:?}");
    assert!(clear[0][2].contains("touches"), "{clear:?}");
    // Away from the belt, to the right and down on the screen.
    drag(phone, "obstacle-0", (12.0, 12.0)).await?;
    phone.wait_gone(".belt-met").await?;
    let moved = phone.saved_car(1).await?.belt_drive.obstacles[0].clone();
    assert!(moved.x_mm > 225.0 && moved.y_mm < 125.0, "{moved:?}");
    assert_ne!(phone.text(WORD).await?, "TOUCHES");
    // The typed place follows; and by the keyboard it goes back.
    open_all(phone).await?;
    let typed = phone.value("#obstacle-x-0").await?;
    let key = "
        const grip = document.querySelector('[data-handle=obstacle-0]');
        grip.focus();
        for (let at = 0; at < 3; at++) grip.dispatchEvent(new KeyboardEvent('keydown',
            { bubbles: true, cancelable: true, key: 'ArrowLeft', shiftKey: true }));
        return document.activeElement === grip";
    assert_eq!(phone.script(key, vec![]).await?, json!(true));
    phone.settle().await?;
    let back = phone.saved_car(1).await?.belt_drive.obstacles[0].clone();
    assert!((moved.x_mm - back.x_mm - 30.0).abs() < 1e-6, "{back:?}");
    assert_ne!(phone.value("#obstacle-x-0").await?, typed);
    visit.end().await
}

#[tokio::test]
async fn dragging_a_pulley_sets_what_is_typed() -> Result<()> {
    let visit = visit(&demo::tansy()).await?;
    let phone = &visit.device;
    phone.wait_for(".belt-drawing .belt-on").await?;
    let before = phone.saved_car(1).await?.belt_drive.pulleys[1];
    // The crank is where everything is measured from.
    assert_eq!(phone.count("[data-handle=pulley-0]").await?, 0);
    drag(phone, "pulley-1", (20.0, -10.0)).await?;
    let after = phone.saved_car(1).await?.belt_drive.pulleys[1];
    assert!(after.x_mm > before.x_mm + 10.0, "{after:?}");
    assert!(after.y_mm > before.y_mm + 5.0, "{after:?}");
    open_all(phone).await?;
    let shown = format!("{:.1} mm", after.x_mm);
    assert_eq!(phone.value("#belt-x-1").await?, shown);
    visit.end().await
}

#[tokio::test]
async fn distances_that_leave_a_side_open_ask_for_it() -> Result<()> {
    // Two pulleys of one size beside the line of the others: the belt goes around them either way.
    let mut car = demo::tansy();
    car.belt_drive.places_by = PlacesBy::Tape;
    let drive = &mut car.belt_drive;
    drive.pulleys.truncate(3);
    drive.mover.pulley = None;
    drive.belt_mm = None;
    drive.pulleys[1].role = Role::Idler;
    drive.pulleys[1].side = Side::Back;
    drive.pulleys[1].diameter_mm = Some(60.0);
    (drive.pulleys[1].x_mm, drive.pulleys[1].y_mm) = (125.0, -4.0);
    (drive.pulleys[2].x_mm, drive.pulleys[2].y_mm) = (250.0, 0.0);
    drive.begin_tapes();
    let visit = visit(&car).await?;
    let phone = &visit.device;
    phone
        .wait_for(".belt-asks .button, .belt-trouble, .verdict .word")
        .await?;
    let asks = phone.count(".belt-asks .button").await?;
    let said = phone.text("main").await?;
    assert_eq!(asks, 2, "{said}");
    phone
        .wait_text(".belt-asks", "on which side is the")
        .await?;
    tap_words(phone, "Right").await?;
    phone.wait_gone(".belt-asks").await?;
    assert!(!phone.saved_car(1).await?.belt_drive.sides.is_empty());
    visit.end().await
}

#[tokio::test]
async fn an_error_stays_beside_what_makes_it_until_it_is_mended() -> Result<()> {
    let visit = visit(&demo::nettle()).await?;
    let phone = &visit.device;
    says(phone, "TOUCHES").await?;
    // A distance that the other two do not reach.
    phone.retype("#tape-distance-2", "30").await?;
    phone.wait_text(".belt-trouble", "contradict").await?;
    phone.wait_text(".belt-tape .found", "contradict").await?;
    phone.reload().await?;
    phone.wait_text(".belt-trouble", "contradict").await?;
    phone.retype("#tape-distance-2", "9 1/8").await?;
    says(phone, "TOUCHES").await?;
    // A designation that is none leaves the answer, and says so after a reload too.
    phone.retype("#belt-designation", "6PL1185").await?;
    phone
        .wait_text("#belt-designation-fault", "another rib profile")
        .await?;
    phone.reload().await?;
    phone
        .wait_text("#belt-designation-fault", "another rib profile")
        .await?;
    assert_eq!(phone.value("#belt-designation").await?, "6PL1185");
    says(phone, "TOUCHES").await?;
    visit.end().await
}

#[tokio::test]
async fn a_pulley_is_not_bought_until_every_question_is_answered() -> Result<()> {
    let mut car = demo::nettle();
    car.belt_drive.shaft.offset_mm = Some(28.0);
    car.belt_drive.shaft.nose_mm = Some(30.0);
    car.belt_drive.shaft.room_mm = Some(100.0);
    let visit = visit(&car).await?;
    let phone = &visit.device;
    phone.wait_text("main", "DO NOT BUY YET").await?;
    open_all(phone).await?;
    for (field, text) in [
        ("#offer-ribs", "6"),
        ("#offer-bore", "17.05 mm"),
        ("#offer-nut", "m16x1,5"),
        ("#offer-offset", "28.3 mm"),
        ("#offer-nose", "20 mm"),
        ("#offer-outside", "82 mm"),
    ] {
        phone.retype(field, text).await?;
    }
    pick(phone, "offer-hub", "solid").await?;
    phone.wait_text("main", "BOLTS ON").await?;
    phone.retype("#offer-ribs", "5").await?;
    phone.wait_text("main", "DOES NOT FIT").await?;
    visit.end().await
}
