//! A real browser with a phone's screen, driven over WebDriver.
//!
//! [`Browser`] speaks the WebDriver standard only, so that the same tests run in any engine. A
//! [`Device`] is a browser of the engine that `LANESIDE_ENGINE` names, with what each engine has a
//! way of its own for; what only Chromium can do (throttling, its command line) is in [`chromium`].

pub mod app;
mod bidi;
pub mod chromium;
mod device;
mod driver;
mod engine;
mod firefox;
pub mod log_scenes;
mod page;
mod profile;
pub mod scenes;
mod sound;
mod webkit;

pub use chromium::Chromium;
pub use device::{Device, Taste};
pub use engine::{Ability, Engine, able};
pub use page::Browser;
pub use profile::Profile;

use anyhow::{Context, Result};
use std::path::PathBuf;

/// The screen of the phone that the app is drawn for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Screen {
    /// Width in CSS pixels.
    pub width: u32,
    /// Height in CSS pixels.
    pub height: u32,
    /// Device pixels per CSS pixel.
    pub pixel_ratio: f64,
    /// Whether it is touched; a screen that is not has a mouse.
    pub touch: bool,
}

impl Screen {
    /// The common phone: 390 by 844 at three device pixels per CSS pixel.
    pub const PHONE: Self = Self::phone(390, 844);
    /// The narrowest phone that the app is drawn for.
    pub const NARROW: Self = Self::phone(360, 740);
    /// A laptop in the trailer.
    pub const LAPTOP: Self = Self {
        width: 1280,
        height: 800,
        pixel_ratio: 1.0,
        touch: false,
    };

    const fn phone(width: u32, height: u32) -> Self {
        Self {
            width,
            height,
            pixel_ratio: 3.0,
            touch: true,
        }
    }
}

/// The built app: `LANESIDE_DIST`, or `dist` at the top of the workspace.
///
/// # Errors
///
/// Nothing is built there.
pub fn built_app() -> Result<PathBuf> {
    let folder = match std::env::var_os("LANESIDE_DIST") {
        Some(folder) => PathBuf::from(folder),
        None => workspace()?.join("dist"),
    };
    anyhow::ensure!(
        folder.join("service-worker.js").is_file(),
        "no built app in {}: run `bash app/serve.sh --build-only`",
        folder.display()
    );
    Ok(folder)
}

/// The top of the workspace.
///
/// # Errors
///
/// Never in this workspace: the package is a folder of it.
pub fn workspace() -> Result<PathBuf> {
    let package = PathBuf::from(env!("CARGO_MANIFEST_DIR"));
    let parent = package.parent().context("the package has a parent")?;
    Ok(parent.to_path_buf())
}
