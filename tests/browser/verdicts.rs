//! The five kinds of verdict as the page Pulleys shows them, and what is offered beside each.

use anyhow::{Context, Result};
use laneside_core::car::{Car, RatioBy, demo};
use laneside_core::drive::{Measure, Pulley};
use laneside_core::quantity::{InLength, InRotationalSpeed, inch, rpm};
use laneside_core::study::Study;
use laneside_tests::cars;
use serde_json::json;

use crate::visit::{ON_CAR, TO_TRY, Visit};

/// Opens the car on the page Pulleys; checks the form and the word of the verdict on it.
async fn opened(car: Car, form: &str, word: &str) -> Result<Visit> {
    let visit = Visit::with(&[car], "pulleys").await?;
    let phone = &visit.device;
    let verdict = format!("{ON_CAR} .verdict.status-{form}");
    phone.wait_text(&format!("{verdict} .word"), word).await?;
    phone.wait_text(".strip-verdict .word", word).await?;
    let text = phone.text(&verdict).await?;
    let words = text.split_whitespace().count();
    assert!(
        words <= 25 + word.split(' ').count(),
        "{words} words: {text}"
    );
    Ok(visit)
}

#[tokio::test]
async fn over() -> Result<()> {
    let visit = opened(cars::over(), "over", "OVER").await?;
    visit.device.wait_text(ON_CAR, "(limit assumed)").await?;
    visit.end().await
}

#[tokio::test]
async fn holds() -> Result<()> {
    let visit = opened(cars::holds(), "holds", "HOLDS").await?;
    assert_eq!(visit.device.count(".questions").await?, 0);
    assert_eq!(visit.device.count("#ways-out").await?, 0);
    visit.end().await
}

/// Where the pulley on the car holds, one that does not is there to compare, not to be put on.
#[tokio::test]
async fn what_holds_is_not_to_be_replaced() -> Result<()> {
    let mut car = demo::nettle();
    let study = Study::new(&car).ok().context("no study")?;
    let good = study.tried.context("nothing is suggested")?.pulley;
    car.drive.fitted = Some(good);
    car.drive.on_hand.retain(|pulley| *pulley != good);
    let visit = opened(car.clone(), "holds", "HOLDS").await?;
    let phone = &visit.device;
    phone.wait_text(TO_TRY, "Only to compare").await?;
    let tag = format!("{TO_TRY} .tag");
    let told = phone.text(TO_TRY).await?;
    assert!(!told.contains("suggested"), "{told}");
    phone.go("swap").await?;
    phone
        .wait_text(".against", "The pulley on the car holds")
        .await?;
    visit.end().await?;

    car.drive.fitted = demo::nettle().drive.fitted;
    car.drive.on_hand.push(good);
    let visit = opened(car, "over", "OVER").await?;
    visit.device.wait_text(&tag, "suggested").await?;
    let told = visit.device.text(TO_TRY).await?;
    assert!(!told.contains("Only to compare"), "{told}");
    visit.end().await
}

#[tokio::test]
async fn short_at_idle() -> Result<()> {
    let visit = opened(cars::short_at_idle(), "short", "SHORT AT IDLE").await?;
    visit.device.wait_text(ON_CAR, "Breaks even at").await?;
    visit.end().await
}

#[tokio::test]
async fn too_close_to_call_is_settled_by_one_tap() -> Result<()> {
    let visit = opened(cars::too_close(), "close", "TOO CLOSE TO CALL").await?;
    let phone = &visit.device;
    let before = phone.taps();
    phone.tap("#ask-fan .option:first-child").await?;
    assert_eq!(phone.taps() - before, 1);
    phone.wait_text(&format!("{ON_CAR} .word"), "HOLDS").await?;
    phone.wait_text(".strip-verdict .word", "HOLDS").await?;
    phone.reload().await?;
    phone.wait_text(&format!("{ON_CAR} .word"), "HOLDS").await?;
    visit.end().await
}

