//! The states in which the app is looked at: by the tests of its look, and by people as pictures.

use anyhow::{Context, Result};
use laneside_core::car::{Car, demo};
use laneside_core::quantity::System;
use serde_json::json;

use super::Browser;
use super::log_scenes::LogScene;
use crate::{cars, link};

/// A state of the app.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Scene {
    /// A phone that was never here: the doors.
    FirstVisit,
    /// The board with so many of its entries made, the pad open.
    Board(usize),
    /// The page Pulleys with a verdict of a kind.
    Over,
    /// See [`cars::holds`].
    Holds,
    /// See [`cars::short_at_idle`].
    ShortAtIdle,
    /// See [`cars::too_close`].
    TooClose,
    /// See [`cars::no_size`].
    NoSize,
    /// The page Pulleys in millimeters.
    Metric,
    /// The page Pass or Day of one of the invented cars, by its place, with both verdicts.
    Race(&'static str, usize),
    /// The page Day of [`cars::runs_out`].
    RunsOut,
    /// The page Day of [`cars::may_run_out`], with what saves the day.
    MayRunOut,
    /// The page Pass without what it needs.
    NoPass,
    /// The page Pass with a trap speed that does not go with the elapsed time.
    PassError,
    /// The job card of one of the invented cars, by its place, with a reading that is not as expected and one that is none.
    Card(usize),
    /// A state of the page Log.
    Log(LogScene),
    /// A page of the open invented car.
    Page(&'static str),
    /// The pad over the page Car.
    Pad(&'static str),
    /// An entry that was not taken, on the page Car.
    Error,
    /// Both pulleys not taken, on the page Pulleys.
    PulleyError,
    /// The page Pulleys with answers from before an entry that was not taken.
    Stale,
    /// A page with no car to speak of.
    Empty(&'static str),
    /// A deletion that can be taken back.
    Deleted,
    /// A profile that could not be read.
    Aside,
    /// The settings.
    Settings,
    /// A page of a car that came by a link and is not kept.
    Received(&'static str),
    /// A link that carries no whole car.
    BrokenLink,
}

/// Every scene.
pub const SCENES: [Scene; 55] = [
    Scene::FirstVisit,
    Scene::Board(0),
    Scene::Board(1),
    Scene::Board(2),
    Scene::Board(3),
    Scene::Board(4),
    Scene::Over,
    Scene::Holds,
    Scene::ShortAtIdle,
    Scene::TooClose,
    Scene::NoSize,
    Scene::Metric,
    Scene::Page("board"),
    Scene::Page("cars"),
    Scene::Page("car"),
    Scene::Page("belt"),
    Scene::Race("pass", 0),
    Scene::Race("pass", 1),
    Scene::Race("day", 0),
    Scene::Race("day", 1),
    Scene::RunsOut,
    Scene::MayRunOut,
    Scene::NoPass,
    Scene::PassError,
    Scene::Page("swap"),
    Scene::Card(0),
    Scene::Card(1),
    Scene::Page("log"),
    Scene::Log(LogScene::Channels),
    Scene::Log(LogScene::Question),
    Scene::Log(LogScene::Failed),
    Scene::Log(LogScene::Falls),
    Scene::Log(LogScene::Compared),
    Scene::Log(LogScene::Bare),
    Scene::Log(LogScene::Readings),
    Scene::Pad("crank"),
    Scene::Pad("limiter"),
    Scene::Pad("continuous"),
    Scene::Error,
    Scene::PulleyError,
    Scene::Stale,
    Scene::Empty("pulleys"),
    Scene::Empty("car"),
    Scene::Empty("cars"),
    Scene::Deleted,
    Scene::Aside,
    Scene::Settings,
    Scene::Page("share"),
    Scene::Page("codes"),
    Scene::Page("scan"),
    Scene::Page("card"),
    Scene::Page("report"),
    Scene::Received("pulleys"),
    Scene::Received("car"),
    Scene::BrokenLink,
];

/// Keys of the board's entries, as far as the scenes fill them.
const BOARD: [&[&str]; 4] = [
    &["6", "1/2", "Next"],
    &["2", "1/4", "Next"],
    &["7", "2", "00", "Next"],
    &["9", "5", "0", "Next"],
];

/// The sizes among them where these are typed in millimeters.
const METRIC: [&[&str]; 2] = [&["1", "6", "5", "Next"], &["5", "7", "Next"]];

impl Scene {
    /// A name for a picture of it.
    #[must_use]
    pub fn name(self) -> String {
        match self {
            Self::FirstVisit => "first-visit".to_owned(),
            Self::Board(entries) => format!("board-{entries}"),
            Self::Page(page) => page.to_owned(),
            Self::Race(page, car) => format!("{page}-{car}"),
            Self::RunsOut => "runs-out".to_owned(),
            Self::MayRunOut => "may-run-out".to_owned(),
            Self::NoPass => "no-pass".to_owned(),
            Self::PassError => "error-pass".to_owned(),
            Self::Card(car) => format!("card-{car}"),
            Self::Log(scene) => scene.name().to_owned(),
            Self::Pad(field) => format!("pad-{field}"),
            Self::Empty(page) => format!("empty-{page}"),
            Self::Error => "error".to_owned(),
            Self::PulleyError => "error-pulleys".to_owned(),
            Self::Stale => "stale".to_owned(),
            Self::Deleted => "deleted".to_owned(),
            Self::Aside => "aside".to_owned(),
            Self::Settings => "settings".to_owned(),
            Self::Metric => "metric".to_owned(),
            Self::Received(page) => format!("received-{page}"),
            Self::BrokenLink => "broken-link".to_owned(),
            Self::Over => "over".to_owned(),
            Self::Holds => "holds".to_owned(),
            Self::ShortAtIdle => "short-at-idle".to_owned(),
            Self::TooClose => "too-close".to_owned(),
            Self::NoSize => "no-size".to_owned(),
        }
    }

    /// Brings the browser, in which the app is open, into this state.
    ///
    /// # Errors
    ///
    /// Something of it does not show.
    pub async fn show(self, browser: &Browser) -> Result<()> {
        match self {
            Self::FirstVisit => browser.save_cars(&[], "welcome").await?,
            Self::Board(entries) => {
                browser.save_cars(&[], "welcome").await?;
                browser.tap("main a.door + a.door").await?;
                browser.wait_for("#crank").await?;
                let inches = "return navigator.language.endsWith('US')";
                let is_inch = browser.script(inches, vec![]).await? == json!(true);
                for (place, keys) in BOARD.iter().enumerate().take(entries) {
                    browser.wait_for(".pad").await?;
                    let metric = METRIC.get(place).filter(|_| !is_inch);
                    browser.tap_keys(metric.unwrap_or(keys)).await?;
                }
            }
            Self::Over => pulleys(browser, cars::over()).await?,
            Self::Holds => pulleys(browser, cars::holds()).await?,
            Self::ShortAtIdle => pulleys(browser, cars::short_at_idle()).await?,
            Self::TooClose => pulleys(browser, cars::too_close()).await?,
            Self::NoSize => {
                pulleys(browser, cars::no_size()).await?;
                browser.wait_for("#ways-out").await?;
            }
            Self::Metric => {
                let mut car = demo::nettle();
                car.units = System::Metric;
                pulleys(browser, car).await?;
            }
            Self::Page(page) => {
                browser.save_cars(&demo::cars(), page).await?;
            }
            Self::Race(page, car) => {
                let car = demo::cars().into_iter().nth(car).context("no such car")?;
                race(browser, car, page).await?;
            }
            Self::RunsOut => {
                race(browser, cars::runs_out(), "day").await?;
                browser.wait_said("main", "What saves the day").await?;
            }
            Self::MayRunOut => {
                race(browser, cars::may_run_out(), "day").await?;
                browser
                    .wait_said("main", "The charger on for {0}\u{a0}min of every {1}.")
                    .await?;
            }
            Self::NoPass => {
                let mut car = demo::nettle();
                car.course.elapsed_s = None;
                browser.save_cars(&[car], "pass").await?;
                browser.wait_said("main", "Needed: elapsed time.").await?;
            }
            Self::PassError => {
                browser.save_cars(&demo::cars(), "pass").await?;
                browser.retype("#trap", "60 mph").await?;
                browser.wait_for("main .fault").await?;
            }
            Self::Card(car) => {
                let car = demo::cars().into_iter().nth(car).context("no such car")?;
                browser.save_cars(&[car], "swap").await?;
                browser.tap("main .empty .button").await?;
                browser.tap(".job label").await?;
                browser.retype("#card-volts-0", "12.3").await?;
                browser.retype("#card-volts-1", "140").await?;
                browser.wait_for("#card-volts-1-fault .found").await?;
            }
            Self::Log(scene) => scene.show(browser).await?,
            Self::Pad(field) => {
                browser.save_cars(&demo::cars(), "car").await?;
                browser.tap(&format!("#{field}")).await?;
                browser.wait_for(".pad").await?;
            }
            Self::Error => {
                browser.save_cars(&demo::cars(), "car").await?;
                browser.retype("#limiter", "90,000").await?;
                browser.wait_for("#limiter-fault .found").await?;
                browser.wait_for(".stale").await?;
            }
            Self::PulleyError => {
                browser.save_cars(&demo::cars(), "pulleys").await?;
                browser.retype("#fitted", "2 m").await?;
                browser.retype("#tried", "57.15").await?;
                browser.wait_for("#tried-fault .found").await?;
                browser.wait_for(".stale").await?;
            }
            Self::Stale => {
                browser.save_cars(&demo::cars(), "car").await?;
                browser.retype("#limiter", "90,000").await?;
                browser.wait_for(".stale").await?;
                browser.go("pulleys").await?;
                browser.wait_for("canvas").await?;
            }
            Self::Empty(page) => browser.save_cars(&[], page).await?,
            Self::Deleted => {
                browser.save_cars(&demo::cars(), "cars").await?;
                browser.tap(".apart .plain").await?;
                browser.wait_for(".undo").await?;
            }
            Self::Aside => {
                browser.save_cars(&demo::cars(), "cars").await?;
                let spoil = "localStorage.setItem('laneside.car.7', 'not a car')";
                browser.script(spoil, vec![]).await?;
                browser.reload().await?;
                browser.wait_for(".aside").await?;
            }
            Self::Settings => {
                browser.save_cars(&demo::cars(), "pulleys").await?;
                browser.tap(".header-line .plain").await?;
                browser.wait_for("dialog[open]").await?;
            }
            Self::Received(page) => {
                browser.save_cars(&[demo::nettle()], "cars").await?;
                let hash = link::hash(&demo::tansy().to_short_file()?)?;
                let open = "location.hash = arguments[0]";
                browser.script(open, vec![json!(hash)]).await?;
                browser.wait_for(".received").await?;
                browser.go(page).await?;
            }
            Self::BrokenLink => {
                browser.save_cars(&demo::cars(), "cars").await?;
                let open = "location.hash = '#/take/AAAA'";
                browser.script(open, vec![]).await?;
                browser.wait_for("#take-fault .found").await?;
            }
        }
        browser.settle().await
    }
}

async fn pulleys(browser: &Browser, car: Car) -> Result<()> {
    browser.save_cars(&[car], "pulleys").await?;
    browser.wait_for("canvas").await?;
    // What takes longer comes once nothing has changed for a while.
    let ranked = "return document.querySelector(arguments[0]) !== null";
    browser
        .wait_until("the ranking", ranked, vec![json!(".ranking li")])
        .await
}

/// Both verdicts, once their spreads are in.
async fn race(browser: &Browser, car: Car, page: &str) -> Result<()> {
    browser.save_cars(&[car], page).await?;
    let known = "
        const words = [...document.querySelectorAll('.pair .word')].map((one) => one.innerText);
        return words.length === 2 && !words.includes(arguments[0])";
    let working = browser.said("WORKING OUT").await?;
    browser
        .wait_until("both verdicts", known, vec![json!(working)])
        .await
}
