//! What assistive software finds: axe-core's rules in every scene, names, roles, and what is announced.

use std::path::PathBuf;

use anyhow::{Context, Result, ensure};
use fantoccini::Locator;
use laneside_core::car::demo;
use laneside_tests::browser::Screen;
use laneside_tests::browser::app::PAGES;
use laneside_tests::browser::scenes::SCENES;
use serde::Deserialize;
use serde_json::json;

use crate::visit::Visit;

/// Runs every rule of axe-core: WCAG 2.2 on all levels and its best practices.
const RUN: &str = "
    const [done] = arguments;
    document.querySelectorAll('details').forEach((part) => { part.open = true; });
    const place = (node) => node.html.slice(0, 160) + ' ' + (node.failureSummary ?? '').slice(0, 300);
    axe.run(document, { resultTypes: ['violations'], rules: { 'color-contrast-enhanced': { enabled: true } } })
        .then((result) => done({
            violations: result.violations.map((one) => `${one.id}: ${one.nodes.map(place).join(' | ')}`),
            passed: result.passes.length,
            unsure: result.incomplete.map((one) => `${one.id} (${one.nodes.length})`),
        }), (error) => done({ violations: [String(error)], passed: 0, unsure: [] }));";

#[derive(Deserialize)]
struct Axe {
    violations: Vec<String>,
    passed: usize,
    unsure: Vec<String>,
}

/// The library as one script, where `tests/run.sh` put it.
fn library() -> Result<String> {
    let path = std::env::var_os("LANESIDE_AXE").map(PathBuf::from);
    let path = path.context("LANESIDE_AXE names no axe.min.js: `bash tests/run.sh` installs it")?;
    std::fs::read_to_string(&path).with_context(|| path.display().to_string())
}

async fn every_scene(screen: Screen, scheme: &str) -> Result<()> {
    let axe = library()?;
    let visit = Visit::first(screen).await?;
    let phone = &visit.device;
    phone.color_scheme(scheme).await?;
    let mut found = Vec::new();
    for scene in SCENES {
        let name = scene.name();
        scene.show(phone).await.with_context(|| name.clone())?;
        // As the driver's own script, which the page's policy lets through.
        phone.script(&axe, vec![]).await?;
        let result: Axe = serde_json::from_value(phone.script_later(RUN, vec![]).await?)?;
        println!(
            "axe, {scheme}, {name}: {} violations, {} rules passed, left to a person: {:?}",
            result.violations.len(),
            result.passed,
            result.unsure
        );
        ensure!(
            result.violations.len() + result.passed > 5,
            "{name}: no rules ran"
        );
        result
            .violations
            .iter()
            .for_each(|one| println!("    {one}"));
        let here = result.violations.into_iter();
        found.extend(here.map(|one| format!("{name}: {one}")));
    }
    assert!(found.is_empty(), "{}", found.join("\n"));
    visit.end().await
}

#[tokio::test]
async fn axe_finds_nothing_in_any_scene_in_the_sun() -> Result<()> {
    every_scene(Screen::PHONE, "light").await
}

#[tokio::test]
async fn axe_finds_nothing_in_any_scene_at_night() -> Result<()> {
    every_scene(Screen::PHONE, "dark").await
}

/// The check above can fail.
#[tokio::test]
async fn axe_finds_what_is_wrong() -> Result<()> {
    let visit = Visit::with(&[demo::nettle()], "car").await?;
    let phone = &visit.device;
    phone.script(&library()?, vec![]).await?;
    let spoil = "document.querySelector('main').append(document.createElement('button'))";
    phone.script(spoil, vec![]).await?;
    let result: Axe = serde_json::from_value(phone.script_later(RUN, vec![]).await?)?;
    assert!(
        result
            .violations
            .iter()
            .any(|one| one.starts_with("button-name")),
        "{:?}",
        result.violations
    );
    visit.end().await
}

/// One heading of the first rank, its name the page's question; the places to jump to; the title.
#[tokio::test]
async fn every_page_has_its_heading_its_landmarks_and_its_title() -> Result<()> {
    let visit = Visit::with(&demo::cars(), "car").await?;
    let phone = &visit.device;
    let mut titles = Vec::new();
    for page in PAGES {
        phone.go(page).await?;
        let read = "
            const count = (css) => document.querySelectorAll(css).length;
            return [count('h1'), count('main'), count('body > header'), count('nav:not([aria-label])'),
                document.activeElement === document.querySelector('h1'),
                [...document.querySelectorAll('h1, h2, h3, h4')].filter((one) => one.checkVisibility())
                    .every((one, at, all) => !at || one.tagName[1] - all[at - 1].tagName[1] <= 1)]";
        let found = phone.script(read, vec![]).await?;
        assert_eq!(found, json!([1, 1, 1, 0, true, true]), "{page}");
        titles.push(phone.client().title().await?);
    }
    let mut apart = titles.clone();
    apart.sort();
    apart.dedup();
    assert_eq!(apart.len(), titles.len(), "{titles:?}");
    visit.end().await
}

