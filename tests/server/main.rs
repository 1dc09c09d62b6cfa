//! The server of the built app, asked over plain sockets.

use std::fs;
use std::io::{Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::time::Duration;

use anyhow::{Context, Result};
use laneside_tests::server::Server;

fn folder(page: &str) -> Result<tempfile::TempDir> {
    let folder = tempfile::tempdir()?;
    fs::write(folder.path().join("index.html"), page)?;
    Ok(folder)
}

fn ask(stream: &mut TcpStream, path: &str, more: &str) -> Result<String> {
    stream.set_read_timeout(Some(Duration::from_secs(5)))?;
    write!(
        stream,
        "GET {path} HTTP/1.1\r\nHost: localhost\r\n{more}\r\n"
    )?;
    let mut answer = String::new();
    let mut part = [0; 4096];
    loop {
        let length = stream.read(&mut part)?;
        answer.push_str(&String::from_utf8_lossy(&part[..length]));
        let body = answer.split_once("\r\n\r\n").map(|(_, body)| body.len());
        let whole = header(&answer, "content-length").and_then(|text| text.parse().ok());
        if length == 0 || body.is_some() && body >= whole {
            return Ok(answer);
        }
    }
}

fn get(server: &Server, path: &str, more: &str) -> Result<String> {
    let mut stream = TcpStream::connect(("127.0.0.1", server.port()))?;
    ask(&mut stream, path, more)
}

fn header<'a>(answer: &'a str, name: &str) -> Option<&'a str> {
    answer
        .lines()
        .take_while(|line| !line.is_empty())
        .filter_map(|line| line.split_once(": "))
        .find(|(key, _)| key.eq_ignore_ascii_case(name))
        .map(|(_, value)| value)
}

#[test]
fn types_and_headers_suit_the_app() -> Result<()> {
    let folder = folder("<p>hello</p>")?;
    for (name, kind) in [
        ("a.wasm", "application/wasm"),
        ("a.js", "text/javascript"),
        ("a.css", "text/css"),
        ("a.svg", "image/svg+xml"),
        ("a.webmanifest", "application/manifest+json"),
        ("", "text/html"),
    ] {
        if !name.is_empty() {
            fs::write(folder.path().join(name), "x")?;
        }
        let server = Server::start(folder.path(), 0)?;
        let answer = get(&server, &format!("/{name}"), "")?;
        assert!(answer.starts_with("HTTP/1.1 200"), "{name}: {answer}");
        let found = header(&answer, "content-type").context("no type")?;
        assert_eq!(found.split(';').next(), Some(kind), "{name}");
        assert_eq!(header(&answer, "cache-control"), Some("no-cache"));
        assert_eq!(header(&answer, "x-content-type-options"), Some("nosniff"));
        assert_eq!(header(&answer, "referrer-policy"), Some("no-referrer"));
        let policy = header(&answer, "content-security-policy");
        assert_eq!(policy, Some("frame-ancestors 'none'"));
        assert_eq!(server.requests(), [format!("/{name}")]);
    }
    Ok(())
}

#[test]
fn the_compressed_copy_goes_to_those_who_take_it() -> Result<()> {
    let folder = folder("plain")?;
    fs::write(folder.path().join("index.html.br"), "small")?;
    let server = Server::start(folder.path(), 0)?;
    let answer = get(&server, "/index.html", "Accept-Encoding: br\r\n")?;
    assert_eq!(header(&answer, "content-encoding"), Some("br"));
    assert!(answer.ends_with("small"), "{answer}");
    let answer = get(&server, "/index.html", "")?;
    assert_eq!(header(&answer, "content-encoding"), None);
    assert!(answer.ends_with("plain"), "{answer}");
    Ok(())
}

#[test]
fn nothing_outside_the_folder_is_served() -> Result<()> {
    let outer = tempfile::tempdir()?;
    fs::write(outer.path().join("secret"), "secret")?;
    let inner = outer.path().join("inner");
    fs::create_dir(&inner)?;
    fs::write(inner.join("index.html"), "page")?;
    let server = Server::start(&inner, 0)?;
    for path in ["/../secret", "/%2e%2e/secret", "/..%2fsecret"] {
        let answer = get(&server, path, "")?;
        assert!(!answer.contains("\r\n\r\nsecret"), "{path}: {answer}");
    }
    Ok(())
}

#[test]
fn stopping_cuts_open_connections_and_frees_the_port() -> Result<()> {
    let (first, second) = (folder("first")?, folder("second")?);
    let server = Server::start(first.path(), 0)?;
    let port = server.port();
    let mut kept = TcpStream::connect(("127.0.0.1", port))?;
    assert!(ask(&mut kept, "/", "")?.ends_with("first"));
    server.stop();
    let answer = ask(&mut kept, "/", "").unwrap_or_default();
    assert_eq!(answer, "", "a stopped server answers nobody");
    assert!(TcpStream::connect(("127.0.0.1", port)).is_err());
    let server = Server::start(second.path(), port)?;
    assert!(get(&server, "/", "")?.ends_with("second"));
    Ok(())
}

#[test]
fn a_folder_without_a_page_is_refused() {
    let error = Server::start(Path::new("no-such-folder"), 0).map(|server| server.port());
    let text = error.map_err(|error| error.to_string());
    assert!(text.is_err_and(|text| text.contains("build the app first")));
}
