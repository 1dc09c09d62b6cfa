//! WebDriver BiDi, as far as the tests need it: commands, and what the page's log says meanwhile.

use std::sync::atomic::{AtomicU64, Ordering};

use anyhow::{Context, Result, bail};
use futures_util::{SinkExt, StreamExt};
use serde_json::{Value, json};
use tokio::net::TcpStream;
use tokio::sync::Mutex;
use tokio_tungstenite::tungstenite::Message;
use tokio_tungstenite::{MaybeTlsStream, WebSocketStream, connect_async};

/// The second connection to a session of which the first speaks classic WebDriver.
#[derive(Debug)]
pub struct Bidi {
    socket: Mutex<WebSocketStream<MaybeTlsStream<TcpStream>>>,
    told: Mutex<Vec<String>>,
    last: AtomicU64,
}

impl Bidi {
    /// Connects to the address that the session named, and listens to the page's log.
    ///
    /// # Errors
    ///
    /// Nothing answers there.
    pub async fn connect(url: &str) -> Result<Self> {
        let (socket, _) = connect_async(url).await?;
        let bidi = Self {
            socket: Mutex::new(socket),
            told: Mutex::default(),
            last: AtomicU64::new(0),
        };
        let events = json!({ "events": ["log.entryAdded"] });
        bidi.send("session.subscribe", events).await?;
        Ok(bidi)
    }

    /// Sends a command and waits for its answer.
    ///
    /// # Errors
    ///
    /// The command is not known, or fails.
    pub async fn send(&self, method: &str, parameters: Value) -> Result<Value> {
        let id = self.last.fetch_add(1, Ordering::Relaxed) + 1;
        let command = json!({ "id": id, "method": method, "params": parameters });
        let mut socket = self.socket.lock().await;
        socket.send(Message::text(command.to_string())).await?;
        while let Some(message) = socket.next().await {
            let Message::Text(text) = message? else {
                continue;
            };
            let answer: Value = serde_json::from_str(text.as_str())?;
            if answer["method"] == "log.entryAdded" {
                self.told.lock().await.push(entry(&answer["params"]));
            }
            if answer["id"] != json!(id) {
                continue;
            }
            if answer["type"] == "error" {
                bail!("{method}: {}: {}", answer["error"], answer["message"]);
            }
            return Ok(answer["result"].clone());
        }
        None.with_context(|| format!("the browser left during {method}"))
    }

    /// What the page's log said since the last call.
    ///
    /// # Errors
    ///
    /// The session is gone.
    pub async fn told(&self) -> Result<Vec<String>> {
        // Whatever was said before this answer has been read with it.
        self.send("session.status", json!({})).await?;
        Ok(std::mem::take(&mut *self.told.lock().await))
    }
}

fn entry(entry: &Value) -> String {
    let text = |key: &str| entry[key].as_str().unwrap_or_default().to_owned();
    format!("{} {}: {}", text("level"), text("type"), text("text"))
}
