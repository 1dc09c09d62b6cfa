//! What can be measured of the look, in every scene: contrast, room for thumbs, nothing cut off.

use std::collections::BTreeSet;

use anyhow::{Context, Result};
use laneside_core::car::demo;
use laneside_tests::browser::app::PAGES;
use laneside_tests::browser::scenes::{SCENES, Scene};
use laneside_tests::browser::{Browser, Screen, built_app};
use serde::de::DeserializeOwned;

use crate::color::{Color, DEFICIENCIES};
use crate::visit::Visit;

const READ: &str = include_str!("look.js");

/// The least contrast of any text.
const CONTRAST: f64 = 7.0;
/// The least difference of the two pulleys' colors, for every eye.
const APART: f64 = 40.0;
/// The least size of what is tapped, CSS pixels, and of the two buttons of a stepper.
const TARGET: u32 = 48;
const STEP: u32 = 64;
/// The smallest text, CSS pixels.
const SMALLEST: u32 = 14;

/// What a function of `look.js` finds.
pub async fn read<T: DeserializeOwned>(browser: &Browser, call: &str) -> Result<T> {
    let found = browser
        .script(&format!("{READ}\nreturn {call};"), vec![])
        .await?;
    Ok(serde_json::from_value(found)?)
}

/// What is wrong with the scene on the screen.
async fn faults(browser: &Browser, scene: Scene) -> Result<Vec<String>> {
    let mut faults = Vec::new();
    let mut add = |what: &str, found: Vec<String>| {
        let place = scene.name();
        faults.extend(
            found
                .into_iter()
                .map(|found| format!("{place}: {what}: {found}")),
        );
    };
    scene.show(browser).await.with_context(|| scene.name())?;
    read::<Option<()>>(browser, "openAll()").await?;
    browser.settle().await?;
    let mut faint = Vec::new();
    for [text, ground, place] in read::<Vec<[String; 3]>>(browser, "colors()").await? {
        match (Color::parse(&text), Color::parse(&ground)) {
            (Ok(one), Ok(two)) if one.contrast(two) >= CONTRAST => {}
            (Ok(one), Ok(two)) => faint.push(format!("{:.2}: {place}", one.contrast(two))),
            _ => faint.push(format!("{text} on {ground}: {place}")),
        }
    }
    add("contrast", faint);
    let call = format!("small({TARGET}, {STEP})");
    add("small", read(browser, &call).await?);
    add("over each other", read(browser, "overlapping()").await?);
    add("cut off", read(browser, "overflowing()").await?);
    add("blurred", read(browser, "blurred()").await?);
    add("broken", read(browser, "broken()").await?);
    add("id twice", read(browser, "twice()").await?);
    add("no label", read(browser, "unnamed()").await?);
    add("tiny", read(browser, &format!("tiny({SMALLEST})")).await?);

    // The person's own text size, twice the usual.
    let larger = "document.documentElement.style.fontSize = '200%'";
    browser.script(larger, vec![]).await?;
    browser.settle().await?;
    add("cut off at 200 %", read(browser, "overflowing()").await?);
    add(
        "over each other at 200 %",
        read(browser, "overlapping()").await?,
    );
    add("broken at 200 %", read(browser, "broken()").await?);
    add("blurred at 200 %", read(browser, "blurred()").await?);
    Ok(faults)
}

async fn look(screen: Screen, scheme: &str) -> Result<()> {
    look_speaking("en-US", screen, scheme).await
}

async fn look_speaking(language: &str, screen: Screen, scheme: &str) -> Result<()> {
    let visit = Visit::speaking(language, screen, &built_app()?).await?;
    visit.device.color_scheme(scheme).await?;
    let mut found = Vec::new();
    for scene in SCENES {
        found.extend(faults(&visit.device, scene).await?);
    }
    assert!(found.is_empty(), "{}", found.join("\n"));
    // No violation of the content security policy and no failed script in any of them.
    visit.end().await
}

#[tokio::test]
async fn every_scene_on_the_phone_in_the_sun() -> Result<()> {
    look(Screen::PHONE, "light").await
}

#[tokio::test]
async fn every_scene_on_the_narrowest_phone_at_night() -> Result<()> {
    look(Screen::NARROW, "dark").await
}

/// The longer words of a second language fit as well, and decimals behind a comma.
#[tokio::test]

async fn every_scene_in_spanish_on_the_phone() -> Result<()> {
    look_speaking("es-ES", Screen::PHONE, "light").await
}

#[tokio::test]

async fn every_scene_in_spanish_on_the_narrowest_phone() -> Result<()> {
    look_speaking("es-MX", Screen::NARROW, "dark").await
}

#[tokio::test]
async fn every_scene_on_a_laptop() -> Result<()> {
    look(Screen::LAPTOP, "light").await
}

/// The chart draws its text itself: its colors are those of the theme.
#[tokio::test]
async fn the_colors_of_both_themes() -> Result<()> {
    let visit = Visit::with(&[demo::nettle()], "pulleys").await?;
    for scheme in ["light", "dark"] {
        visit.device.color_scheme(scheme).await?;
        visit.device.settle().await?;
        let tokens: Vec<String> = read(&visit.device, "colorsOfTheme()").await?;
        let colors = tokens
            .iter()
            .map(|token| Color::parse(token))
            .collect::<Result<Vec<_>>>()?;
        let [ground, panel, ink, quiet, on_car, to_try] = colors[..] else {
            anyhow::bail!("{tokens:?}");
        };
        for text in [ink, quiet, on_car, to_try] {
            assert!(text.contrast(ground) >= CONTRAST, "{scheme}: {text:?}");
        }
        for text in [ink, quiet] {
            assert!(text.contrast(panel) >= CONTRAST, "{scheme}: {text:?}");
        }
        let apart = on_car.difference(to_try);
        println!("{scheme}: apart by {apart:.0}");
        assert!(apart >= APART);
        for (eye, matrix) in DEFICIENCIES {
            let [one, two] = [on_car, to_try].map(|color| color.seen_with(matrix));
            let apart = one.difference(two);
            println!("{scheme}, {eye}: apart by {apart:.0}");
            assert!(apart >= APART, "{scheme}, {eye}: {apart}");
            for color in [one, two] {
                let contrast = color.contrast(ground.seen_with(matrix));
                assert!(contrast >= 4.5, "{scheme}, {eye}: {contrast}");
            }
        }
    }
    visit.end().await
}

/// The pages that the links in sight lead to.
const LINKS: &str = "[...new Set([...document.querySelectorAll('a[href^=\"#/\"]')]
    .filter(shown).map((link) => link.getAttribute('href').split('/')[1]))]";

#[tokio::test]
async fn every_page_is_within_two_taps_of_every_other() -> Result<()> {
    let visit = Visit::with(&demo::cars(), "pulleys").await?;
    let phone = &visit.device;
    for from in PAGES {
        phone.go(from).await?;
        let near: Vec<String> = read(phone, LINKS).await?;
        let mut reached: BTreeSet<String> = near.iter().cloned().collect();
        for by in &near {
            phone.go(from).await?;
            phone.go(by).await?;
            reached.extend(read::<Vec<String>>(phone, LINKS).await?);
        }
        reached.insert(from.to_owned());
        // The doors and the board are for a car of which nothing is known yet.
        let missed: Vec<_> = PAGES[2..]
            .iter()
            .filter(|page| !reached.contains(**page))
            .collect();
        assert!(missed.is_empty(), "{missed:?} from {from}");
    }
    visit.end().await
}
