//! The whole app by keyboard alone.

use anyhow::{Context, Result};
use fantoccini::actions::{InputSource, KeyAction, KeyActions};
use fantoccini::key::Key;
use laneside_core::car::demo;
use laneside_core::quantity::InRotationalSpeed;
use laneside_tests::browser::scenes::Scene;
use laneside_tests::browser::{Browser, Screen};
use laneside_tests::cars;
use serde_json::{Value, json};

use crate::visit::Visit;

const READ: &str = include_str!("keyboard.js");

/// Presses and releases a key, whatever has the focus.
pub async fn press(browser: &Browser, key: impl Into<char>) -> Result<()> {
    let value = key.into();
    let keys = KeyActions::new("keys".into())
        .then(KeyAction::Down { value })
        .then(KeyAction::Up { value });
    browser.client().perform_actions(keys).await?;
    Ok(())
}

async fn call(browser: &Browser, call: &str) -> Result<Value> {
    browser
        .script(&format!("{READ}\nreturn {call};"), vec![])
        .await
}

/// Focuses what the selector names, as if Tab had come there.
async fn stand_on(browser: &Browser, css: &str) -> Result<()> {
    let there = "return document.querySelector(arguments[0]) !== null";
    browser.wait_until(css, there, vec![json!(css)]).await?;
    let focus = "document.querySelector(arguments[0]).focus()";
    browser.script(focus, vec![json!(css)]).await?;
    Ok(())
}

async fn is_on(browser: &Browser, css: &str) -> Result<()> {
    let on = "return document.activeElement.matches(arguments[0])";
    browser
        .wait_until(&format!("the focus on {css}"), on, vec![json!(css)])
        .await
}

/// Goes through the scene by the Tab key until the page's end.
async fn faults(browser: &Browser) -> Result<Vec<String>> {
    let wanted = call(browser, "begin()")
        .await?
        .as_u64()
        .context("no count")?;
    let mut faults = Vec::new();
    for _ in 0..wanted + 4 {
        press(browser, Key::Tab).await?;
        browser.settle().await?;
        let found = call(browser, "note()").await?;
        match found.as_str().context("no answer")? {
            // Past the last stop.
            "the page" => break,
            "" => {}
            fault => faults.push(fault.to_owned()),
        }
        // No further: in Firefox the browser's own buttons come next, and then the page is told of no focus.
        if call(
            browser,
            "stopsWanted.every((one) => stopsSeen.includes(one))",
        )
        .await?
            == json!(true)
        {
            break;
        }
    }
    let missed: Vec<String> = serde_json::from_value(call(browser, "missed()").await?)?;
    faults.extend(missed);
    println!("{wanted} stops");
    Ok(faults)
}

/// What a page may show, one scene for each of its kinds.
const SCENES: [Scene; 17] = [
    Scene::FirstVisit,
    Scene::Board(4),
    Scene::Over,
    Scene::NoSize,
    Scene::Page("cars"),
    Scene::Page("car"),
    Scene::Page("belt"),
    Scene::Race("pass", 0),
    Scene::Race("day", 1),
    Scene::MayRunOut,
    Scene::Page("swap"),
    Scene::Card(0),
    Scene::Page("log"),
    Scene::Error,
    Scene::Empty("pulleys"),
    Scene::Deleted,
    Scene::Aside,
];

#[tokio::test]
async fn tab_reaches_everything_in_order_and_shows_where_it_is() -> Result<()> {
    let visit = Visit::first(Screen::PHONE).await?;
    let phone = &visit.device;
    let mut found = Vec::new();
    for scene in SCENES {
        let name = scene.name();
        scene.show(phone).await.with_context(|| name.clone())?;
        // With a keyboard the pad is not in the way.
        if let Scene::Board(_) = scene {
            press(phone, Key::Escape).await?;
            phone.wait_gone(".pad").await?;
        }
        let here = faults(phone).await.with_context(|| name.clone())?;
        found.extend(here.into_iter().map(|fault| format!("{name}: {fault}")));
    }
    assert!(found.is_empty(), "{}", found.join("\n"));
    visit.end().await
}

#[tokio::test]
async fn links_switches_and_choices_are_worked_by_keys() -> Result<()> {
    let visit = Visit::with(&demo::cars(), "car").await?;
    let phone = &visit.device;
    // Past the head of the page.
    stand_on(phone, ".skip").await?;
    press(phone, Key::Enter).await?;
    is_on(phone, "h1").await?;
    // To another page: its heading takes the focus.
    stand_on(phone, ".places a:nth-child(2)").await?;
    press(phone, Key::Enter).await?;
    phone.wait_text("h1", "Which pulley?").await?;
    is_on(phone, "h1").await?;
    stand_on(phone, ".switch a:nth-child(2)").await?;
    press(phone, Key::Enter).await?;
    phone.wait_text("h1", "Will it fit?").await?;
    is_on(phone, "h1").await?;
    // Something folded away, by the space bar and by Enter.
    phone.go("car").await?;
    let fold = "main .rare > summary";
    stand_on(phone, fold).await?;
    let open = "return document.querySelector(arguments[0]).parentElement.open === arguments[1]";
    press(phone, ' ').await?;
    phone
        .wait_until("it unfolded", open, vec![json!(fold), json!(true)])
        .await?;
    press(phone, Key::Enter).await?;
    phone
        .wait_until("it folded", open, vec![json!(fold), json!(false)])
        .await?;
    visit.end().await
}

