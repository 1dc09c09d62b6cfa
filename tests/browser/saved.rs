//! What is kept on the phone: several cars, units, and profiles that cannot be read.

use anyhow::{Context, Result};
use laneside_core::car::{Car, demo};
use laneside_core::drive::Measure;
use laneside_core::quantity::{InLength, System};
use laneside_tests::browser::Browser;
use laneside_tests::browser::app::{car_key, record};
use laneside_tests::cars;
use serde_json::{Value, json};

use crate::visit::{ON_CAR, Visit};

/// The cars in the list of the page Cars, and the one that is open.
async fn listed(phone: &Browser) -> Result<(Vec<String>, String)> {
    let read = "
        const name = (row) => row.querySelector('.car').innerText;
        const rows = [...document.querySelectorAll('.cars button')];
        return [rows.map(name), name(rows.find((row) => row.ariaCurrent === 'true'))];";
    Ok(serde_json::from_value(phone.script(read, vec![]).await?)?)
}

async fn stored(phone: &Browser, key: &str) -> Result<String> {
    phone
        .stored(key)
        .await?
        .with_context(|| format!("{key} is gone"))
}

/// Every way to spoil a saved car: the key's end and what is kept there.
fn spoiled() -> Result<Vec<(&'static str, String)>> {
    let whole = record(&demo::tansy())?;
    let change = |change: &dyn Fn(&mut Value)| -> Result<String> {
        let mut outer: Value = serde_json::from_str(&whole)?;
        let mut file: Value = serde_json::from_str(outer["file"].as_str().context("no file")?)?;
        change(&mut file);
        outer["file"] = file.to_string().into();
        Ok(outer.to_string())
    };
    let many = |file: &mut Value| {
        let one = file["car"]["loads"][0].clone();
        file["car"]["loads"] = std::iter::repeat_n(one, 60).collect();
    };
    Ok(vec![
        ("2", "not a car at all {".to_owned()),
        (
            "3",
            json!({ "file": "{\"format\":\"of another program\"}" }).to_string(),
        ),
        ("4", change(&|file| file["version"] = 999.into())?),
        ("5", whole[..whole.len() / 2].to_owned()),
        ("6", change(&many)?),
        (
            "7",
            change(&|file| file["car"]["engine"]["limiter_rpm"] = 1e300.into())?,
        ),
        ("nine", whole.clone()),
        ("8", String::new()),
    ])
}

#[tokio::test]
async fn profiles_that_cannot_be_read_are_set_aside_untouched() -> Result<()> {
    let visit = Visit::with(&[cars::over()], "cars").await?;
    let phone = &visit.device;
    let other = record(&cars::holds())?;
    let spoiled = spoiled()?;
    let put = "localStorage.setItem('laneside.car.' + arguments[0], arguments[1])";
    phone.script(put, vec![json!("20"), json!(other)]).await?;
    for (end, text) in &spoiled {
        phone.script(put, vec![json!(end), json!(text)]).await?;
    }
    phone.reload().await?;
    let open = stored(phone, &car_key(1)).await?;
    let untouched = async || -> Result<()> {
        for (end, text) in &spoiled {
            let key = format!("laneside.aside.{end}");
            assert_eq!(&stored(phone, &key).await?, text, "{key}");
            assert_eq!(phone.stored(&format!("laneside.car.{end}")).await?, None);
        }
        assert_eq!(stored(phone, &car_key(20)).await?, other);
        Ok(())
    };
    untouched().await?;
    assert_eq!(stored(phone, &car_key(1)).await?, open);
    let (names, _) = listed(phone).await?;
    assert_eq!(names, ["Nettle", "Holds"]);

    // Each is offered as a file, with what was found in it.
    let files = "
        return [...document.querySelectorAll('.aside a[download]')]
            .map((link) => decodeURIComponent(link.href.slice(link.href.indexOf(',') + 1))).sort()";
    let offered: Vec<String> = serde_json::from_value(phone.script(files, vec![]).await?)?;
    let mut texts: Vec<String> = spoiled.iter().map(|(_, text)| text.clone()).collect();
    texts.sort();
    assert_eq!(offered, texts);

    // New cars, changes and another broken profile of the same name harm none of them.
    phone.tap("main .door-button").await?;
    phone.go("car").await?;
    phone.retype("#limiter", "7,100").await?;
    let again = "broken once more";
    phone.script(put, vec![json!("2"), json!(again)]).await?;
    phone.reload().await?;
    untouched().await?;
    assert_eq!(stored(phone, "laneside.aside.2+").await?, again);

    // One is deleted on a second tap only, and only that one.
    phone.go("cars").await?;
    let count = phone.count(".aside li").await?;
    assert_eq!(count, spoiled.len() + 1);
    let last = ".aside li:last-child";
    phone.tap(&format!("{last} summary")).await?;
    assert_eq!(phone.count(".aside li").await?, count);
    phone.tap(&format!("{last} details .button")).await?;
    let fewer = "return document.querySelectorAll('.aside li').length === arguments[0]";
    phone
        .wait_until("the deletion", fewer, vec![json!(count - 1)])
        .await?;
    phone.reload().await?;
    assert_eq!(phone.count(".aside li").await?, count - 1);
    visit.end().await
}

