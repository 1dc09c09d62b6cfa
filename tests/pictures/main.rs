//! Takes pictures of the built app: those of the README, or every scene for people to look at.
//!
//! `bash tests/pictures.sh` makes those of the README; `pictures --all DIR` writes every scene at
//! every width, in both themes, at the usual text size and at twice that; `--language es-MX` on a phone in Spanish.

use std::path::{Path, PathBuf};

use anyhow::{Context, Result};
use laneside_core::car::demo;
use laneside_tests::browser::scenes::SCENES;
use laneside_tests::browser::{Chromium, Profile, Screen, Taste, built_app, workspace};
use laneside_tests::server::Server;
use lexopt::prelude::*;
use serde_json::json;

/// A phone whose pictures are large enough for a page of text and no larger.
const README: Screen = Screen {
    pixel_ratio: 2.0,
    ..Screen::PHONE
};

/// Screens of the pictures for people, by the names of their folders.
const SCREENS: [(&str, Screen); 3] = [
    ("360", Screen::NARROW),
    ("390", Screen::PHONE),
    ("1280", Screen::LAPTOP),
];

/// Sizes are shown in inches where this language is spoken.
const ENGLISH: &str = "en-US";

async fn start(
    screen: Screen,
    scheme: &str,
    url: &str,
    language: &str,
) -> Result<(Profile, Chromium)> {
    let profile = Profile::new()?;
    let speaks = format!("--accept-lang={language}");
    let arguments = [speaks.as_str(), "--hide-scrollbars"];
    let chromium = Chromium::start_with(&profile, screen, &arguments).await?;
    let is_dark = scheme == "dark";
    chromium
        .prefer(if is_dark { Taste::Dark } else { Taste::Light })
        .await?;
    chromium.open(url).await?;
    Ok((profile, chromium))
}

/// The page Pulleys of the invented coupe: its head by day, its chart by night.
async fn readme(url: &str) -> Result<()> {
    let folder = workspace()?.join("tests/pictures");
    for (name, scheme, part) in [
        ("pulleys", "light", "header"),
        ("pulleys-night", "dark", ".readings"),
    ] {
        let (_profile, chromium) = start(README, scheme, url, ENGLISH).await?;
        chromium.save_cars(&[demo::nettle()], "pulleys").await?;
        chromium.wait_for("canvas").await?;
        let show = "document.querySelector(arguments[0]).scrollIntoView({ behavior: 'instant' })";
        chromium.script(show, vec![json!(part)]).await?;
        chromium.settle().await?;
        chromium
            .screenshot_to(&folder.join(format!("{name}.png")))
            .await?;
        chromium.close().await?;
    }
    Ok(())
}

/// The whole page, however long, in one picture: on a screen that is as long as the page.
async fn whole(chromium: &Chromium, screen: Screen, path: &Path) -> Result<()> {
    let metrics = |height: u64| {
        json!({
            "width": screen.width, "height": height, "mobile": screen.touch,
            "deviceScaleFactor": 1.0,
        })
    };
    let method = "Emulation.setDeviceMetricsOverride";
    let least = u64::from(screen.height);
    let length = "return document.documentElement.scrollHeight";
    let found = chromium.script(length, vec![]).await?;
    let height = found.as_u64().unwrap_or_default().clamp(least, 6_000);
    chromium.cdp(method, metrics(height)).await?;
    chromium.settle().await?;
    chromium.screenshot_to(path).await?;
    chromium.cdp(method, metrics(least)).await?;
    chromium.settle().await
}

/// Every scene, on every screen, in both themes, with text as usual and twice as large.
async fn all(url: &str, folder: &Path, language: &str) -> Result<()> {
    for (name, screen) in SCREENS {
        for scheme in ["light", "dark"] {
            let (_profile, chromium) = start(screen, scheme, url, language).await?;
            let folder = folder.join(format!("{name}-{scheme}"));
            for scene in SCENES {
                scene.show(&chromium).await.with_context(|| scene.name())?;
                let path = folder.join(format!("{}.png", scene.name()));
                whole(&chromium, screen, &path).await?;
                if scheme == "light" && screen.touch {
                    let larger = "document.documentElement.style.fontSize = '200%'";
                    chromium.script(larger, vec![]).await?;
                    chromium.settle().await?;
                    let path = folder.join(format!("{}-200.png", scene.name()));
                    whole(&chromium, screen, &path).await?;
                }
            }
            chromium.close().await?;
        }
    }
    Ok(())
}

#[tokio::main]
async fn main() -> Result<()> {
    let mut folder = None;
    let mut language = ENGLISH.to_owned();
    let mut arguments = lexopt::Parser::from_env();
    while let Some(argument) = arguments.next()? {
        match argument {
            Long("all") => folder = Some(PathBuf::from(arguments.value()?)),
            Long("language") => language = arguments.value()?.string()?,
            other => return Err(other.unexpected().into()),
        }
    }
    let server = Server::start(&built_app()?, 0)?;
    match folder {
        Some(folder) => all(&server.url(), &folder, &language).await,
        None => readme(&server.url()).await,
    }
}
