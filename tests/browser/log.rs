//! The page Log: from a file to a diagnosis, kept, compared and found again without signal.

use std::path::PathBuf;
use std::time::Duration;

use anyhow::{Context, Result};
use fantoccini::Locator;
use fantoccini::actions::{Actions, InputSource, MOUSE_BUTTON_LEFT, PointerAction, TouchActions};
use laneside_core::car::{Car, demo, several};
use laneside_tests::browser::{Ability, Browser, Screen};
use laneside_tests::log_files::Recipe;
use tempfile::TempDir;

use crate::offline::stored;
use crate::pass::{rows, tap_words};
use crate::visit::{Visit, saved_file};

/// A folder with a log in it.
pub struct Files(TempDir);

impl Files {
    pub fn new() -> Result<Self> {
        Ok(Self(tempfile::tempdir()?))
    }

    /// Writes a file, and chooses it on the page.
    pub async fn choose(&self, phone: &Browser, name: &str, text: &[u8]) -> Result<()> {
        let path = self.write(name, text)?;
        self.choose_written(phone, &path).await
    }

    pub fn write(&self, name: &str, text: &[u8]) -> Result<PathBuf> {
        let path = self.0.path().join(name);
        std::fs::write(&path, text)?;
        Ok(path)
    }

    pub async fn choose_written(&self, phone: &Browser, path: &std::path::Path) -> Result<()> {
        phone.wait_for("main label.file").await?;
        let input = phone.client().find(Locator::Css("#log-file")).await?;
        Ok(input
            .send_keys(path.to_str().context("an odd folder")?)
            .await?)
    }
}

/// Reads a log and confirms its channels as they were found.
pub async fn read(phone: &Browser, files: &Files, name: &str, recipe: Recipe) -> Result<()> {
    files.choose(phone, name, recipe.text().as_bytes()).await?;
    confirm(phone).await
}

pub async fn confirm(phone: &Browser) -> Result<()> {
    phone.wait_for(".log-channels").await?;
    tap_words(phone, "Yes, that is right").await?;
    phone.wait_for("main .verdict .word").await?;
    phone.wait_for("main canvas").await?;
    phone.settle().await
}

/// What the first chart says in words.
async fn chart(phone: &Browser) -> Result<String> {
    let read = "return document.querySelector('main canvas').getAttribute('aria-label')";
    let said = phone.script(read, vec![]).await?;
    Ok(said.as_str().context("the chart says nothing")?.to_owned())
}

