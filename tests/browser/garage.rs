//! Several cars on one phone: none is lost to another, to a file or to a browser that keeps nothing.

use anyhow::{Context, Result};
use laneside_core::car::{Car, demo};
use laneside_core::drive::Measure;
use laneside_core::quantity::{InRotationalSpeed, System};
use laneside_tests::browser::Screen;
use laneside_tests::browser::app::{car_key, record};
use laneside_tests::cars;
use serde_json::{Value, json};

use crate::visit::{ON_CAR, Visit};

const NAMES: &str =
    "return [...document.querySelectorAll('.cars .car')].map((car) => car.innerText)";

async fn names(visit: &Visit) -> Result<Vec<String>> {
    let names = visit.device.script(NAMES, vec![]).await?;
    Ok(serde_json::from_value(names)?)
}

/// The car that took the id of a deleted one stays when that is taken back.
#[tokio::test]
async fn a_deleted_car_comes_back_beside_a_new_one() -> Result<()> {
    let visit = Visit::with(&[cars::over(), cars::holds()], "cars").await?;
    let phone = &visit.device;
    phone.tap(".cars li:nth-child(2) button").await?;
    phone.wait_text(".car-name", "Holds").await?;
    let deleted = phone.saved_car(2).await?;
    phone.tap(".apart .plain").await?;
    phone.wait_text(".undo", "Holds").await?;
    phone.tap(".actions button").await?;
    phone.wait_text(".car-name", "Nettle, copy").await?;
    let copy = phone.saved_car(2).await?;
    phone.tap(".undo .button").await?;
    phone.wait_text(".car-name", "Holds").await?;
    assert_eq!(names(&visit).await?, ["Nettle", "Holds", "Nettle, copy"]);
    assert_eq!(phone.saved_car(2).await?, copy);
    assert_eq!(phone.saved_car(3).await?, deleted);
    visit.end().await
}

/// A car that has but a name is somebody's car.
#[tokio::test]
async fn a_car_with_only_a_name_stays() -> Result<()> {
    let blank = Car::new("Thistle", System::Inch);
    let visit = Visit::with(&[blank, cars::holds()], "cars").await?;
    let phone = &visit.device;
    phone.tap(".cars li:nth-child(2) button").await?;
    phone.wait_text(".car-name", "Holds").await?;
    assert_eq!(names(&visit).await?, ["Thistle", "Holds"]);
    visit.end().await
}

/// A text that was refused by its way of measuring is not taken by another after a reload, and one
/// that is taken by now is.
#[tokio::test]
async fn refused_texts_keep_their_meaning() -> Result<()> {
    let visit = Visit::with(&[cars::over()], "car").await?;
    let phone = &visit.device;
    let pick = "
        const pick = document.querySelector('#crank-measured');
        pick.selectedIndex = arguments[0];
        pick.dispatchEvent(new Event('change', { bubbles: true }));";
    let tape = Measure::ALL
        .iter()
        .position(|one| *one == Measure::Tape)
        .context("no tape")?;
    // A circumference that no crank pulley has, but a diameter that many have.
    phone.retype("#crank", "6 in").await?;
    phone.script(pick, vec![json!(tape)]).await?;
    phone.wait_for("#crank-fault .found").await?;
    let before = phone.saved_car(1).await?.drive.crank;
    phone.reload().await?;
    phone.wait_for("#crank-fault .found").await?;
    assert_eq!(phone.saved_car(1).await?.drive.crank, before);

    let mut saved: Value =
        serde_json::from_str(&phone.stored(&car_key(1)).await?.context("no car")?)?;
    saved["drafts"] = json!([["idle", "1,010"]]);
    let put = "localStorage.setItem(arguments[0], arguments[1])";
    phone
        .script(put, vec![json!(car_key(1)), json!(saved.to_string())])
        .await?;
    phone.reload().await?;
    let idle = phone.saved_car(1).await?.engine.idle.context("no idle")?;
    assert!((idle.rpm() - 1_010.0).abs() < 0.1);
    visit.end().await
}

