//! The drivers of the browsers: programs that speak WebDriver on a port of this machine.

use std::net::{Ipv4Addr, TcpListener};
use std::process::Stdio;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;

use anyhow::{Context, Result, bail};
use fantoccini::wd::Capabilities;
use fantoccini::{Client, ClientBuilder};
use hyper_util::client::legacy::connect::HttpConnector;
use serde_json::json;
use tokio::io::{AsyncBufReadExt, AsyncRead, BufReader, Lines};
use tokio::process::{Child, Command};

/// A driver that finds a port free for IPv6 and takes the same for IPv4 ends where another program has that one.
const STARTS: usize = 5;

/// A running driver; killed when dropped, and its browser with it.
#[derive(Debug)]
pub struct Driver {
    child: Child,
    /// Of the driver and all that it started: a test that fails leaves no browser behind.
    group: Option<u32>,
    port: u16,
    said: Arc<Mutex<Vec<String>>>,
}

impl Drop for Driver {
    fn drop(&mut self) {
        if let Some(group) = self.group {
            let mut kill = std::process::Command::new("kill");
            kill.args(["-KILL", "--", &format!("-{group}")]);
            // Where all have ended already there is nothing to kill.
            drop(kill.stderr(Stdio::null()).status());
        }
    }
}

impl Driver {
    /// Starts a driver that chooses its own port and names it in a line after these words.
    ///
    /// # Errors
    ///
    /// It is not installed, or ends without naming its port.
    pub async fn naming_its_port(mut command: Command, before: &str) -> Result<Self> {
        let mut said = Vec::new();
        for _ in 0..STARTS {
            let (child, mut lines) = start(&mut command)?;
            while let Some(line) = lines.next_line().await? {
                if let Some((_, port)) = line.split_once(before) {
                    let port = port.trim_end_matches('.').parse()?;
                    return Ok(Self::reading(child, port, lines));
                }
                said.push(line);
            }
        }
        let said = said.join("\n");
        bail!("{command:?} ended {STARTS} times without naming its port:\n{said}")
    }

    /// Starts a driver that is told its port, by the argument `--port`.
    ///
    /// # Errors
    ///
    /// It is not installed.
    pub fn told_its_port(mut command: Command) -> Result<Self> {
        let port = TcpListener::bind((Ipv4Addr::LOCALHOST, 0))?
            .local_addr()?
            .port();
        command.arg(format!("--port={port}"));
        let (child, lines) = start(&mut command)?;
        Ok(Self::reading(child, port, lines))
    }

    /// Goes on reading, so that neither the driver nor its browser ever waits for room to speak.
    fn reading<R>(child: Child, port: u16, mut lines: Lines<BufReader<R>>) -> Self
    where
        R: AsyncRead + Send + Unpin + 'static,
    {
        let said: Arc<Mutex<Vec<String>>> = Arc::default();
        let all = Arc::clone(&said);
        tokio::spawn(async move {
            while let Ok(Some(line)) = lines.next_line().await {
                all.lock()
                    .unwrap_or_else(PoisonError::into_inner)
                    .push(line);
            }
        });
        let group = child.id();
        Self {
            child,
            group,
            port,
            said,
        }
    }

    /// Opens a session.
    ///
    /// # Errors
    ///
    /// The browser is not installed, or does not start.
    pub async fn session(&self, mut capabilities: Capabilities) -> Result<Client> {
        // Milliseconds. A machine with much else to do takes its time over a long script.
        capabilities.insert("timeouts".into(), json!({ "script": 120_000 }));
        let address = format!("http://127.0.0.1:{}", self.port);
        let mut refused = None;
        // A driver that was told its port does not tell when it listens there.
        for _ in 0..100 {
            let connection = tokio::net::TcpStream::connect(("127.0.0.1", self.port)).await;
            if let Err(error) = connection {
                refused = Some(error);
                tokio::time::sleep(Duration::from_millis(50)).await;
                continue;
            }
            return ClientBuilder::new(HttpConnector::new())
                .capabilities(capabilities)
                .connect(&address)
                .await
                .context("the browser does not start");
        }
        bail!("the driver does not listen: {refused:?}")
    }

    /// What driver and browser wrote since the last call.
    pub fn said(&self) -> Vec<String> {
        std::mem::take(&mut *self.said.lock().unwrap_or_else(PoisonError::into_inner))
    }

    /// Closes the browser of a session, then ends the driver.
    ///
    /// # Errors
    ///
    /// The session is already gone, or the driver cannot be ended.
    pub async fn end(mut self, client: &Client) -> Result<()> {
        client.clone().close().await?;
        Ok(self.child.kill().await?)
    }
}

type Said = Lines<BufReader<tokio::process::ChildStdout>>;

fn start(command: &mut Command) -> Result<(Child, Said)> {
    let mut child = command
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .process_group(0)
        .kill_on_drop(true)
        .spawn()
        .with_context(|| format!("{command:?} does not start; `bash tests/run.sh` installs it"))?;
    let output = child.stdout.take().context("no output")?;
    Ok((child, BufReader::new(output).lines()))
}
