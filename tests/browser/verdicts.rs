//! The five kinds of verdict as the page Pulleys shows them, and what is offered beside each.

use anyhow::Result;
use laneside_core::car::Car;
use laneside_core::study::Study;
use laneside_tests::cars;

use crate::visit::{ON_CAR, Visit};

/// Opens the car on the page Pulleys; checks the form and the word of the verdict on it.
async fn opened(car: Car, form: &str, word: &str) -> Result<Visit> {
    let visit = Visit::with(&[car], "pulleys").await?;
    let phone = &visit.chromium;
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
    visit.chromium.wait_text(ON_CAR, "(limit assumed)").await?;
    visit.end().await
}

#[tokio::test]
async fn holds() -> Result<()> {
    let visit = opened(cars::holds(), "holds", "HOLDS").await?;
    assert_eq!(visit.chromium.count(".questions").await?, 0);
    assert_eq!(visit.chromium.count("#ways-out").await?, 0);
    visit.end().await
}

#[tokio::test]
async fn short_at_idle() -> Result<()> {
    let visit = opened(cars::short_at_idle(), "short", "SHORT AT IDLE").await?;
    visit.chromium.wait_text(ON_CAR, "Breaks even at").await?;
    visit.end().await
}

#[tokio::test]
async fn too_close_to_call_is_settled_by_one_tap() -> Result<()> {
    let visit = opened(cars::too_close(), "close", "TOO CLOSE TO CALL").await?;
    let phone = &visit.chromium;
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
        let phone = &visit.chromium;
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
        visit.end().await?;
    }
    Ok(())
}