#[tokio::test]
async fn a_sheet_closes_by_escape_and_gives_the_focus_back() -> Result<()> {
    let visit = Visit::with(&[demo::nettle()], "pulleys").await?;
    let phone = &visit.device;
    let opener = ".header-line .plain";
    stand_on(phone, opener).await?;
    press(phone, Key::Enter).await?;
    phone.wait_for("dialog[open]").await?;
    // Tab stays in it, however often.
    for _ in 0..12 {
        press(phone, Key::Tab).await?;
        let inside = "
            const at = document.activeElement;
            return at === document.body || at.closest('dialog') !== null";
        assert_eq!(phone.script(inside, vec![]).await?, json!(true));
    }
    // A choice by the arrow keys.
    stand_on(phone, "#light input:checked").await?;
    press(phone, Key::Down).await?;
    let chosen = "return document.documentElement.dataset.theme === 'sun'";
    phone.wait_until("the sun", chosen, vec![]).await?;
    press(phone, Key::Escape).await?;
    phone.wait_gone("dialog[open]").await?;
    is_on(phone, opener).await?;
    visit.end().await
}

#[tokio::test]
async fn the_pad_closes_by_escape_and_typing_goes_on() -> Result<()> {
    let visit = Visit::with(&[demo::nettle()], "car").await?;
    let phone = &visit.device;
    phone.tap("#limiter").await?;
    phone.wait_for(".pad").await?;
    press(phone, Key::Escape).await?;
    phone.wait_gone(".pad").await?;
    is_on(phone, "#limiter").await?;
    // From within the pad too.
    phone.tap("#limiter").await?;
    stand_on(phone, ".pad .key").await?;
    press(phone, Key::Escape).await?;
    phone.wait_gone(".pad").await?;
    is_on(phone, "#limiter").await?;
    // By Tab no pad comes up, and Enter leads on to the next field.
    phone.retype("#limiter", "7,100").await?;
    press(phone, Key::Enter).await?;
    is_on(phone, ".num:not(#limiter)").await?;
    assert_eq!(phone.count(".pad").await?, 0);
    let limiter = phone.saved_car(1).await?.engine.limiter.context("none")?;
    assert!((limiter.rpm() - 7_100.0).abs() < 0.1);
    visit.end().await
}

/// The readout of every chart, and the drawing of the belt drive.
#[tokio::test]
async fn charts_are_read_and_pulleys_moved_by_keys() -> Result<()> {
    let visit = Visit::with(&[demo::nettle()], "pulleys").await?;
    let phone = &visit.device;
    for page in ["pulleys", "pass", "day"] {
        phone.go(page).await?;
        let rail = "main [role=slider]";
        stand_on(phone, rail).await?;
        let read = "return document.querySelector(arguments[0]).getAttribute('aria-valuetext')";
        press(phone, Key::Home).await?;
        let mut said = vec![phone.script(read, vec![json!(rail)]).await?];
        for key in [Key::PageUp, Key::Right, Key::End] {
            press(phone, key).await?;
            phone.settle().await?;
            said.push(phone.script(read, vec![json!(rail)]).await?);
        }
        for (at, one) in said.iter().enumerate() {
            assert!(
                one.as_str().is_some_and(|text| text.len() > 5),
                "{page}: {one}"
            );
            assert!(!said[..at].contains(one), "{page}: {said:?}");
        }
    }
    let visit = {
        visit.end().await?;
        Visit::with(&[demo::nettle()], "belt").await?
    };
    let phone = &visit.device;
    let handle = ".belt-handle[tabindex]";
    stand_on(phone, handle).await?;
    let before = phone.saved_car(1).await?.belt_drive;
    press(phone, Key::Right).await?;
    press(phone, Key::Up).await?;
    phone.settle().await?;
    is_on(phone, handle).await?;
    assert_ne!(phone.saved_car(1).await?.belt_drive, before);
    visit.end().await
}

/// What was deleted is taken back by keys, and the focus is never lost with what it was on.
#[tokio::test]
async fn a_deletion_is_taken_back_by_keys() -> Result<()> {
    let visit = Visit::with(&[cars::over(), cars::holds()], "cars").await?;
    let phone = &visit.device;
    stand_on(phone, ".apart .plain").await?;
    press(phone, Key::Enter).await?;
    phone.wait_for(".undo .button").await?;
    stand_on(phone, ".undo .button").await?;
    press(phone, ' ').await?;
    phone.wait_gone(".undo").await?;
    assert_eq!(phone.count(".cars .car").await?, 2);
    visit.end().await
}
