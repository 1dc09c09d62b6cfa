//! What an hour of use leaves in memory: a thousand entries, then a hundred logs, in one tab that is never loaded anew.
//!
//! `cargo run --release -p laneside-tests --features browser --bin long-use`, after `bash app/serve.sh --build-only`. Printed,
//! each after the browser has collected its garbage, are the module's own memory, the scripts' heap, and the nodes and listeners of the page: at the start, along the way, at the end, as
//! multiples of those after the first round of each.

use anyhow::{Context, Result};
use laneside_core::car::demo;
use laneside_tests::browser::Profile;
use laneside_tests::browser::{Chromium, Screen, built_app};
use laneside_tests::log_files::Recipe;
use laneside_tests::server::Server;
use serde_json::{Value, json};
use std::time::Duration;

const EDITS: usize = 1_000;
const LOGS: usize = 100;
/// What takes the channels as they were found.
const CONFIRM: &str = ".log-channels .thumb .button";

/// What the tab holds.
#[derive(Clone, Copy, Debug)]
struct Held {
    module: f64,
    heap: f64,
    nodes: f64,
    listeners: f64,
}

async fn held(chromium: &Chromium) -> Result<Held> {
    tokio::time::sleep(Duration::from_secs(1)).await;
    chromium
        .cdp("HeapProfiler.collectGarbage", json!({}))
        .await?;
    let number = |value: &Value| value.as_f64().context("the browser does not count this");
    let heap = chromium.cdp("Runtime.getHeapUsage", json!({})).await?;
    let counted = chromium.cdp("Memory.getDOMCounters", json!({})).await?;
    // Memories of the module that the page no longer reaches are not counted.
    let prototype = chromium
        .cdp(
            "Runtime.evaluate",
            json!({ "expression": "WebAssembly.Memory.prototype" }),
        )
        .await?;
    let id = prototype["result"]["objectId"].clone();
    let all = chromium
        .cdp("Runtime.queryObjects", json!({ "prototypeObjectId": id }))
        .await?;
    let sum = "function () { return this.reduce((sum, one) => sum + one.buffer.byteLength, 0) }";
    let module = chromium
        .cdp(
            "Runtime.callFunctionOn",
            json!({ "objectId": all["objects"]["objectId"], "functionDeclaration": sum, "returnByValue": true }),
        )
        .await?;
    Ok(Held {
        module: number(&module["result"]["value"])? / 1e6,
        heap: number(&heap["usedSize"])? / 1e6,
        nodes: number(&counted["nodes"])?,
        listeners: number(&counted["jsEventListeners"])?,
    })
}

fn report(when: &str, now: Held, first: Held) {
    println!(
        "| {when} | {:.1} ({:.2}) | {:.1} ({:.2}) | {:.0} ({:.2}) | {:.0} ({:.2}) |",
        now.module,
        now.module / first.module,
        now.heap,
        now.heap / first.heap,
        now.nodes,
        now.nodes / first.nodes,
        now.listeners,
        now.listeners / first.listeners,
    );
}

/// Types the size of the pulley to try, one of many.
async fn edit(chromium: &Chromium, number: usize) -> Result<()> {
    let size = format!("{}.{:02}", 2 + number % 2, 10 + number % 80);
    let put = "
        const [size, done] = arguments;
        const field = document.querySelector('#tried');
        field.value = size;
        field.dispatchEvent(new InputEvent('input', { bubbles: true }));
        field.dispatchEvent(new Event('change', { bubbles: true }));
        requestAnimationFrame(() => setTimeout(done, 20));";
    chromium.script_later(put, vec![json!(size)]).await?;
    Ok(())
}

/// Reads a log, by scripts alone: an element that the driver was asked for is held by it for as long as the page lives, and
/// with it all that hangs together with it.
async fn read(chromium: &Chromium, text: &str) -> Result<()> {
    let there = "return document.querySelector(arguments[0]) !== null";
    let wait = async |what: &str| chromium.wait_until(what, there, vec![json!(what)]).await;
    wait("#log-file").await?;
    let choose = "
        const field = document.querySelector('#log-file');
        const files = new DataTransfer();
        files.items.add(new File([arguments[0]], 'run.csv'));
        field.files = files.files;
        field.dispatchEvent(new Event('change', { bubbles: true }));";
    chromium.script(choose, vec![json!(text)]).await?;
    wait(CONFIRM).await?;
    let confirm = "document.querySelector(arguments[0]).click()";
    chromium.script(confirm, vec![json!(CONFIRM)]).await?;
    wait("main canvas").await?;
    // The model comes once nothing has changed for a while.
    tokio::time::sleep(Duration::from_millis(1_500)).await;
    Ok(())
}

#[tokio::main]
async fn main() -> Result<()> {
    let server = Server::start(&built_app()?, 0)?;
    let profile = Profile::new()?;
    let chromium = Chromium::start(&profile, Screen::PHONE).await?;
    chromium.open(&server.url()).await?;
    chromium.save_cars(&demo::cars(), "pulleys").await?;
    chromium.wait_for("canvas").await?;
    println!("| after | module MB | scripts MB | nodes | listeners |");
    println!("| --- | --- | --- | --- | --- |");
    for number in 0..50 {
        edit(&chromium, number).await?;
    }
    let first = held(&chromium).await?;
    report("50 entries", first, first);
    for number in 50..EDITS {
        edit(&chromium, number).await?;
        if number % 100 == 99 {
            // As a racer does between entries.
            for page in ["day", "pass", "belt", "car", "pulleys"] {
                chromium.go(page).await?;
            }
        }
    }
    report("1,000 entries", held(&chromium).await?, first);
    chromium.go("log").await?;
    for number in 0..LOGS {
        let recipe = if number % 2 == 0 {
            Recipe::FALLS
        } else {
            Recipe::CURED
        };
        read(&chromium, &recipe.text()).await?;
        if number == 4 || number == 49 {
            report(
                &format!("{} logs", number + 1),
                held(&chromium).await?,
                first,
            );
        }
    }
    report("100 logs", held(&chromium).await?, first);
    chromium.go("pulleys").await?;
    report("the page Pulleys again", held(&chromium).await?, first);
    chromium.close().await
}
