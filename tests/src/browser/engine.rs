//! The engines that the tests run in, and what each of them lacks.

use std::env::VarError;
use std::fmt::{self, Display};
use std::io::Write;

use anyhow::{Context, Result, bail, ensure};

/// A browser engine.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Engine {
    /// Chromium, by its own driver.
    Chromium,
    /// Firefox, by geckodriver.
    Firefox,
    /// WebKit in its GTK port, by `WebKitWebDriver`.
    WebKit,
}

impl Display for Engine {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Chromium => "chromium",
            Self::Firefox => "firefox",
            Self::WebKit => "webkit",
        })
    }
}

/// What a test may need that not every engine, or not every driver, has.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ability {
    /// Fingers, more than one.
    Fingers,
    /// The person's own few colors, in place of the page's.
    ForcedColors,
    /// A limit set to all that the browser keeps for an origin.
    Quota,
}

impl Ability {
    /// Why a test that needs this is not run where it is lacking.
    #[must_use]
    pub const fn lack(self) -> &'static str {
        match self {
            Self::Fingers => "its driver has a mouse and no fingers",
            Self::ForcedColors => "it does not know forced colors",
            Self::Quota => "its driver cannot take the room away from it",
        }
    }
}

impl Engine {
    /// The engine that `LANESIDE_ENGINE` names; Chromium if it names none.
    ///
    /// # Errors
    ///
    /// It names something else.
    pub fn chosen() -> Result<Self> {
        match std::env::var("LANESIDE_ENGINE").as_deref() {
            Err(VarError::NotPresent) | Ok("chromium") => Ok(Self::Chromium),
            Ok("firefox") => Ok(Self::Firefox),
            Ok("webkit") => Ok(Self::WebKit),
            other => bail!("LANESIDE_ENGINE is {other:?}, not chromium, firefox or webkit"),
        }
    }

    /// Whether it has the ability.
    #[must_use]
    pub const fn has(self, ability: Ability) -> bool {
        match self {
            Self::Chromium => true,
            Self::Firefox => !matches!(ability, Ability::Quota),
            Self::WebKit => false,
        }
    }
}

/// Whether the test can run in the chosen engine. One that cannot has to stand in `listed`, a line
/// for each engine and test with the reason; it is told to the file that `LANESIDE_LACKS` names.
///
/// # Errors
///
/// The test cannot run and is not listed.
pub fn able(ability: Ability, test: &str, listed: &str) -> Result<bool> {
    let engine = Engine::chosen()?;
    if engine.has(ability) {
        return Ok(true);
    }
    // The name of the function within the test, of the test, of its module, of the crate.
    let test = test.split("::{{closure}}").next().unwrap_or_default();
    let test = test.split_once("::").map_or(test, |(_, test)| test);
    let line = format!("{engine}: {test}: {}", ability.lack());
    println!("not run in {line}");
    if let Some(path) = std::env::var_os("LANESIDE_LACKS") {
        let mut options = std::fs::OpenOptions::new();
        let mut file = options.append(true).create(true).open(&path)?;
        // In one piece: other tests write at the same time.
        file.write_all(format!("{line}\n").as_bytes())
            .with_context(|| path.display().to_string())?;
    }
    ensure!(
        listed.lines().any(|one| one == line),
        "not run, and not listed in tests/browser/lacks.txt: {line}"
    );
    Ok(false)
}
