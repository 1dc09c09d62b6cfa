//! Serves a built app on loopback, as a static host would.

use std::io;
use std::net::{Ipv4Addr, SocketAddr};
use std::path::Path;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;

use axum::Router;
use axum::extract::Request;
use axum::http::header::{self, HeaderName, HeaderValue};
use axum::middleware::{self, Next};
use serde_json::{Value, json};
use tokio::net::TcpListener;
use tokio::runtime::{Builder, Runtime};
use tower_http::services::ServeDir;
use tower_http::set_header::SetResponseHeaderLayer;

/// The headers that only a server can set, or that a page cannot trust its host to set.
///
/// The rest of the content security policy is in the page itself, since a static host may set no
/// headers at all: `frame-ancestors` is the one part that a page cannot say.
const HEADERS: [(HeaderName, &str); 4] = [
    (header::CACHE_CONTROL, "no-cache"),
    (header::CONTENT_SECURITY_POLICY, "frame-ancestors 'none'"),
    (header::REFERRER_POLICY, "no-referrer"),
    (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
];

/// A running server; stopping it, or dropping it, cuts every open connection.
#[derive(Debug)]
pub struct Server {
    address: SocketAddr,
    requests: Arc<Mutex<Vec<String>>>,
    runtime: Option<Runtime>,
}

impl Server {
    /// Serves the folder on a loopback port; port 0 takes a free one.
    ///
    /// # Errors
    ///
    /// The folder has no `index.html`, or the port is taken.
    pub fn start(folder: &Path, port: u16) -> io::Result<Self> {
        if !folder.join("index.html").is_file() {
            let message = format!(
                "{} has no index.html: build the app first",
                folder.display()
            );
            return Err(io::Error::new(io::ErrorKind::NotFound, message));
        }
        let listener = std::net::TcpListener::bind((Ipv4Addr::LOCALHOST, port))?;
        listener.set_nonblocking(true)?;
        let address = listener.local_addr()?;
        // A runtime of its own: shutting it down is the only way to cut kept-alive connections,
        // which would otherwise go on answering for a server that is gone.
        let runtime = Builder::new_multi_thread()
            .worker_threads(1)
            .enable_all()
            .build()?;
        let listener = {
            let _entered = runtime.enter();
            TcpListener::from_std(listener)?
        };
        let requests = Arc::default();
        let app = routes(folder, address, Arc::clone(&requests));
        runtime.spawn(async move { axum::serve(listener, app).await });
        Ok(Self {
            address,
            requests,
            runtime: Some(runtime),
        })
    }

    /// The address of the page, with a slash at the end.
    #[must_use]
    pub fn url(&self) -> String {
        format!("http://{}/", self.address)
    }

    /// The port that is listened on.
    #[must_use]
    pub fn port(&self) -> u16 {
        self.address.port()
    }

    /// This server as a session's proxy: it is then asked for everything, serves its own, and notes the rest.
    pub fn as_proxy(&self) -> (String, Value) {
        let here = self.address.to_string();
        let proxy = json!({
            "proxyType": "manual",
            "httpProxy": here,
            "sslProxy": here,
        });
        ("proxy".to_owned(), proxy)
    }

    /// The paths asked for so far, in order; of what others were asked for through it, the whole address.
    #[must_use]
    pub fn requests(&self) -> Vec<String> {
        self.requests
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .clone()
    }

    /// Stops at once, and returns when the port is free again.
    pub fn stop(mut self) {
        if let Some(runtime) = self.runtime.take() {
            let waiting = std::thread::spawn(|| runtime.shutdown_timeout(Duration::from_secs(5)));
            // The thread has nothing to report but its end.
            drop(waiting.join());
        }
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        if let Some(runtime) = self.runtime.take() {
            runtime.shutdown_background();
        }
    }
}

fn routes(folder: &Path, address: SocketAddr, requests: Arc<Mutex<Vec<String>>>) -> Router {
    let note = move |request: Request, next: Next| {
        let asked = request.uri();
        let is_own = asked
            .authority()
            .is_none_or(|host| *host == address.to_string());
        let asked = if is_own {
            asked.path().to_owned()
        } else {
            asked.to_string()
        };
        requests
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .push(asked);
        next.run(request)
    };
    let files = ServeDir::new(folder).precompressed_br();
    let router = Router::new()
        .fallback_service(files)
        .layer(middleware::from_fn(note));
    HEADERS.into_iter().fold(router, |router, (name, value)| {
        router.layer(SetResponseHeaderLayer::overriding(
            name,
            HeaderValue::from_static(value),
        ))
    })
}