#[tokio::test]
async fn a_log_is_read_kept_compared_and_found_again_without_signal() -> Result<()> {
    let mut visit = Visit::with(&[demo::nettle()], "log").await?;
    stored(&visit.device).await?;
    visit.lose_signal()?;
    let files = Files::new()?;
    let phone = &visit.device;
    files
        .choose(phone, "before.csv", Recipe::FALLS.text().as_bytes())
        .await?;
    phone.wait_text(".log-channels", "Is this right?").await?;
    for sentence in [
        "Engine Speed",
        "read as rpm",
        "Battery Voltage",
        "read as V",
        "8,000 values",
    ] {
        phone.wait_text(".log-channels", sentence).await?;
    }
    confirm(phone).await?;

    // What is wrong stands first, with its evidence and the next check.
    let found = phone.text("main .verdict").await?;
    assert!(found.contains("11.9") || found.contains("12.0"), "{found}");
    assert!(!found.contains("CHARGES WELL"), "{found}");
    phone.wait_text("main", "Falls 1.").await?;
    phone.wait_text("main", "Check next").await?;
    phone
        .wait_text("main .caution", "battery negative off")
        .await?;
    let figures = rows(phone, "Figures of this pass").await?;
    assert_eq!(figures[0][0], "Idle before it");
    assert!(figures[0][1].starts_with("13.9"), "{figures:?}");
    assert!(
        figures[2][1].starts_with("11.9") || figures[2][1].starts_with("12.0"),
        "{figures:?}"
    );
    let over = rows(phone, "Over the alternator's limit").await?;
    assert_eq!(over[0][0], "Highest speed, rpm");

    // A dip of two hundredths of a second is in the picture of all of it.
    phone.tap(".zoom-button:last-child").await?;
    phone.settle().await?;
    let all = chart(phone).await?;
    assert!(all.contains("from 0.0 to 80.0 s"), "{all}");
    assert!(all.contains("9.3") || all.contains("9.4"), "{all}");
    tap_words(phone, "Closer").await?;
    tap_words(phone, "Closer").await?;
    phone.settle().await?;
    let near = chart(phone).await?;
    assert_ne!(all, near);

    tap_words(phone, "Keep this pass").await?;
    phone.wait_text("main", "This pass is kept.").await?;

    // A larger pulley goes on, and the next pass is logged.
    phone.go("pulleys").await?;
    phone.retype("#fitted", "3 1/2").await?;
    phone.go("log").await?;
    read(phone, &files, "after.csv", Recipe::CURED).await?;
    phone
        .wait_text("main .verdict .word", "CHARGES WELL")
        .await?;
    phone.wait_text("main", "Before and after").await?;
    cured(phone).await?;
    tap_words(phone, "Keep this pass").await?;
    phone.wait_text("main", "This pass is kept.").await?;

    // Switched off and on, still without signal.
    let visit = visit.start_cold().await?;
    let phone = &visit.device;
    phone.go("log").await?;
    phone.wait_text("main", "Kept passes").await?;
    phone
        .wait_text("main .log-passes", "Pass 1, before")
        .await?;
    phone.wait_text("main .log-passes", "Pass 1, after").await?;
    cured(phone).await?;
    let worn = rows(phone, "Time over the limit, all kept passes").await?;
    assert_eq!(worn.len(), 2);
    assert!(
        worn[0][0].contains("2 1/4") && worn[0][0].contains("1 pass"),
        "{worn:?}"
    );
    assert!(
        worn[1][0].contains("3 1/2") && worn[1][1] == "0",
        "{worn:?}"
    );

    // The columns are remembered: asked again, they are the same.
    let note = phone.stored("laneside.car.1").await?.context("no car")?;
    assert!(note.contains("Battery Voltage"), "{note}");
    visit.end().await
}

/// The comparison of the pass that falls with the one that does not.
async fn cured(phone: &Browser) -> Result<()> {
    let word = "
        return [...document.querySelectorAll('main .verdict .word')].at(-1)?.innerText === 'CURED'";
    phone.wait_until("the cure", word, vec![]).await?;
    let pairs = rows(phone, "Before and after").await?;
    let lowest = pairs.iter().find(|row| row[0].starts_with("Lowest"));
    let lowest = lowest.context("no lowest voltage")?;
    assert!(lowest[3].ends_with("better"), "{lowest:?}");
    Ok(())
}

#[tokio::test]
async fn kept_passes_go_with_the_car_and_can_be_had_back() -> Result<()> {
    let visit = Visit::with(&[demo::nettle()], "log").await?;
    let phone = &visit.device;
    let files = Files::new()?;
    read(phone, &files, "one.csv", Recipe::FALLS).await?;
    tap_words(phone, "Keep this pass").await?;
    phone.wait_text("main", "This pass is kept.").await?;

    // Deleted and taken back. What is worked out last pushes the list down.
    phone
        .wait_text("main", "Against the simulated pass")
        .await?;
    phone.settle().await?;
    tap_words(phone, "Delete").await?;
    phone.wait_text(".undo", "Deleted Pass 1, one.").await?;
    tap_words(phone, "Undo").await?;
    phone.wait_text("main .log-passes", "Pass 1, one").await?;
    phone.reload().await?;
    phone.wait_text("main .log-passes", "Pass 1, one").await?;

    // In the car's file, and back from it on a phone that knows nothing.
    phone.go("cars").await?;
    let file = saved_file(phone).await?;
    let passes = several::read(&file)?.remove(0).passes;
    assert_eq!(passes.len(), 1);
    assert_eq!(passes[0].name, "Pass 1, one");
    Car::from_file(&file)?;

    let other = Visit::first(Screen::PHONE).await?;
    let path = files.write("nettle.car.json", file.as_bytes())?;
    other.device.go("cars").await?;
    let input = other
        .device
        .client()
        .find(Locator::Css("#car-file"))
        .await?;
    input
        .send_keys(path.to_str().context("an odd folder")?)
        .await?;
    other.device.wait_text(".received", "Nettle").await?;
    other.device.tap(".received .button").await?;
    other.device.wait_gone(".received").await?;
    other.device.go("log").await?;
    other
        .device
        .wait_text("main .log-passes", "Pass 1, one")
        .await?;
    other.device.reload().await?;
    other
        .device
        .wait_text("main .log-passes", "Pass 1, one")
        .await?;
    other.end().await?;

    // Another car has passes of its own.
    phone.tap("main .door-button").await?;
    phone.go("log").await?;
    phone.wait_text("main", "Choose a log").await?;
    visit.end().await
}