/// Texts that were not taken are kept with the car, and odd ones among them harm nothing.
#[tokio::test]
async fn odd_drafts_harm_nothing() -> Result<()> {
    let visit = Visit::with(&[cars::over()], "car").await?;
    let phone = &visit.device;
    let mut record: Value = serde_json::from_str(&stored(phone, &car_key(1)).await?)?;
    record["drafts"] = json!([
        ["no-such-field", "1"],
        ["limiter", "much too fast"],
        ["idle", "950"],
    ]);
    let put = "localStorage.setItem(arguments[0], arguments[1])";
    phone
        .script(put, vec![json!(car_key(1)), json!(record.to_string())])
        .await?;
    phone.reload().await?;
    phone
        .wait_text("#limiter-fault .found", "much too fast")
        .await?;
    phone.wait_text(".stale", "Limiter").await?;
    phone.retype("#limiter", "7,200").await?;
    phone.wait_gone("#limiter-fault .found").await?;
    visit.end().await
}

#[tokio::test]
async fn cars_are_copied_renamed_deleted_and_taken_back() -> Result<()> {
    let visit = Visit::with(&[cars::over(), cars::holds()], "cars").await?;
    let phone = &visit.device;
    let two = ["Nettle".to_owned(), "Holds".to_owned()];
    assert_eq!(listed(phone).await?, (two.to_vec(), "Nettle".to_owned()));

    // A copy is a car of its own.
    let original = stored(phone, &car_key(1)).await?;
    phone.tap(".actions button").await?;
    phone.wait_text(".car-name", "Nettle, copy").await?;
    phone.retype("#name", "Nettle in June").await?;
    phone.wait_text(".car-name", "Nettle in June").await?;
    phone.go("car").await?;
    phone.retype("#limiter", "6,900").await?;
    assert_eq!(stored(phone, &car_key(1)).await?, original);
    phone.reload().await?;
    phone.go("cars").await?;
    let (names, open) = listed(phone).await?;
    assert_eq!(names, ["Nettle", "Holds", "Nettle in June"]);
    assert_eq!(open, "Nettle in June");

    // A name has to be one.
    phone.retype("#name", "").await?;
    phone.wait_text("#name-fault .needed", "1 to 60").await?;
    phone.retype("#name", "June").await?;
    phone.wait_gone("#name-fault .found").await?;

    // Deleted, and taken back to its place.
    phone.tap(".cars li:nth-child(2) button").await?;
    phone.wait_text(".car-name", "Holds").await?;
    let second = phone.saved_car(2).await?;
    phone.tap(".apart .plain").await?;
    phone.wait_text(".undo", "Holds").await?;
    assert_eq!(phone.stored(&car_key(2)).await?, None);
    let (names, _) = listed(phone).await?;
    assert_eq!(names, ["Nettle", "June"]);
    phone.go("pulleys").await?;
    phone.tap(".undo .button").await?;
    phone.wait_text(".car-name", "Holds").await?;
    assert_eq!(phone.saved_car(2).await?, second);
    phone.go("cars").await?;
    let three = ["Nettle", "Holds", "June"].map(str::to_owned).to_vec();
    assert_eq!(listed(phone).await?, (three, "Holds".to_owned()));

    // Deleted for good: the last one leaves an empty phone that still works.
    for left in [2, 1, 0] {
        phone.tap(".apart .plain").await?;
        phone.tap(".undo .plain").await?;
        phone.wait_gone(".undo").await?;
        assert_eq!(phone.count(".cars li").await?, left);
    }
    phone.reload().await?;
    for page in ["car", "pulleys"] {
        phone.go(page).await?;
        phone.wait_for("main .empty .button").await?;
    }
    visit.end().await
}

