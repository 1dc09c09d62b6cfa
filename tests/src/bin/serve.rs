//! Serves a built app on loopback until interrupted: `serve DIR [--port N]`.

use std::path::PathBuf;

use anyhow::{Context, Result};
use laneside_tests::server::Server;
use lexopt::prelude::*;

/// The port when none is named; when it is taken, a free one is used instead.
const PORT: u16 = 8740;

fn main() -> Result<()> {
    let mut folder = None;
    let mut port = None;
    let mut arguments = lexopt::Parser::from_env();
    while let Some(argument) = arguments.next()? {
        match argument {
            Long("port") => port = Some(arguments.value()?.parse()?),
            Value(value) if folder.is_none() => folder = Some(PathBuf::from(value)),
            other => return Err(other.unexpected().into()),
        }
    }
    let folder = folder.context("name the folder to serve: serve DIR [--port N]")?;
    let server = match port {
        Some(port) => Server::start(&folder, port).with_context(|| format!("port {port}"))?,
        None => Server::start(&folder, PORT).or_else(|_| Server::start(&folder, 0))?,
    };
    println!("laneside: open {} (Ctrl-C ends it)", server.url());
    tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()?
        .block_on(tokio::signal::ctrl_c())?;
    server.stop();
    Ok(())
}