#[tokio::test]
async fn no_size_does_both_has_ways_out_that_cure_it() -> Result<()> {
    let none = "main .verdict.status-none";
    let mut ways = 1;
    let mut way = 0;
    while way < ways {
        let visit = Visit::with(&[cars::no_size()], "pulleys").await?;
        let phone = &visit.device;
        phone
            .wait_text(&format!("{none} .word"), "NO SIZE DOES BOTH")
            .await?;
        phone.wait_for("#ways-out").await?;
        ways = phone.count(".ways li").await?;
        assert!(ways > 0, "no way out is offered");
        way += 1;
        println!(
            "{}",
            phone.text(&format!(".ways li:nth-child({way})")).await?
        );
        phone
            .tap(&format!(".ways li:nth-child({way}) .button"))
            .await?;
        phone.wait_gone(none).await?;
        let cured = Study::new(&phone.saved_car(1).await?);
        assert!(cured.is_ok_and(|study| study.window.sure().is_some()));
        phone.wait_gone("#ways-out").await?;
        // It does not pass as the real car, and is taken back to the last bit.
        phone.wait_text("main .undo", "Trying: ").await?;
        phone.wait_text(".strip-verdict", "(trying)").await?;
        phone.reload().await?;
        phone.tap("main .undo .button").await?;
        phone.wait_gone("main .undo").await?;
        phone.wait_for(none).await?;
        let before = Car::from_file(&cars::no_size().to_file()?)?;
        assert_eq!(phone.saved_car(1).await?, before);
        visit.end().await?;
    }
    Ok(())
}

/// A way changes its own thing only, in the car as it is then; what was typed before is shown anew.
#[tokio::test]
async fn a_way_out_is_tried_on_the_car_as_it_stands() -> Result<()> {
    let mut car = cars::no_size();
    car.name = "Under test".to_owned();
    let visit = Visit::with(&[car.clone()], "car").await?;
    let phone = &visit.device;
    let typed = car.engine.idle.context("no idle")?.rpm() + 20.0;
    phone.retype("#idle", &format!("{typed:.0}")).await?;
    phone.go("pulleys").await?;
    let idle = ".ways li:nth-child(1)";
    phone.wait_text(idle, "Idle at").await?;
    phone.tap(&format!("{idle} .button")).await?;
    phone.wait_text("main .undo", "Trying: Idle at").await?;
    phone.go("car").await?;
    let tried = phone.saved_car(1).await?.engine.idle.context("no idle")?;
    assert!(tried.rpm() > typed);
    let shown: String = phone.value("#idle").await?.replace(',', "");
    assert!(shown.starts_with(&format!("{:.0}", tried.rpm())), "{shown}");

    // What is entered meanwhile stays; what was tried goes.
    phone.retype("#launch", "4,250").await?;
    phone.tap("main .undo .button").await?;
    phone.wait_gone("main .undo").await?;
    let back = phone.saved_car(1).await?;
    assert!((back.engine.idle.context("no idle")?.rpm() - typed).abs() < 0.1);
    assert!((back.engine.launch.context("no launch")?.rpm() - 4_250.0).abs() < 0.1);
    assert_eq!(back.name, car.name);

    // Kept, it is the car.
    phone.go("pulleys").await?;
    phone.tap(&format!("{idle} .button")).await?;
    phone.tap("main .undo .plain").await?;
    phone.wait_gone("main .undo").await?;
    phone.reload().await?;
    assert_eq!(phone.count("main .undo").await?, 0);
    assert_eq!(phone.saved_car(1).await?.engine.idle, Some(tried));
    visit.end().await
}