#[tokio::test]
async fn units_belong_to_the_car() -> Result<()> {
    let visit = Visit::with(&[cars::over(), cars::holds()], "pulleys").await?;
    let phone = &visit.device;
    let car = phone.saved_car(1).await?;
    assert_eq!(phone.value("#fitted").await?, "2 1/4 in");
    let verdict = phone.text(&format!("{ON_CAR} .verdict .figure")).await?;
    phone.tap(".header-line .plain").await?;
    phone.tap("#units .option:last-child").await?;
    phone
        .wait_text(&format!("{ON_CAR} .verdict"), "OVER")
        .await?;
    let metric = "return document.querySelector('#fitted').value === '57.2 mm'";
    phone.wait_until("millimeters", metric, vec![]).await?;
    phone.reload().await?;
    assert_eq!(phone.value("#fitted").await?, "57.2 mm");
    assert_eq!(
        phone.text(&format!("{ON_CAR} .verdict .figure")).await?,
        verdict
    );
    let metric = Car {
        units: System::Metric,
        ..car
    };
    assert_eq!(phone.saved_car(1).await?, metric);
    // Saying how it was measured does not round it to what is shown.
    phone.tap("header a").await?;
    phone.go("car").await?;
    let pick = "
        const pick = document.querySelector('#fitted-measured');
        pick.selectedIndex = 1;
        pick.dispatchEvent(new Event('change', { bubbles: true }));";
    phone.script(pick, vec![]).await?;
    let fitted = phone.saved_fitted(1).await?;
    assert_eq!(fitted.measure, Measure::Caliper);
    assert!((fitted.size.mm() - 57.15).abs() < 1e-6, "{:?}", fitted.size);
    phone.go("pulleys").await?;

    // A bare number is in millimeters now.
    phone.retype("#fitted", "60").await?;
    phone.go("cars").await?;
    phone.tap(".cars li:nth-child(2) button").await?;
    phone.go("pulleys").await?;
    assert_eq!(phone.value("#fitted").await?, "3 in");
    phone.go("cars").await?;
    phone.tap(".cars li:nth-child(1) button").await?;
    phone.go("pulleys").await?;
    assert_eq!(phone.value("#fitted").await?, "60.0 mm");
    visit.end().await
}

/// A phone that keeps nothing any more says so, and goes on answering.
#[tokio::test]
async fn a_full_phone_is_told() -> Result<()> {
    let visit = Visit::with(&[cars::over()], "cars").await?;
    let phone = &visit.device;
    let fill = "
        let text = 'x'.repeat(1 << 22);
        for (let at = 0; text.length; at += 1) {
            try { localStorage.setItem('filler' + at, text) } catch { text = text.slice(text.length / 2 + 1) }
        }";
    phone.script(fill, vec![]).await?;
    let before = phone.saved_car(1).await?;
    phone
        .retype("#name", "Nettle, with a much longer name than it had")
        .await?;
    phone
        .wait_text(".verdict-slot .caution", "Not saved")
        .await?;
    phone.wait_text(".strip-verdict", "OVER").await?;
    let kept = phone.saved_car(1).await?;
    assert_eq!(kept.engine, before.engine, "what was saved is lost");
    let empty = "Object.keys(localStorage).filter((key) => key.startsWith('filler'))
        .forEach((key) => localStorage.removeItem(key))";
    phone.script(empty, vec![]).await?;
    phone.retype("#name", "Nettle again").await?;
    phone.wait_gone(".verdict-slot .caution").await?;
    assert_eq!(phone.saved_car(1).await?.name, "Nettle again");
    visit.end().await
}
