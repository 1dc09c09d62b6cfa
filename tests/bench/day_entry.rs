//! What an entry on the page Day costs the phone's main thread: a day of 8 rounds in 6 hours, run anew
//! with both pulleys.
//!
//! `cargo run --release -p laneside-tests --features browser --bin day-entry`, after
//! `bash app/serve.sh --build-only`. Entries are real taps on the pad, on the amperes of the pit
//! charger, at the processor's own speed and at a quarter of it. The event's task holds everything
//! until the page is told of the new day: the text read, the car studied, the day integrated with
//! both pulleys, the tables and the verdicts made; the frames draw it. The same entries with one
//! round instead of eight tell what the rounds take: eight sevenths of the difference. The spreads
//! follow in small turns after a rest; printed is how long after the entry they are in. Milliseconds
//! differ from machine to machine, multiples of a unit of work in the same page differ less.

mod notes;

use anyhow::{Context, Result, ensure};
use laneside_core::car::{Car, DayStep, demo};
use laneside_tests::browser::chromium::DRAW_APART;
use laneside_tests::browser::{Chromium, Profile, Screen, built_app};
use laneside_tests::server::Server;
use notes::{percentile, report, taken};
use serde_json::json;

/// The processor at its own speed, and at that of a phone.
const THROTTLES: [f64; 2] = [1.0, 4.0];
const ROUNDS: u32 = 8;
const HOURS: f64 = 6.0;
/// Times that 10 A become 12 A and 10 A again: four entries each.
const TURNS: usize = 10;
const KEYS: [&str; 4] = ["Take back", "2", "Take back", "0"];
const FIELD: &str = "charger-current";

/// Both verdicts are known, and nothing is being worked out.
const KNOWN: &str = "
    const words = [...document.querySelectorAll('.pair .word')].map((one) => one.innerText);
    return words.length === 2 && !words.includes('WORKING OUT')";

/// Notes after how many milliseconds the verdicts of an entry are known again.
const UNTIL_KNOWN: &str = "
    window.known = [];
    let since;
    addEventListener('click', (event) => {
        if (event.target.closest('.key')) since = event.timeStamp;
    }, { capture: true });
    new MutationObserver(() => {
        const words = [...document.querySelectorAll('.pair .word')].map((one) => one.innerText);
        if (since === undefined || words.includes('WORKING OUT')) return;
        known.push(performance.now() - since);
        since = undefined;
    }).observe(document.querySelector('.pair'), { subtree: true, childList: true });";

/// The demo car on a day whose rounds take so long that eight of them are six hours.
fn racer(rounds: u32) -> Car {
    let mut car = demo::nettle();
    let step = |phase: &str, seconds, starts, charger, off| DayStep {
        phase: phase.to_owned(),
        seconds,
        starts,
        charger,
        off,
    };
    let after = [
        step("warm_up", 180.0, 1, false, false),
        step("lanes", 600.0, 0, false, true),
        step("lanes", 120.0, 1, false, false),
        step("burnout", 8.0, 0, false, false),
        step("stage", 15.0, 0, false, false),
        step("pass", 0.0, 0, false, false),
        step("return_road", 180.0, 0, false, false),
        step("cool_down", 600.0, 0, false, false),
    ];
    let pass = car.course.elapsed_s.unwrap_or_default();
    let taken: f64 = after.iter().map(|step| step.seconds).sum::<f64>() + pass;
    let pits = 3_600.0 * HOURS / f64::from(ROUNDS) - taken;
    car.day.rounds = Some(rounds);
    car.day.steps = vec![step("pits", pits, 0, true, false)];
    car.day.steps.extend(after);
    car
}

/// The middle of the entries' tasks, ms.
async fn measure(chromium: &Chromium, rounds: u32, throttle: f64) -> Result<f64> {
    let name = format!("{rounds} rounds, processor at 1/{throttle:.0}");
    chromium.throttle_cpu(1.0).await?;
    chromium.save_cars(&[racer(rounds)], "day").await?;
    chromium.go(&format!("day/{FIELD}")).await?;
    chromium.wait_until("both verdicts", KNOWN, vec![]).await?;
    chromium.script(notes::SCRIPT, vec![]).await?;
    chromium.script(UNTIL_KNOWN, vec![]).await?;
    chromium.tap(&format!("#{FIELD}")).await?;
    chromium.wait_for(".pad").await?;
    chromium.tap_keys(&["Clear", "1", "0"]).await?;
    chromium.throttle_cpu(throttle).await?;
    let waits = "return known.length";
    taken(chromium).await?;
    for _ in 0..TURNS {
        for key in KEYS {
            let before = chromium.script(waits, vec![]).await?;
            chromium.tap_keys(&[key]).await?;
            let more = "return known.length > arguments[0]";
            chromium
                .wait_until("both verdicts", more, vec![json!(before)])
                .await?;
        }
    }
    let entries = taken(chromium).await?;
    ensure!(entries.len() >= 3 * TURNS, "only {} entries", entries.len());
    // Not before: the throttle takes a moment to bite.
    let unit = chromium.script("return unit()", vec![]).await?;
    let unit = unit.as_f64().context("the unit takes no time")?;
    println!("{name}: unit of ten thousand square roots, {unit:.3} ms");
    report(&name, &entries, unit);
    let known = chromium.script("return known.splice(0)", vec![]).await?;
    let known: Vec<f64> = serde_json::from_value(known)?;
    println!(
        "  entry to spreads             {:6.0} ms (95 % {:6.0} ms)",
        percentile(known.clone(), 50),
        percentile(known, 95)
    );
    let tasks = entries.iter().map(|entry| entry.task).collect();
    Ok(percentile(tasks, 50))
}

#[tokio::main]
async fn main() -> Result<()> {
    let server = Server::start(&built_app()?, 0)?;
    let profile = Profile::new()?;
    let chromium = Chromium::start_with(&profile, Screen::PHONE, &DRAW_APART).await?;
    chromium.open(&server.url()).await?;
    for throttle in THROTTLES {
        let one = measure(&chromium, 1, throttle).await?;
        let all = measure(&chromium, ROUNDS, throttle).await?;
        let rounds = f64::from(ROUNDS);
        println!(
            "processor at 1/{throttle:.0}: of the task, the {ROUNDS} rounds take {:.1} ms",
            (all - one) * rounds / (rounds - 1.0)
        );
    }
    chromium.close().await
}