#[tokio::test]
async fn two_fingers_zoom_and_one_moves() -> Result<()> {
    needs!(Ability::Fingers);
    let visit = Visit::with(&[demo::nettle()], "log").await?;
    let phone = &visit.device;
    read(phone, &Files::new()?, "pinch.csv", Recipe::FALLS).await?;
    phone.tap(".zoom-button:last-child").await?;
    phone.settle().await?;
    let all = chart(phone).await?;
    let touch = "
        const plot = document.querySelector('main .chart-plot');
        plot.scrollIntoView({ block: 'center', behavior: 'instant' });
        const rail = document.querySelector('main .chart-rail').getBoundingClientRect();
        return [rail.left + rail.width / 2, plot.getBoundingClientRect().top + 60]";
    let place = phone.script(touch, vec![]).await?;
    let [x, y] = serde_json::from_value::<[f64; 2]>(place)?;
    // From so far beside the middle to so far, for each finger.
    let fingers = async |ways: &[[f64; 2]]| -> Result<()> {
        let finger = |number: usize, [from, to]: [f64; 2]| {
            let step = |part: i32| PointerAction::MoveTo {
                duration: Some(Duration::from_millis(16)),
                x: x + from + (to - from) * f64::from(part) / 5.0,
                y,
            };
            let button = MOUSE_BUTTON_LEFT;
            let steps = [step(0), PointerAction::Down { button }]
                .into_iter()
                .chain((1..=5).map(step))
                .chain([PointerAction::Up { button }]);
            steps.fold(
                TouchActions::new(format!("finger {number}")),
                InputSource::then,
            )
        };
        let mut all = Actions::from(finger(0, ways[0]));
        for (number, way) in ways.iter().enumerate().skip(1) {
            all = all.and(finger(number, *way));
        }
        phone.client().perform_actions(all).await?;
        phone.client().release_actions().await?;
        Ok(())
    };
    fingers(&[[-20.0, -80.0], [20.0, 80.0]]).await?;
    phone.settle().await?;
    let near = chart(phone).await?;
    let ends = |said: &str| -> Result<(f64, f64)> {
        let part = said.split(" from ").nth(1).context("no times")?;
        let mut words = part.split(' ');
        let from = words.next().context("no start")?.parse()?;
        let to = words.nth(1).context("no end")?.parse()?;
        Ok((from, to))
    };
    let (from, to) = ends(&near)?;
    assert!(to - from < 30.0, "{all} then {near}");
    assert!(from < 40.0 && to > 40.0, "{near}");

    fingers(&[[0.0, -75.0]]).await?;
    phone.settle().await?;
    let (moved, until) = ends(&chart(phone).await?)?;
    assert!(moved > from + 1.0, "{moved} after {from}");
    assert!(((until - moved) - (to - from)).abs() < 0.3);
    visit.end().await
}

#[tokio::test]
async fn what_the_log_fixes_is_put_on_the_car_and_taken_back() -> Result<()> {
    let visit = Visit::with(&[demo::nettle()], "log").await?;
    let phone = &visit.device;
    let before = phone.saved_car(1).await?;
    read(phone, &Files::new()?, "fit.csv", Recipe::FALLS).await?;
    phone
        .wait_text("main", "Against the simulated pass")
        .await?;
    phone.wait_text("main", "Set-point").await?;
    assert_eq!(phone.saved_car(1).await?, before, "taken without a tap");
    phone.settle().await?;
    tap_words(phone, "Put it on the car").await?;
    phone.wait_text(".undo", "Set-point is").await?;
    let after = phone.saved_car(1).await?;
    assert_ne!(after.alternator.set_point, before.alternator.set_point);
    tap_words(phone, "Undo").await?;
    phone.wait_gone(".undo").await?;
    assert_eq!(phone.saved_car(1).await?, before);
    visit.end().await
}

