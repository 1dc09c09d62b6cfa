//! A sound card in memory: without one neither Firefox nor WebKit runs the clock of a page's sound.

use std::path::Path;
use std::process::Stdio;
use std::time::Instant;

use anyhow::{Context, Result, ensure};
use tokio::process::{Child, Command};

use super::page::{GLANCE, PATIENCE};

/// A sound server of its own, which plays to nobody; killed when dropped.
#[derive(Debug)]
pub struct Sound {
    _server: Child,
    address: String,
}

impl Sound {
    /// Starts it, with its files in the folder.
    ///
    /// # Errors
    ///
    /// It is not installed, or does not start.
    pub async fn start(folder: &Path) -> Result<Self> {
        let socket = folder.join("sound");
        let path = socket.display();
        let server = Command::new("pulseaudio")
            .args(["-n", "--daemonize=no", "--use-pid-file=no"])
            .args([
                "--exit-idle-time=-1",
                "--disable-shm",
                "--load=module-null-sink",
            ])
            .arg(format!(
                "--load=module-native-protocol-unix socket={path} auth-anonymous=1"
            ))
            .env("XDG_RUNTIME_DIR", folder)
            .env("HOME", folder)
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .kill_on_drop(true)
            .spawn()
            .context("pulseaudio does not start; `bash tests/run.sh` installs it")?;
        let end = Instant::now() + PATIENCE;
        while !socket.exists() {
            ensure!(Instant::now() < end, "pulseaudio does not listen");
            tokio::time::sleep(GLANCE).await;
        }
        Ok(Self {
            _server: server,
            address: format!("unix:{path}"),
        })
    }

    /// Where programs find it, as `PULSE_SERVER` names it.
    pub fn address(&self) -> &str {
        &self.address
    }
}
