//! Raw deflate by the browser's own streams: no byte of it is in the app.

use js_sys::futures::JsFuture;
use js_sys::{Array, Function, Reflect, Uint8Array};
use leptos::task::spawn_local;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{ReadableStream, ReadableStreamDefaultReader, WritableStream};

/// Why bytes were not squeezed or unsqueezed.
#[derive(Clone, Copy)]
pub enum Trouble {
    /// This browser has no such streams.
    NoStreams,
    /// They are not squeezed bytes, or not all of them.
    Broken,
    /// There are more in it than can be taken.
    TooLong,
}

/// Squeezes bytes.
pub async fn deflate(bytes: &[u8]) -> Result<Vec<u8>, Trouble> {
    through("CompressionStream", bytes, usize::MAX).await
}

/// Brings them back, `most` of them: what swells beyond that is stopped while it swells.
pub async fn inflate(bytes: &[u8], most: usize) -> Result<Vec<u8>, Trouble> {
    through("DecompressionStream", bytes, most).await
}

async fn through(stream: &str, bytes: &[u8], most: usize) -> Result<Vec<u8>, Trouble> {
    let none = |_: JsValue| Trouble::NoStreams;
    let made = Reflect::get(&js_sys::global(), &stream.into()).map_err(none)?;
    let made: Function = made.dyn_into().map_err(none)?;
    // One that knows no raw deflate throws here.
    let stream = Reflect::construct(&made, &Array::of1(&"deflate-raw".into())).map_err(none)?;
    let end = |end: &str| Reflect::get(&stream, &end.into()).map_err(none);
    let into: WritableStream = end("writable")?.unchecked_into();
    let from: ReadableStream = end("readable")?.unchecked_into();
    let writer = into.get_writer().map_err(none)?;
    let chunk = Uint8Array::from(bytes);
    let written = [writer.write_with_chunk(&chunk), writer.close()];
    for written in written {
        // What is wrong with the bytes is told by the reader.
        spawn_local(async move { drop(JsFuture::from(written).await) });
    }
    let reader: ReadableStreamDefaultReader = from.get_reader().unchecked_into();
    let mut whole = Vec::new();
    loop {
        let read = JsFuture::from(reader.read()).await;
        let read = read.map_err(|_| Trouble::Broken)?;
        let Ok(piece) = Reflect::get(&read, &"value".into()) else {
            return Err(Trouble::Broken);
        };
        let Some(piece) = piece.dyn_ref::<Uint8Array>() else {
            return Ok(whole);
        };
        if piece.length() as usize > most - whole.len() {
            let stopped = reader.cancel();
            spawn_local(async move { drop(JsFuture::from(stopped).await) });
            return Err(Trouble::TooLong);
        }
        whole.extend(piece.to_vec());
    }
}
