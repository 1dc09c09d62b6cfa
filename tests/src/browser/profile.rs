//! What a browser keeps.

use std::path::PathBuf;

use anyhow::Result;
use tempfile::TempDir;
use tokio::process::Command;

use super::sound::Sound;

/// What the browser keeps from one start to the next: its stores, caches and service workers.
#[derive(Debug)]
pub struct Profile {
    files: TempDir,
    sound: Option<Sound>,
}

impl Profile {
    /// A new and empty one, deleted when dropped.
    ///
    /// # Errors
    ///
    /// No temporary folder can be made.
    pub fn new() -> Result<Self> {
        Ok(Self {
            files: tempfile::tempdir()?,
            sound: None,
        })
    }

    /// One on a machine that can play sound.
    ///
    /// # Errors
    ///
    /// No temporary folder can be made, or no sound server starts.
    pub async fn with_sound() -> Result<Self> {
        let files = tempfile::tempdir()?;
        let sound = Some(Sound::start(files.path()).await?);
        Ok(Self { files, sound })
    }

    /// Tells a driver, and the browser with it, where sound is to be played.
    pub(super) fn tell_sound(&self, driver: &mut Command) {
        if let Some(sound) = &self.sound {
            driver.env("PULSE_SERVER", sound.address());
        }
    }

    pub(super) fn folder(&self) -> PathBuf {
        self.files.path().join("profile")
    }

    /// A file beside it.
    pub(super) fn beside(&self, name: &str) -> PathBuf {
        self.files.path().join(name)
    }
}