/// Where the browser refuses its storage by throwing, the app says so and goes on.
#[tokio::test]
async fn a_phone_that_refuses_its_storage_still_answers() -> Result<()> {
    let visit = Visit::first(Screen::PHONE).await?;
    let phone = &visit.device;
    let source = "
        Object.defineProperty(window, 'localStorage', {
            get() { throw new DOMException('Access is denied.', 'SecurityError') },
        });";
    phone.before_pages(source).await?;
    phone.reload().await?;
    for place in 1..=2 {
        phone.go("cars").await?;
        phone
            .tap(&format!("main .door-button:nth-of-type({place})"))
            .await
            .or(phone.tap("main .door-button").await)?;
        phone
            .wait_text(".verdict-slot .caution", "Not saved")
            .await?;
    }
    phone.go("cars").await?;
    phone.tap(".cars li:nth-child(1) button").await?;
    phone.go("pulleys").await?;
    phone.wait_for(&format!("{ON_CAR} .verdict .word")).await?;
    phone.retype("#fitted", "2 1/2").await?;
    phone.go("cars").await?;
    let count = names(&visit).await?.len();
    phone.tap(".apart .plain").await?;
    phone.tap(".undo .button").await?;
    phone.wait_gone(".undo").await?;
    assert_eq!(names(&visit).await?.len(), count);
    phone.go("pulleys").await?;
    assert_eq!(phone.value("#fitted").await?, "2 1/2 in");
    visit.end().await
}

/// A saved file opens beside the others, and is one more car once it is kept; anything else is told apart, and harms nothing.
#[tokio::test]
async fn car_files_are_opened() -> Result<()> {
    let visit = Visit::with(&[cars::over()], "cars").await?;
    let phone = &visit.device;
    let folder = tempfile::tempdir()?;
    let open = async |name: &str, text: &str| -> Result<()> {
        let path = folder.path().join(name);
        std::fs::write(&path, text)?;
        let path = path.to_str().context("an odd folder")?;
        let input = phone.client();
        let input = input.find(fantoccini::Locator::Css("#car-file")).await?;
        Ok(input.send_keys(path).await?)
    };
    let file = demo::tansy().to_file()?;
    let newer = file.replace("\"version\": 1", "\"version\": 99");
    let foreign = file.replace("laneside-car", "a-recipe");
    let odd = file.replace("\"limiter_rpm\": 8600.0", "\"limiter_rpm\": 90000.0");
    assert_ne!(odd, file);
    let blanks = format!("\"car\": {{{}", " ".repeat(300 * 1024));
    let long = file.replace("\"car\": {", &blanks);
    for (name, text, told) in [
        ("half.json", &file[..file.len() / 2], "no whole car file"),
        ("newer.json", &newer, "version 99"),
        ("foreign.json", &foreign, "a-recipe"),
        ("odd.json", &odd, "90,000 rpm"),
        ("long.json", &long, "256 kB at the most without"),
        ("huge.json", &" ".repeat(9 << 20), "8,192 kB at the most."),
    ] {
        open(name, text).await?;
        phone.wait_text("#car-file-fault", told).await?;
        assert_eq!(names(&visit).await?, ["Nettle"], "{name}");
    }
    let nettle = phone.stored(&car_key(1)).await?;
    open("tansy.car.json", &file).await?;
    phone.wait_text(".received", "Tansy").await?;
    phone.wait_gone("#car-file-fault .found").await?;
    assert_eq!(names(&visit).await?, ["Nettle"], "only looked at");
    phone.tap(".received .button").await?;
    phone.wait_gone(".received").await?;
    phone.wait_text(".car-name", "Tansy").await?;
    assert_eq!(names(&visit).await?, ["Nettle", "Tansy"]);
    assert_eq!(phone.stored(&car_key(1)).await?, nettle);
    let tansy: Value = serde_json::from_str(&phone.stored(&car_key(2)).await?.context("no car")?)?;
    let as_written: Value = serde_json::from_str(&record(&demo::tansy())?)?;
    assert_eq!(tansy["file"], as_written["file"]);
    visit.end().await
}
