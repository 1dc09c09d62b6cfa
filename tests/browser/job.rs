//! The whole job on a phone, with real taps: what the car has goes in, the verdict comes out, and
//! all of it stays.

use std::time::Instant;

use anyhow::{Context, Result, ensure};
use laneside_core::car::entry::{Field, set};
use laneside_core::car::{Car, RatioBy};
use laneside_core::gates::Verdict;
use laneside_core::quantity::System;
use laneside_core::study::Study;
use laneside_tests::browser::app::car_key;
use laneside_tests::browser::{Browser, Screen};

use crate::offline::stored;
use crate::visit::{ON_CAR, TO_TRY, Visit};

/// The taps that the five entries of the job may take.
const TAPS: usize = 40;

/// The five entries: the field, the keys tapped for it, and what they come to.
const ENTRIES: [(Field, &[&str], &str); 5] = [
    (Field::Crank, &["6", "1/2", "Next"], "6 1/2"),
    (Field::Fitted, &["2", "1/4", "Next"], "2 1/4"),
    (Field::Limiter, &["7", "2", "00", "Next"], "7200"),
    (Field::Idle, &["9", "5", "0", "Next"], "950"),
    (Field::Rated, &["1", "2", "0", "Next"], "120"),
];

/// The car of the entries, as the core has it.
fn entered() -> Result<Car> {
    let blank = Car::new("My car", System::Inch);
    ENTRIES.iter().try_fold(blank, |car, (field, _, text)| {
        set(&car, *field, text).with_context(|| field.key())
    })
}

/// The first number of a text, its thousands separated as shown.
fn number(text: &str) -> Result<f64> {
    let start = text
        .find(|c: char| c.is_ascii_digit())
        .with_context(|| format!("no number in {text:?}"))?;
    let digits: String = text[start..]
        .chars()
        .take_while(|c| c.is_ascii_digit() || *c == ',')
        .filter(char::is_ascii_digit)
        .collect();
    Ok(digits.parse()?)
}

/// What the person sees of the open car on the page Pulleys.
#[derive(Debug, PartialEq)]
struct Seen {
    name: String,
    on_car: String,
    to_try: String,
    verdicts: [String; 2],
    record: Option<String>,
}

async fn seen(browser: &Browser) -> Result<Seen> {
    let verdict = |board: &str| format!("{board} .verdict");
    Ok(Seen {
        name: browser.text(".car-name").await?,
        on_car: browser.value("#fitted").await?,
        to_try: browser.value("#tried").await?,
        verdicts: [
            browser.text(&verdict(ON_CAR)).await?,
            browser.text(&verdict(TO_TRY)).await?,
        ],
        record: browser.stored(&car_key(1)).await?,
    })
}