/// Two passes in a log of a car of which nothing is known, and another word on what counts as one.
#[tokio::test]
async fn two_passes_before_any_pulley_is_entered() -> Result<()> {
    let visit = Visit::first(Screen::PHONE).await?;
    let phone = &visit.device;
    phone.tap("main a.door").await?;
    let files = Files::new()?;
    let two = Recipe {
        passes: 2,
        ..Recipe::FALLS
    };
    read(phone, &files, "two.csv", two).await?;
    phone.wait_text("main", "2 passes in this log").await?;
    phone.wait_text("main", "Falls 1.").await?;
    phone.wait_text("main", "Needed: both pulleys").await?;
    let name = phone.value("#log-name").await?;
    assert_eq!(name, "Pass 1, two");
    phone.tap("#log-pass .option:nth-of-type(2)").await?;
    let second = "return document.querySelector('#log-name').value === 'Pass 2, two'";
    phone.wait_until("the second pass", second, vec![]).await?;
    // The person knows better when it began.
    let open = "document.querySelectorAll('main details').forEach((one) => one.open = true)";
    phone.script(open, vec![]).await?;
    phone.retype("#log-launch", "118,5").await?;
    phone.wait_text("main", "from 118.5").await?;
    phone.retype("#log-launch", "300").await?;
    phone.wait_text("#log-launch-fault", "Found “300”.").await?;
    phone.retype("#log-launch", "").await?;
    phone.wait_text("main", "from 115.0").await?;
    // Only what turns faster than the engine ever did counts: none is left, and the log still says something.
    phone.retype("#log-high", "9000").await?;
    phone
        .wait_text("main", "No pass was found in this log")
        .await?;
    phone.wait_for("main .verdict .word").await?;
    phone.retype("#log-high", "soon").await?;
    phone.wait_text("#log-high-fault", "Found “soon”.").await?;
    phone.retype("#log-high", "").await?;
    phone.wait_text("main", "2 passes in this log").await?;
    // A pass is kept with this car, which is not let go for being blank.
    phone.settle().await?;
    tap_words(phone, "Keep this pass").await?;
    phone.wait_text("main .log-passes", "two").await?;
    phone.reload().await?;
    phone.go("log").await?;
    phone.wait_text("main .log-passes", "two").await?;
    visit.end().await
}

/// A log is the car's alone for which it was read: neither one that gets the id of a deleted car nor one that comes after a
/// received car that was left is shown with it.
#[tokio::test]
async fn no_other_car_inherits_a_log() -> Result<()> {
    let visit = Visit::with(&[demo::nettle()], "log").await?;
    let phone = &visit.device;
    let files = Files::new()?;
    let come = async |car: &Car| -> Result<()> {
        let hash = laneside_tests::link::hash(&car.to_short_file()?)?;
        let to = "location.hash = arguments[0]";
        phone.script(to, vec![serde_json::json!(hash)]).await?;
        phone.wait_text(".received", &car.name).await?;
        phone.go("log").await
    };
    come(&demo::nettle()).await?;
    read(phone, &files, "one.csv", Recipe::FALLS).await?;
    phone.tap(".received .button:last-of-type").await?;
    phone.wait_gone(".received").await?;
    phone.wait_text("main", "Choose a log").await?;
    come(&demo::tansy()).await?;
    phone.wait_text("main", "Choose a log").await?;
    assert_eq!(phone.count("main canvas").await?, 0);
    phone.tap(".received .button:last-of-type").await?;
    phone.wait_gone(".received").await?;

    read(phone, &files, "one.csv", Recipe::FALLS).await?;
    phone.go("cars").await?;
    phone.tap(".apart .plain").await?;
    phone.wait_text(".undo", "Nettle").await?;
    tap_words(phone, "Add a car").await?;
    assert_ne!(phone.stored("laneside.car.1").await?, None, "the id again");
    phone.go("log").await?;
    phone.wait_text("main", "Choose a log").await?;
    assert_eq!(phone.count("main canvas").await?, 0);
    visit.end().await
}
