//! The page enlarged by the browser, read from right to left, without motion, in the person's own colors.

use anyhow::{Context, Result};
use laneside_core::car::demo;
use laneside_tests::browser::scenes::{SCENES, Scene};
use laneside_tests::browser::{Ability, Browser, Screen, Taste};
use serde_json::json;

use crate::look;
use crate::visit::Visit;

/// The phone at 200 %: half as many CSS pixels each way, twice the device pixels in each.
const ENLARGED: Screen = Screen {
    width: 195,
    height: 422,
    pixel_ratio: 6.0,
    touch: true,
};

async fn note(faults: &mut Vec<String>, browser: &Browser, name: &str, call: &str) -> Result<()> {
    let found: Vec<String> = look::read(browser, call).await?;
    faults.extend(
        found
            .into_iter()
            .map(|one| format!("{name}: {call}: {one}")),
    );
    Ok(())
}

/// WCAG 2.2, success criterion 1.4.10: no scrolling both ways but of charts and tables.
#[tokio::test]
async fn nothing_is_lost_at_200_percent() -> Result<()> {
    let visit = Visit::first(ENLARGED).await?;
    let phone = &visit.device;
    let width = phone.script("return innerWidth", vec![]).await?;
    assert_eq!(width, json!(195));
    let mut faults = Vec::new();
    for scene in SCENES {
        let name = scene.name();
        scene.show(phone).await.with_context(|| name.clone())?;
        look::read::<Option<()>>(phone, "openAll()").await?;
        phone.settle().await?;
        for call in ["overflowing()", "overlapping()", "broken()", "crowded()"] {
            note(&mut faults, phone, &name, call).await?;
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
    visit.end().await
}

/// As if the words were of a language that is written from right to left: the layout turns round,
/// figures with their units and charts do not.
#[tokio::test]
async fn the_layout_turns_round_and_figures_do_not() -> Result<()> {
    let visit = Visit::first(Screen::PHONE).await?;
    let phone = &visit.device;
    phone
        .before_pages(
            "new MutationObserver((_, watch) => {
                if (document.documentElement) { document.documentElement.dir = 'rtl'; watch.disconnect(); }
            }).observe(document, { childList: true });
            if (document.documentElement) document.documentElement.dir = 'rtl';",
        )
        .await?;
    let mut faults = Vec::new();
    for scene in SCENES {
        let name = scene.name();
        scene.show(phone).await.with_context(|| name.clone())?;
        let turned = "return getComputedStyle(document.body).direction";
        assert_eq!(phone.script(turned, vec![]).await?, json!("rtl"), "{name}");
        look::read::<Option<()>>(phone, "openAll()").await?;
        phone.settle().await?;
        for call in ["overflowing()", "overlapping()", "broken()", "backwards()"] {
            note(&mut faults, phone, &name, call).await?;
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
    visit.end().await
}

/// The check above can fail.
#[tokio::test]
async fn a_figure_that_runs_backwards_is_seen() -> Result<()> {
    let visit = Visit::with(&[demo::nettle()], "cars").await?;
    let phone = &visit.device;
    let spoil = "
        const line = document.createElement('p');
        line.dir = 'rtl';
        line.style.unicodeBidi = 'bidi-override';
        line.textContent = '2 1/4 in';
        document.querySelector('main').append(line);";
    phone.script(spoil, vec![]).await?;
    let found: Vec<String> = look::read(phone, "backwards()").await?;
    assert_eq!(found.len(), 1, "{found:?}");
    visit.end().await
}

#[tokio::test]
async fn nothing_moves_where_less_motion_is_preferred() -> Result<()> {
    let visit = Visit::first(Screen::PHONE).await?;
    let phone = &visit.device;
    let watch = "
        window.moved = [];
        for (const kind of ['animationstart', 'transitionrun']) {
            document.addEventListener(kind, (event) => window.moved.push(`${kind} ${event.target.className}`), true);
        }";
    let moved = "return window.moved.length";
    for (taste, moves) in [(None, true), (Some(Taste::Still), false)] {
        if let Some(taste) = taste {
            phone.prefer(taste).await?;
        }
        phone.save_cars(&[demo::nettle()], "car").await?;
        phone.script(watch, vec![]).await?;
        phone.tap("#limiter").await?;
        phone.wait_for(".pad").await?;
        phone.tap_keys(&["7", "Next"]).await?;
        phone.tap(".header-line .plain").await?;
        phone.wait_for("dialog[open]").await?;
        phone.settle().await?;
        let count = phone
            .script(moved, vec![])
            .await?
            .as_u64()
            .context("no count")?;
        assert_eq!(count > 0, moves, "{taste:?}: {count}");
        let smooth = "return [...document.querySelectorAll('html, main, dialog')]
            .some((one) => getComputedStyle(one).scrollBehavior === 'smooth')";
        if !moves {
            assert_eq!(phone.script(smooth, vec![]).await?, json!(false));
        }
    }
    visit.end().await
}

/// Forms and words carry a status, so it is told apart where the page has no colors of its own.
#[tokio::test]
async fn the_persons_own_colors_keep_status_focus_and_charts() -> Result<()> {
    needs!(Ability::ForcedColors);
    let visit = Visit::first(Screen::PHONE).await?;
    let phone = &visit.device;
    phone.prefer(Taste::OwnColors).await?;
    let form = "
        const style = getComputedStyle(document.querySelector('.pair .verdict'));
        const inner = getComputedStyle(document.querySelector('.pair .verdict .verdict-text'));
        return [style.borderTopStyle, style.borderTopWidth, style.borderBottomWidth, inner.backgroundColor].join(' ')";
    let mut forms = Vec::new();
    for scene in [
        Scene::Over,
        Scene::Holds,
        Scene::ShortAtIdle,
        Scene::TooClose,
    ] {
        scene.show(phone).await?;
        assert_eq!(
            phone
                .script(
                    "return matchMedia('(forced-colors: active)').matches",
                    vec![]
                )
                .await?,
            json!(true)
        );
        let found = phone.script(form, vec![]).await?;
        assert!(
            !forms.contains(&found),
            "{scene:?} looks like another: {forms:?} {found}"
        );
        forms.push(found);
        phone
            .screenshot(format!("own-colors-{}", scene.name()))
            .await?;
    }
    // The chart draws in the system's colors, not in those of the theme.
    let drawn = "
        const paint = document.createElement('canvas').getContext('2d');
        const system = (name) => {
            paint.fillStyle = name;
            paint.fillRect(0, 0, 1, 1);
            return [...paint.getImageData(0, 0, 1, 1).data].slice(0, 3).join();
        };
        const canvas = document.querySelector('main canvas');
        const data = canvas.getContext('2d').getImageData(0, 0, canvas.width, canvas.height).data;
        const counts = new Map();
        for (let at = 0; at < data.length; at += 4) {
            const color = `${data[at]},${data[at + 1]},${data[at + 2]}`;
            if (data[at + 3] === 255) counts.set(color, (counts.get(color) ?? 0) + 1);
        }
        const most = [...counts].sort((one, two) => two[1] - one[1]).map(([color]) => color);
        return [system('Canvas'), system('CanvasText'), most.slice(0, 4), counts.has('122,51,0')]";
    let [ground, ink, most, theme]: [serde_json::Value; 4] =
        serde_json::from_value(phone.script(drawn, vec![]).await?)?;
    let most: Vec<String> = serde_json::from_value(most)?;
    let has = |color: &serde_json::Value| most.iter().any(|one| color == one);
    assert!(has(&ink), "{ink} is not drawn: {most:?} on {ground}");
    assert_eq!(theme, json!(false), "the theme's color is drawn");
    // What has the focus, and what is ticked.
    phone.go("car").await?;
    let outline = "
        document.querySelector('.car-name').focus();
        const style = getComputedStyle(document.querySelector('.car-name'));
        return style.outlineStyle + ' ' + (style.outlineColor !== getComputedStyle(document.body).backgroundColor)";
    assert_eq!(phone.script(outline, vec![]).await?, json!("solid true"));
    visit.end().await
}