#[tokio::test]
async fn the_whole_job() -> Result<()> {
    let mut visit = Visit::first(Screen::PHONE).await?;
    let phone = &visit.device;
    let car = entered()?;
    let study = Study::new(&car)
        .ok()
        .context("five entries are not enough")?;
    let speed = study.on_car.speeds[0].speed_rpm;

    // In by the second door: "I am choosing a pulley".
    let start = Instant::now();
    phone.tap("main a.door + a.door").await?;
    for (place, (field, keys, _)) in ENTRIES.iter().enumerate() {
        phone.wait_for(&format!("#{}", field.key())).await?;
        let known = phone.count(".readout .figure").await? > 0;
        assert_eq!(known, place >= 3, "the speed shows after three entries");
        phone.tap_keys(keys).await?;
        if place == 2 {
            let shown = number(&phone.text(".readout .figure").await?)?;
            let off = (shown / speed - 1.0).abs();
            assert!(off < 0.02, "{shown} rpm shown, {speed} rpm computed");
        }
    }
    phone.wait_for(&format!("{ON_CAR} .verdict .word")).await?;
    phone.wait_for("canvas").await?;
    let (taps, took) = (phone.taps(), start.elapsed());
    println!("the five entries: {taps} taps, {:.1} s", took.as_secs_f64());
    assert!(taps < TAPS, "{taps} taps");
    assert_eq!(
        phone.saved_car(1).await?,
        car,
        "the car saved is not the one entered"
    );

    // The verdict, the same as the core's, and a pulley to try beside it.
    assert!(matches!(study.on_car.verdict, Verdict::Over { .. }));
    let verdict = phone.text(&format!("{ON_CAR} .verdict")).await?;
    assert!(verdict.starts_with("OVER"), "{verdict}");
    let off = number(&phone.text(&format!("{ON_CAR} .verdict .figure")).await?)? / speed - 1.0;
    assert!(off.abs() < 0.02, "{verdict}");
    assert!(verdict.contains("(limit assumed)"), "{verdict}");
    let strip = phone.text(".strip-verdict").await?;
    assert!(strip.contains("OVER") && strip.contains("2 1/4"), "{strip}");
    phone
        .wait_text(&format!("{TO_TRY} .tag"), "suggested")
        .await?;
    let suggested = study.tried.as_ref().context("nothing is suggested")?;
    assert!(suggested.suggested);
    assert_ne!(phone.value("#tried").await?, "");

    // The readout stands at the limiter; a step back moves it, and the figures with it.
    phone.wait_text(".readings-at", "7,200").await?;
    let figure = format!(".readings {} .figure", ".on-car");
    let at_limiter = number(&phone.text(&figure).await?)?;
    phone.tap(".chart-step:first-child").await?;
    phone.tap(".chart-step:first-child").await?;
    phone.wait_text(".readings-at", "7,000").await?;
    let below = number(&phone.text(&figure).await?)?;
    // A called size is within an eighth of an inch: the figures are in whole thousands.
    for (shown, computed) in [(at_limiter, speed), (below, speed * 7000.0 / 7200.0)] {
        assert!((shown - computed).abs() <= 500.0, "{shown} for {computed}");
    }
    assert!(below < at_limiter);

    // A larger one to try.
    let before = phone.value("#tried").await?;
    phone.tap(&format!("{TO_TRY} .step:last-child")).await?;
    let changed = "return document.querySelector('#tried').value !== arguments[0]";
    phone
        .wait_until("another size", changed, vec![before.clone().into()])
        .await?;
    phone.wait_gone(&format!("{TO_TRY} .tag")).await?;
    let tried = phone.saved_car(1).await?.drive.tried;
    let size = tried.context("the size stepped to is not saved")?.size;
    assert!(size > suggested.pulley.size, "{before} and then {size:?}");

    // Something that the board does not ask for.
    phone.go("car").await?;
    phone.tap("#shift").await?;
    phone.tap_keys(&["6", "9", "00"]).await?;
    phone.go("pulleys").await?;
    let kept = seen(phone).await?;
    assert_eq!(kept.name, "My car");
    assert_eq!(kept.on_car, "2 1/4 in");
    ensure!(
        kept.record
            .as_deref()
            .is_some_and(|text| text.contains("6900"))
    );

    phone.reload().await?;
    assert_eq!(seen(phone).await?, kept, "after loading the page again");
    stored(phone).await?;
    visit.lose_signal()?;
    visit.device.reload().await?;
    assert_eq!(seen(&visit.device).await?, kept, "without signal");
    let visit = visit.start_cold().await?;
    assert_eq!(seen(&visit.device).await?, kept, "after a cold start");
    visit.end().await
}

/// A car is answered for from counted turns too, which the board does not ask for.
#[tokio::test]
async fn counted_turns_stand_in_for_a_size() -> Result<()> {
    let mut car = entered()?;
    car.drive.ratio_by = RatioBy::Turns;
    let visit = Visit::with(&[car], "car").await?;
    let phone = &visit.device;
    phone.wait_text(".empty", "counted turns").await?;
    // The disclosure opens on the way to the blank.
    phone.tap(".empty .button").await?;
    phone.retype("#crank-turns", "10").await?;
    phone.retype("#alternator-turns", "28 1/2").await?;
    phone.wait_gone(".empty").await?;
    phone.go("pulleys").await?;
    phone
        .wait_text(&format!("{ON_CAR} .verdict .figure"), "20,5")
        .await?;
    visit.end().await
}
