//! Two languages: which one is spoken, when its words are loaded, and whether anything is said past the catalog.

use std::collections::BTreeSet;

use anyhow::{Context, Result};
use laneside_core::car::demo;
use laneside_core::quantity::{InLength, System};
use laneside_tests::browser::Profile;
use laneside_tests::browser::log_scenes::LogScene;
use laneside_tests::browser::scenes::SCENES;
use laneside_tests::browser::{Browser, Device, Screen, built_app};
use laneside_tests::server::Server;
use laneside_tests::{cars, catalog};
use serde_json::{Value, json};

use crate::offline::stored;
use crate::versions::Version;
use crate::visit::Visit;

/// Saves another language, as the settings do, and starts the app again.
async fn choose(browser: &Browser, at: usize) -> Result<()> {
    browser.tap(".header-line .plain").await?;
    browser
        .tap(&format!("dialog #language label:nth-child({})", at + 1))
        .await?;
    // The page goes and comes again.
    let wanted = ["en", "es"][at];
    let speaks = "return document.documentElement.lang === arguments[0] && globalThis.laneside";
    let there = format!("return Boolean((() => {{ {speaks} }})())");
    browser
        .wait_until("the language", &there, vec![json!(wanted)])
        .await?;
    browser.settle().await
}

async fn heading(browser: &Browser) -> Result<String> {
    browser.text("h1").await
}

async fn language(browser: &Browser) -> Result<Value> {
    browser
        .script("return document.documentElement.lang", vec![])
        .await
}

/// Waits until the words of Spanish are stored for use without signal.
async fn words_stored(browser: &Browser) -> Result<()> {
    let kept = "
        const done = arguments[arguments.length - 1];
        const kept = async () => {
            for (const name of await caches.keys()) {
                const keys = await (await caches.open(name)).keys();
                if (keys.some(({ url }) => url.includes('/words-es-'))) return done(true);
            }
            setTimeout(kept, 50);
        };
        kept();";
    browser.script_later(kept, vec![]).await?;
    Ok(())
}

#[tokio::test]
async fn a_phone_in_spanish_is_spoken_to_in_spanish() -> Result<()> {
    for (phone, mark) in [("es-ES", ","), ("es-MX", "."), ("es-AR", ",")] {
        let visit = Visit::speaking(phone, Screen::PHONE, &built_app()?).await?;
        let browser = &visit.device;
        assert_eq!(language(browser).await?, json!("es"), "{phone}");
        assert_eq!(heading(browser).await?, "¿Qué te trae?");
        browser.save_cars(&[demo::nettle()], "pass").await?;
        browser.wait_text("h1", "¿Qué hará el voltaje").await?;
        // The verdict of the pulley to try.
        let volts = format!("a 14{mark}2 V");
        browser.wait_text("main", &volts).await.context(phone)?;
        visit.end().await?;
    }
    Ok(())
}

#[tokio::test]
async fn english_loads_no_words_and_the_choice_stays() -> Result<()> {
    let server = Server::start(&built_app()?, 0)?;
    let profile = Profile::new()?;
    let device = Device::start_told(&profile, Screen::PHONE, &server).await?;
    device.open(&server.url()).await?;
    stored(&device).await?;
    device.reload().await?;
    assert_eq!(heading(&device).await?, "What brings you?");
    let asked = device.asked(&profile, &server).await?;
    assert!(asked.iter().any(|url| url.ends_with(".wasm")), "{asked:#?}");
    assert!(
        !asked.iter().any(|url| url.contains("words-")),
        "{asked:#?}"
    );

    let device = Device::speaking(&profile, Screen::PHONE, "en-US").await?;
    device.open(&server.url()).await?;
    choose(&device, 1).await?;
    assert_eq!(heading(&device).await?, "¿Qué te trae?");
    let page_title = device.script("return document.title", vec![]).await?;
    assert_eq!(page_title, json!("Bienvenida - Laneside"));
    device.reload().await?;
    assert_eq!(heading(&device).await?, "¿Qué te trae?");
    choose(&device, 0).await?;
    assert_eq!(heading(&device).await?, "What brings you?");
    device.close().await
}

#[tokio::test]
async fn a_language_once_used_is_there_without_signal() -> Result<()> {
    let mut visit = Visit::speaking("es-MX", Screen::PHONE, &built_app()?).await?;
    stored(&visit.device).await?;
    words_stored(&visit.device).await?;
    visit.lose_signal()?;
    let visit = visit.start_cold().await?;
    assert_eq!(language(&visit.device).await?, json!("es"));
    assert_eq!(heading(&visit.device).await?, "¿Qué te trae?");
    // And back, and forth again.
    choose(&visit.device, 0).await?;
    choose(&visit.device, 1).await?;
    assert_eq!(heading(&visit.device).await?, "¿Qué te trae?");
    visit.device.close().await
}