/// The roles of what a person acts on.
const ROLES: [&str; 12] = [
    "button",
    "link",
    "textbox",
    "combobox",
    "radio",
    "checkbox",
    "slider",
    "DisclosureTriangle",
    "summary",
    "group",
    "switch",
    "region",
];

/// As the browser itself computes them for a screen reader, not as the markup hopes.
#[tokio::test]
async fn everything_to_act_on_has_a_role_and_a_name() -> Result<()> {
    let visit = Visit::with(&demo::cars(), "car").await?;
    let phone = &visit.device;
    let mut wrong = Vec::new();
    let mut looked_at = 0;
    for page in PAGES {
        phone.go(page).await?;
        let all =
            "a[href], button, input:not([type=file]), select, textarea, summary, [tabindex='0']";
        for element in phone.client().find_all(Locator::Css(all)).await? {
            let shown = phone
                .script(
                    "return arguments[0].checkVisibility()",
                    vec![serde_json::to_value(&element)?],
                )
                .await?;
            if shown != json!(true) {
                continue;
            }
            let (role, name) = phone.heard(&element).await?;
            looked_at += 1;
            // Of a summary HTML has no role that an engine would have to tell (HTML-AAM: no corresponding role).
            let is_told = ROLES.contains(&role.as_str())
                || role.is_empty() && element.tag_name().await? == "summary";
            if name.trim().is_empty() || !is_told {
                let markup = element.html(false).await?;
                let start: String = markup.chars().take(120).collect();
                wrong.push(format!("{page}: {role:?} {name:?}: {start}"));
            }
        }
    }
    println!("{looked_at} looked at");
    assert!(looked_at > 200);
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    visit.end().await
}

/// An error is part of what is read with its field.
#[tokio::test]
async fn an_error_is_tied_to_its_field() -> Result<()> {
    let visit = Visit::with(&[demo::nettle()], "car").await?;
    let phone = &visit.device;
    let read = "
        const field = document.getElementById('limiter');
        const about = field.getAttribute('aria-describedby').split(' ')
            .map((id) => document.getElementById(id)?.innerText ?? `no ${id}`).join(' ');
        return [field.getAttribute('aria-invalid'), about.includes('90,000'), about.includes('no limiter')]";
    assert_eq!(
        phone.script(read, vec![]).await?,
        json!([null, false, false])
    );
    phone.retype("#limiter", "90,000").await?;
    phone.wait_for("#limiter-fault .found").await?;
    assert_eq!(
        phone.script(read, vec![]).await?,
        json!(["true", true, false])
    );
    phone.retype("#limiter", "7,200").await?;
    phone.wait_gone("#limiter-fault .found").await?;
    assert_eq!(
        phone.script(read, vec![]).await?,
        json!([null, false, false])
    );
    visit.end().await
}

/// Typing a size is not talked over: the verdict is said once it stands.
#[tokio::test]
async fn a_verdict_is_announced_once_when_typing_pauses() -> Result<()> {
    let visit = Visit::with(&[demo::nettle()], "pulleys").await?;
    let phone = &visit.device;
    phone.wait_for(".pair .verdict .word").await?;
    let listen = "
        window.said = [];
        const live = (node) => node.closest?.('[role=status], [role=alert], [aria-live=polite], [aria-live=assertive]');
        new MutationObserver((changes) => {
            const regions = new Set(changes.map(({ target }) =>
                live(target.nodeType === Node.TEXT_NODE ? target.parentElement : target)));
            for (const region of regions) {
                const text = region?.textContent.trim();
                if (text) window.said.push(text);
            }
        }).observe(document.body, { subtree: true, childList: true, characterData: true });";
    phone.script(listen, vec![]).await?;
    phone.retype("#tried", "3 1/4").await?;
    let settled = "return window.said.length > 0";
    phone
        .wait_until("the announcement", settled, vec![])
        .await?;
    tokio::time::sleep(std::time::Duration::from_secs(2)).await;
    let said: Vec<String> =
        serde_json::from_value(phone.script("return window.said", vec![]).await?)?;
    assert_eq!(said.len(), 1, "{said:#?}");
    // The word and the figure, not the whole board.
    assert!(said[0].split_whitespace().count() <= 25, "{said:?}");
    visit.end().await
}