/// Wherever a link of these pages leads, there is what it names.
#[tokio::test]
async fn no_link_is_dead() -> Result<()> {
    let typical = Car {
        loads: None,
        ..cars::too_close()
    };
    let mut speeds = cars::too_close();
    speeds.drive.ratio_by = RatioBy::Speeds;
    speeds.drive.read_engine = Some(rpm(2_000.0));
    speeds.drive.read_alternator = Some(rpm(5_000.0));
    let [nettle, tansy] = demo::cars();
    let all = [nettle, tansy, typical, speeds, cars::no_size()];
    let visit = Visit::with(&all, "cars").await?;
    let phone = &visit.device;
    let mut followed = 0;
    for place in 1..=all.len() {
        phone.go("cars").await?;
        phone
            .tap(&format!(".cars li:nth-child({place}) button"))
            .await?;
        for page in ["car", "pulleys"] {
            phone.go(page).await?;
            let read = "
                document.querySelectorAll('details').forEach((one) => one.open = true);
                return [...document.querySelectorAll('a[href^=\"#/\"]')]
                    .map((link) => link.getAttribute('href').slice(2))
                    .filter((to) => to.includes('/'))";
            let links: Vec<String> = serde_json::from_value(phone.script(read, vec![]).await?)?;
            for link in links {
                let (to, id) = link.split_once('/').context("no id")?;
                phone.go(to).await?;
                let there = "return document.getElementById(arguments[0]) !== null";
                let found = phone.script(there, vec![json!(id)]).await?;
                assert_eq!(found, json!(true), "{link} from {page} of car {place}");
                followed += 1;
            }
        }
    }
    assert!(followed > 20, "{followed} links");
    visit.end().await
}

/// A crank pulley to try is named wherever it counts, and dropped where it is named.
#[tokio::test]
async fn a_crank_pulley_to_try_is_told() -> Result<()> {
    let mut car = cars::over();
    car.drive.tried_crank = Some(Pulley::called(inch(5.0)));
    let visit = Visit::with(&[car], "pulleys").await?;
    let phone = &visit.device;
    for place in [
        &format!("{TO_TRY} .stepper-label"),
        &format!("{TO_TRY} .verdict"),
        ".readout.try",
        ".ruler-try",
    ] {
        let said = phone.text(place).await?.to_lowercase();
        assert!(said.contains("on crank 5 in"), "{place}: {said}");
    }
    assert!(!phone.text(ON_CAR).await?.contains("crank"));
    phone
        .tap(&format!("{TO_TRY} > .plain:last-of-type"))
        .await?;
    let dropped = "return !document.querySelector(arguments[0]).innerText.includes('crank')";
    phone
        .wait_until("the car's own crank", dropped, vec![json!(TO_TRY)])
        .await?;
    assert_eq!(phone.saved_car(1).await?.drive.tried_crank, None);
    visit.end().await
}

/// A step away from the pulley on the car and back brings its very entry back.
#[tokio::test]
async fn the_stepper_comes_back_to_what_was_measured() -> Result<()> {
    let mut car = cars::over();
    let measured = Pulley {
        rated_speed: Some(rpm(21_000.0)),
        ..Pulley::new(inch(2.3), Measure::Caliper)
    };
    car.drive.fitted = Some(measured);
    let visit = Visit::with(&[car], "pulleys").await?;
    let phone = &visit.device;
    let step = |side: &str| format!("{ON_CAR} .step:{side}-child");
    for _ in 0..2 {
        phone.tap(&step("last")).await?;
    }
    assert_ne!(phone.saved_car(1).await?.drive.fitted, Some(measured));
    phone.go("car").await?;
    phone.go("pulleys").await?;
    for _ in 0..2 {
        phone.tap(&step("first")).await?;
    }
    let back = phone.saved_fitted(1).await?;
    assert_eq!(back.measure, Measure::Caliper);
    assert!((back.size.mm() - 2.3 * 25.4).abs() < 1e-6);
    assert!(back.rated_speed.is_some());
    visit.end().await
}

/// A speed marked on the pulley to try can be entered, and counts.
#[tokio::test]
async fn a_speed_marked_on_the_pulley_to_try_counts() -> Result<()> {
    let visit = Visit::with(&[cars::holds()], "pulleys").await?;
    let phone = &visit.device;
    phone.tap(&format!("{TO_TRY} summary")).await?;
    phone.retype("#tried-rating", "9,000").await?;
    phone
        .wait_text(
            &format!("{TO_TRY} .verdict"),
            "the pulley's own limit 9,000",
        )
        .await?;
    visit.end().await
}
