//! Ways to break a version: a module that traps, and a download that ends in the middle.

use std::io::{BufRead, BufReader, Write};
use std::net::{TcpListener, TcpStream};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Arc, Mutex};
use std::thread;

use anyhow::{Context, Result, bail};

/// Reads a LEB128 number, as the WebAssembly core specification, section 5.2.2, has it; also how many bytes it took.
fn number(bytes: &[u8]) -> Result<(usize, usize)> {
    let mut value = 0;
    for (at, byte) in bytes.iter().enumerate().take(5) {
        value |= usize::from(byte & 0x7f) << (7 * at);
        if byte & 0x80 == 0 {
            return Ok((value, at + 1));
        }
    }
    bail!("not a number")
}

fn write_number(mut value: usize, to: &mut Vec<u8>) {
    loop {
        let byte = (value & 0x7f) as u8;
        value >>= 7;
        if value == 0 {
            to.push(byte);
            return;
        }
        to.push(byte | 0x80);
    }
}

/// The module with `unreachable` before the first instruction of every function: it is whole, and traps wherever it is
/// entered.
pub fn trapping(module: &[u8]) -> Result<Vec<u8>> {
    const CODE: u8 = 10;
    const UNREACHABLE: u8 = 0;
    let mut broken = module[..8].to_vec();
    let mut at = 8;
    let mut found = 0;
    while at < module.len() {
        let id = module[at];
        let (size, taken) = number(&module[at + 1..])?;
        let start = at + 1 + taken;
        let content = module
            .get(start..start + size)
            .context("a section is cut")?;
        at = start + size;
        broken.push(id);
        if id != CODE {
            write_number(size, &mut broken);
            broken.extend_from_slice(content);
            continue;
        }
        let (count, mut place) = number(content)?;
        let mut code = Vec::with_capacity(size + 2 * count);
        write_number(count, &mut code);
        for _ in 0..count {
            let (size, taken) = number(&content[place..])?;
            let body = &content[place + taken..place + taken + size];
            place += taken + size;
            // The kinds of local variables come first: a count and a type each.
            let (kinds, mut locals) = number(body)?;
            for _ in 0..kinds {
                locals += number(&body[locals..])?.1 + 1;
            }
            write_number(size + 1, &mut code);
            code.extend_from_slice(&body[..locals]);
            code.push(UNREACHABLE);
            code.extend_from_slice(&body[locals..]);
            found += 1;
        }
        write_number(code.len(), &mut broken);
        broken.extend_from_slice(&code);
    }
    anyhow::ensure!(found > 100, "only {found} functions in the module");
    Ok(broken)
}

/// Serves a folder, and cuts the connection in the middle of one of its files.
pub struct Cutting {
    cuts: Arc<AtomicUsize>,
    listener: TcpListener,
    stop: Arc<Mutex<bool>>,
}

impl Cutting {
    pub fn start(folder: &Path, port: u16, cut: &str) -> Result<Self> {
        let listener = TcpListener::bind(("127.0.0.1", port))?;
        let cuts = Arc::new(AtomicUsize::new(0));
        let stop = Arc::new(Mutex::new(false));
        let served = (folder.to_owned(), cut.to_owned());
        let (counted, stopped, accepting) =
            (Arc::clone(&cuts), Arc::clone(&stop), listener.try_clone()?);
        thread::spawn(move || {
            for stream in accepting.incoming().flatten() {
                if stopped.lock().is_ok_and(|stopped| *stopped) {
                    return;
                }
                let ((folder, cut), counted) = (served.clone(), Arc::clone(&counted));
                // What the browser hangs up on is no fault of the server.
                thread::spawn(move || drop(answer(stream, &folder, &cut, &counted)));
            }
        });
        Ok(Self {
            cuts,
            listener,
            stop,
        })
    }

    /// How often the file was cut.
    pub fn cuts(&self) -> usize {
        self.cuts.load(Ordering::SeqCst)
    }

    pub fn stop(self) -> Result<()> {
        if let Ok(mut stop) = self.stop.lock() {
            *stop = true;
        }
        // Wakes the thread up, which then ends and frees the port.
        drop(TcpStream::connect(self.listener.local_addr()?));
        thread::sleep(std::time::Duration::from_millis(100));
        Ok(())
    }
}

fn answer(mut stream: TcpStream, folder: &Path, cut: &str, cuts: &AtomicUsize) -> Result<()> {
    let mut lines = BufReader::new(stream.try_clone()?).lines();
    let first = lines.next().context("no request")??;
    while lines
        .next()
        .is_some_and(|line| line.is_ok_and(|line| !line.is_empty()))
    {}
    let path = first.split(' ').nth(1).unwrap_or("/");
    let name = path
        .split('?')
        .next()
        .unwrap_or_default()
        .trim_start_matches('/');
    let name = if name.is_empty() { "index.html" } else { name };
    let file: PathBuf = folder.join(name);
    let Ok(data) = std::fs::read(&file) else {
        stream.write_all(
            b"HTTP/1.1 404 Not Found\r\nContent-Length: 0\r\nConnection: close\r\n\r\n",
        )?;
        return Ok(());
    };
    let kind = match file.extension().and_then(|end| end.to_str()) {
        Some("html") => "text/html",
        Some("js") => "text/javascript",
        Some("css") => "text/css",
        Some("wasm") => "application/wasm",
        _ => "application/octet-stream",
    };
    let head = format!(
        "HTTP/1.1 200 OK\r\nContent-Type: {kind}\r\nContent-Length: {}\r\nCache-Control: no-cache\r\nConnection: close\r\n\r\n",
        data.len()
    );
    stream.write_all(head.as_bytes())?;
    if name == cut {
        stream.write_all(&data[..data.len() / 2])?;
        cuts.fetch_add(1, Ordering::SeqCst);
        return Ok(());
    }
    stream.write_all(&data)?;
    Ok(())
}
