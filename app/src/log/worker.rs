//! The worker's side: the same module as the page's, in a thread of its own.
//!
//! It reads without waiting for promises, so that a fault of any kind ends it with an error that the page
//! hears of; to cancel it, the page ends it.

use super::bench::{self, Bench};
use super::told::{Ask, Told};
use js_sys::{Array, Uint8Array};
use std::cell::RefCell;
use wasm_bindgen::JsCast;
use wasm_bindgen::closure::Closure;
use web_sys::{Blob, DedicatedWorkerGlobalScope, FileReaderSync, MessageEvent};

/// Bytes read at a time: some milliseconds of work, between two reports of progress.
const SLICE: f64 = 1_048_576.0;

/// Listens to the page for as long as the worker lives.
pub fn start(scope: &DedicatedWorkerGlobalScope) {
    let bench = RefCell::new(Bench::default());
    let page = scope.clone();
    let heard = Closure::<dyn Fn(MessageEvent)>::new(move |event: MessageEvent| {
        let Some(ask) = Ask::from_js(&event.data()) else {
            return;
        };
        let mut bench = bench.borrow_mut();
        let told = match ask {
            Ask::Read(file, known) => {
                bench.open(file, &known);
                read(&page, &mut bench)
            }
            Ask::Answer(answer) => {
                bench.answer(&answer);
                read(&page, &mut bench)
            }
            Ask::Confirm(picks, car) => bench.confirm(&picks, &car),
            Ask::Look(recording, rules, car) => bench::look(&recording, &rules, &car),
        };
        tell(&page, &told);
    });
    scope.set_onmessage(Some(heard.as_ref().unchecked_ref()));
    heard.forget();
    tell(scope, &Told::Ready);
}

fn tell(page: &DedicatedWorkerGlobalScope, told: &Told) {
    let moved = Array::new();
    let message = told.to_js(&moved);
    // Refused only where the page is gone.
    let _ = page.post_message_with_transfer(&message, &moved);
}

fn read(page: &DedicatedWorkerGlobalScope, bench: &mut Bench) -> Told {
    let Some(file) = bench.file().cloned() else {
        return Told::unread();
    };
    let Ok(reader) = FileReaderSync::new() else {
        return Told::unread();
    };
    let (size, mut at) = (file.size(), 0.0);
    let mut bytes = Vec::new();
    bench.begin();
    while at < size {
        let end = (at + SLICE).min(size);
        if !slice(&reader, &file, at, end, &mut bytes) {
            return Told::unread();
        }
        if let Some(failed) = bench.push(&bytes) {
            return failed;
        }
        at = end;
        tell(page, &Told::Progress(at / size));
    }
    bench.end()
}

/// Reads a stretch of the file; `false` where the browser cannot.
fn slice(reader: &FileReaderSync, file: &Blob, from: f64, to: f64, bytes: &mut Vec<u8>) -> bool {
    let read = file
        .slice_with_f64_and_f64(from, to)
        .and_then(|part| reader.read_as_array_buffer(&part));
    let Ok(buffer) = read else {
        return false;
    };
    let view = Uint8Array::new(&buffer);
    bytes.resize(view.length() as usize, 0);
    view.copy_to(bytes);
    true
}