#[tokio::test]
async fn a_language_never_loaded_is_told_of_without_signal() -> Result<()> {
    let mut visit = Visit::first(Screen::PHONE).await?;
    stored(&visit.device).await?;
    visit.lose_signal()?;
    let browser = &visit.device;
    browser.tap(".header-line .plain").await?;
    browser.tap("dialog #language label:nth-child(2)").await?;
    browser
        .wait_text("header", "Español was never loaded")
        .await?;
    assert_eq!(language(browser).await?, json!("en"));
    assert_eq!(heading(browser).await?, "What brings you?");
    visit.device.close().await
}

#[tokio::test]
async fn an_update_brings_the_words_of_the_language_in_use() -> Result<()> {
    let version = Version::current()?;
    let server = Server::start(version.folder(), 0)?;
    let profile = Profile::new()?;
    let device = Device::speaking(&profile, Screen::PHONE, "es-MX").await?;
    let url = server.url();
    device.open(&url).await?;
    stored(&device).await?;
    words_stored(&device).await?;

    let next = Version::next()?;
    next.speaking(&[("What brings you?".to_owned(), "¿Y ahora?".to_owned())])?;
    let port = server.port();
    server.stop();
    let server = Server::start(next.folder(), port)?;
    let look = "navigator.serviceWorker.getRegistration().then((one) => one.update())";
    device.script(look, vec![]).await?;
    let offered = "return document.documentElement.dataset.update === 'ready'";
    device.wait_until("the offer", offered, vec![]).await?;
    server.stop();
    // Whole before it was offered: no signal is needed any more.
    device.tap(".offer .button").await?;
    device.wait_text("h1", "¿Y ahora?").await?;
    device.close().await
}

#[tokio::test]
async fn numbers_are_typed_and_shown_as_the_country_does() -> Result<()> {
    let mut car = demo::nettle();
    car.units = System::Metric;
    let visit = Visit::speaking("es-ES", Screen::PHONE, &built_app()?).await?;
    let browser = &visit.device;
    browser.save_cars(&[car], "car").await?;
    browser.tap("#fitted").await?;
    browser
        .script("document.activeElement.select()", vec![])
        .await?;
    browser.tap_keys(&["5", "7", "Comma", "2"]).await?;
    assert_eq!(browser.value("#fitted").await?, "57,2");
    browser.tap("h1").await?;
    let fitted = browser.saved_fitted(1).await?;
    assert!(
        (fitted.size.mm() - 57.2).abs() < 1e-6,
        "{}",
        fitted.size.mm()
    );
    // The file knows no comma.
    let record = browser
        .stored("laneside.car.1")
        .await?
        .context("a record")?;
    assert!(
        record.contains("57.2") && !record.contains("57,2"),
        "{record}"
    );
    browser.reload().await?;
    assert_eq!(browser.value("#fitted").await?, "57,2 mm");
    // What is put back into an entry reads as it did.
    browser.retype("#fitted", "57,2 mm").await?;
    let again = browser.saved_fitted(1).await?;
    assert_eq!(again.size, fitted.size);
    // Thousands of a speed, by either habit; a length of one comma has decimals.
    for (typed, rpm) in [("7.200", 7_200.0), ("7 100", 7_100.0), ("7,3k", 7_300.0)] {
        browser.retype("#limiter", typed).await?;
        let limiter = browser
            .saved_car(1)
            .await?
            .engine
            .limiter
            .context("a limiter")?;
        assert!((rpm_of(limiter) - rpm).abs() < 0.5, "{typed}");
    }
    browser.retype("#limiter", "1,5").await?;
    browser
        .wait_text("#limiter-fault .found", "Se encontró")
        .await?;
    visit.end().await
}

fn rpm_of(speed: laneside_core::quantity::RotationalSpeed) -> f64 {
    use laneside_core::quantity::InRotationalSpeed;
    speed.rpm()
}

#[tokio::test]
async fn the_worker_speaks_the_language_too() -> Result<()> {
    let visit = Visit::speaking("es-MX", Screen::PHONE, &built_app()?).await?;
    let browser = &visit.device;
    LogScene::Channels.show(browser).await?;
    browser.wait_text("main", "leída como").await?;
    LogScene::Failed.show(browser).await?;
    browser
        .wait_text("#log-fault .found", "ninguna fila de números")
        .await?;
    visit.end().await
}

