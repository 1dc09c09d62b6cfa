//! Battery and wiring on the page Car.

use anyhow::{Context, Result};
use laneside_core::car::demo;
use laneside_tests::browser::Browser;
use serde_json::json;

use crate::pass::{open_all, pick};
use crate::visit::Visit;

const CAUTIONS: &str = "
    return [...document.querySelectorAll('main .caution')]
        .filter((one) => one.checkVisibility()).map((one) => one.innerText).join(' ')";

/// Waits until the cautions of the page say so, or say so no more.
async fn said(phone: &Browser, part: &str, is_said: bool) -> Result<()> {
    let script =
        format!("{CAUTIONS}.replaceAll('\\u00a0', ' ').includes(arguments[0]) === arguments[1]");
    let arguments = vec![json!(part), json!(is_said)];
    phone.wait_until(part, &script, arguments).await
}

#[tokio::test]
async fn a_set_point_under_a_16_v_battery_cannot_charge_it() -> Result<()> {
    let visit = Visit::with(&[demo::nettle()], "car").await?;
    let phone = &visit.device;
    open_all(phone).await?;
    said(phone, "cannot charge this battery", false).await?;
    pick(phone, "cells", "8: 16 V").await?;
    said(phone, "cannot charge this battery", true).await?;
    pick(phone, "cells", "6: 12 V").await?;
    said(phone, "cannot charge this battery", false).await?;
    visit.end().await
}

#[tokio::test]
async fn a_high_set_point_on_lithium_warns_of_its_management() -> Result<()> {
    let visit = Visit::with(&[demo::nettle()], "car").await?;
    let phone = &visit.device;
    open_all(phone).await?;
    pick(phone, "chemistry", "Lithium iron phosphate").await?;
    for (volts, warns) in [("14.4", false), ("14.9", true), ("14.2", false)] {
        phone.retype("#set-point", volts).await?;
        said(phone, "management may cut it off", warns).await?;
    }
    visit.end().await
}

/// The volts that the charge wiring loses in the pass, as its line says.
async fn drop(phone: &Browser) -> Result<f64> {
    let read = "
        const line = [...document.querySelectorAll('main .note')]
            .find((one) => /W lost at/.test(one.innerText));
        return line?.innerText ?? ''";
    let line = phone.script(read, vec![]).await?;
    let line = line.as_str().context("no line")?.replace('\u{a0}', " ");
    let volts = line.split(' ').next().context("no volts")?;
    volts.parse().with_context(|| format!("no volts in {line}"))
}

#[tokio::test]
async fn thicker_and_shorter_wires_lose_less() -> Result<()> {
    let visit = Visit::with(&[demo::nettle()], "car").await?;
    let phone = &visit.device;
    phone.wait_text("main", "W lost at").await?;
    let four = drop(phone).await?;
    let follows = "
        const line = [...document.querySelectorAll('main .note')]
            .find((one) => /W lost at/.test(one.innerText));
        return !line.innerText.startsWith(arguments[0])";
    let changed = async |from: f64| -> Result<f64> {
        let from = json!(format!("{from:.2}"));
        phone
            .wait_until("the drop follows", follows, vec![from])
            .await?;
        drop(phone).await
    };
    pick(phone, "lead-size", "8 AWG").await?;
    let eight = changed(four).await?;
    assert!(eight > four, "{eight} V, {four} V");
    pick(phone, "lead-size", "1/0 AWG").await?;
    let thick = changed(eight).await?;
    assert!(thick < four, "{thick} V, {four} V");
    pick(phone, "lead-size", "8 AWG").await?;
    changed(thick).await?;
    phone.retype("#lead-length", "3 ft").await?;
    let short = changed(eight).await?;
    assert!(short < eight, "{short} V, {eight} V");
    visit.end().await
}