/// Letters that no catalog has, so that what did not come from one is seen, also inside a sentence.
fn marked(text: &str) -> String {
    let mut inside = false;
    text.chars()
        .map(|c| {
            inside = (inside || c == '{') && c != '}';
            match c {
                'A'..='Z' | 'a'..='z' if !inside => {
                    char::from_u32(u32::from(c) + 0xfee0).unwrap_or(c)
                }
                c => c,
            }
        })
        .collect()
}

/// What is shown or read out in the letters of English, once: texts, names and states.
const PLAIN: &str = r#"
    const [symbols, typed] = arguments;
    const words = new Set();
    const take = (text, element) => {
        if (!text || typed.includes(text.trim())) return;
        // What a person typed stands within a sentence too, where it is more than a word.
        const left = typed.filter((one) => one.includes(" ")).reduce((rest, one) => rest.replaceAll(one, ""), text);
        for (const [word] of left.matchAll(/[A-Za-z\u00c0-\u024f]{2,}/g)) {
            if (!symbols.includes(word)) words.add(`${word}: ${text.trim().slice(0, 80)} (${element.tagName} ${element.className})`);
        }
    };
    const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    for (let node = walker.nextNode(); node; node = walker.nextNode()) {
        if (!node.parentElement.closest("script, style, noscript")) take(node.data, node.parentElement);
    }
    for (const element of document.querySelectorAll("body *")) {
        for (const name of ["aria-label", "title", "placeholder", "alt", "aria-valuetext", "aria-description"]) {
            take(element.getAttribute(name), element);
        }
        if (element.matches("button, a, [role]") && element.ariaLabel) take(element.ariaLabel, element);
    }
    take(document.title, document.documentElement);
    return [...words];"#;

/// Names and symbols of units.
const SYMBOLS: [&str; 30] = [
    "Laneside", "English", "Español", "Nettle", "Tansy", "rpm", "mm", "in", "mph", "km", "Ah",
    "Wh", "Hz", "min", "lbf", "mV", "kB", "PK", "ft", "kg", "AGM", "DIN", "IEC", "EN", "AWG", "mH",
    "ms", "rad", "rev", "friday",
];

/// What a person typed: names of the scenes' cars, of their parts and stretches, a log's file and its columns.
fn typed() -> Vec<String> {
    let mut typed = ["friday.csv", "Battery Voltage", "Engine Speed"]
        .map(str::to_owned)
        .to_vec();
    let made = [
        cars::holds(),
        cars::short_at_idle(),
        cars::too_close(),
        cars::no_size(),
        cars::runs_out(),
        cars::may_run_out(),
    ];
    typed.extend(made.into_iter().map(|car| car.name));
    for car in demo::cars() {
        typed.extend(car.course.segments.into_iter().map(|one| one.name));
        typed.extend(car.belt_drive.obstacles.into_iter().map(|one| one.name));
        typed.extend(car.drive.accessories);
    }
    typed
}

#[tokio::test]
async fn nothing_is_said_past_the_catalog() -> Result<()> {
    let (messages, _) = catalog::gather(&catalog::project())?;
    let pseudo: Vec<(String, String)> = messages
        .into_iter()
        .map(|message| {
            let text = message
                .key
                .rsplit(catalog::CONTEXT_END)
                .next()
                .unwrap_or_default();
            (message.key.clone(), marked(text))
        })
        .collect();
    let version = Version::current()?;
    version.speaking(&pseudo)?;
    let visit = Visit::speaking("es-US", Screen::PHONE, version.folder()).await?;
    let browser = &visit.device;
    let typed = typed();
    let mut plain = BTreeSet::new();
    let mut marks = 0;
    for scene in SCENES {
        scene.show(browser).await.with_context(|| scene.name())?;
        // The licenses are in the words of who gives them.
        let open = "document.querySelectorAll('details:not(.notices)').forEach((part) => { part.open = true; })";
        browser.script(open, vec![]).await?;
        browser.settle().await?;
        let count = "return (document.body.innerText.match(/[\\uff21-\\uff5a]{2,}/g) ?? []).length";
        marks += browser
            .script(count, vec![])
            .await?
            .as_u64()
            .unwrap_or_default();
        let lists = vec![json!(SYMBOLS), json!(typed)];
        let found: Vec<String> = serde_json::from_value(browser.script(PLAIN, lists).await?)?;
        let of_scene = found
            .into_iter()
            .map(|text| format!("{}: {text}", scene.name()));
        plain.extend(of_scene);
    }
    println!("{marks} words of the catalog in {} scenes", SCENES.len());
    assert!(marks > 5_000, "only {marks} words came from the catalog");
    assert!(plain.is_empty(), "{plain:#?}");
    visit.end().await
}
