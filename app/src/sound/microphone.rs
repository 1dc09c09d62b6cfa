//! The microphone, without what browsers do to voices. Dropped, it is free again.

use super::End;
use js_sys::Array;
use js_sys::futures::JsFuture;
use leptos::prelude::window;
use leptos::task::spawn_local;
use std::cell::{Cell, RefCell};
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{
    AudioContext, AudioWorkletNode, DomException, Event, MediaStream, MediaStreamConstraints,
    MediaStreamTrack, MediaTrackConstraints, MessageEvent,
};

/// The processor's file, and its name.
const WORKLET: (&str, &str) = ("sound.js", "sound");

/// An open microphone, or one that is being opened.
pub struct Microphone {
    context: AudioContext,
    is_closed: Cell<bool>,
    stream: RefCell<Option<MediaStream>>,
    node: RefCell<Option<AudioWorkletNode>>,
}

impl Microphone {
    /// Gets ready, at once: later than in the tap itself a phone would not let sound run.
    pub fn new() -> Result<Self, End> {
        if !window().is_secure_context() {
            return Err(End::Insecure);
        }
        Ok(Self {
            context: AudioContext::new().map_err(|_| End::Old)?,
            is_closed: Cell::new(false),
            stream: RefCell::new(None),
            node: RefCell::new(None),
        })
    }

    /// Samples a second.
    pub fn rate(&self) -> f64 {
        f64::from(self.context.sample_rate())
    }

    /// Asks the person for the microphone.
    pub async fn ask(&self) -> Result<(), End> {
        let devices = window()
            .navigator()
            .media_devices()
            .ok()
            .filter(|devices| !devices.is_undefined())
            .ok_or(End::Old)?;
        let track = MediaTrackConstraints::new();
        // What cleans a voice takes a belt's tone for noise.
        track.set_echo_cancellation(&JsValue::FALSE);
        track.set_noise_suppression(&JsValue::FALSE);
        track.set_auto_gain_control(&JsValue::FALSE);
        let wanted = MediaStreamConstraints::new();
        wanted.set_audio(&track);
        let asked = devices
            .get_user_media_with_constraints(&wanted)
            .map_err(|error| end_of(&error))?;
        let stream = JsFuture::from(asked)
            .await
            .map_err(|error| end_of(&error))?;
        self.stream.replace(Some(stream.unchecked_into()));
        Ok(())
    }

    /// Has the sound handed on, piece by piece.
    pub async fn connect(&self, on_piece: &Closure<dyn Fn(MessageEvent)>) -> Result<(), End> {
        let old = |_: JsValue| End::Old;
        let worklet = self.context.audio_worklet().map_err(old)?;
        if worklet.is_undefined() || self.is_closed.get() {
            return Err(End::Old);
        }
        let added = worklet.add_module(WORKLET.0).map_err(old)?;
        JsFuture::from(added).await.map_err(old)?;
        let Some(stream) = self.stream.borrow().clone() else {
            return Err(End::Lost);
        };
        let node = AudioWorkletNode::new(&self.context, WORKLET.1).map_err(old)?;
        let port = node.port().map_err(old)?;
        port.set_onmessage(Some(on_piece.as_ref().unchecked_ref()));
        let source = self
            .context
            .create_media_stream_source(&stream)
            .map_err(|_| End::Busy)?;
        source.connect_with_audio_node(&node).map_err(old)?;
        // It gives out silence: only what leads to the speaker is sure to be run.
        let speaker = self.context.destination();
        node.connect_with_audio_node(&speaker).map_err(old)?;
        self.node.replace(Some(node));
        // Whether it runs shows in whether sound comes.
        let resumed = self.context.resume().map_err(old)?;
        spawn_local(async move { drop(JsFuture::from(resumed).await) });
        Ok(())
    }

    /// Calls when the phone takes the microphone away.
    pub fn on_lost(&self, lost: &Closure<dyn Fn(Event)>) {
        for track in tracks(self.stream.borrow().as_ref()) {
            track.set_onended(Some(lost.as_ref().unchecked_ref()));
        }
    }

    /// Frees the microphone; once more if the person allowed it too late.
    pub fn release(&self) {
        if let Some(node) = self.node.take()
            && let Ok(port) = node.port()
        {
            port.set_onmessage(None);
            port.close();
        }
        for track in tracks(self.stream.take().as_ref()) {
            track.set_onended(None);
            track.stop();
        }
        if !self.is_closed.replace(true) {
            let _ = self.context.close();
        }
    }
}

fn tracks(stream: Option<&MediaStream>) -> Vec<MediaStreamTrack> {
    let tracks = stream.map(MediaStream::get_audio_tracks);
    let tracks = tracks.map_or_else(Array::new, |tracks| tracks.unchecked_into());
    tracks
        .iter()
        .filter_map(|track| track.dyn_into().ok())
        .collect()
}

/// Why the browser gives no microphone.
fn end_of(error: &JsValue) -> End {
    let name = error.dyn_ref::<DomException>().map(DomException::name);
    match name.as_deref() {
        Some("NotAllowedError" | "SecurityError") => End::Refused,
        Some("NotFoundError") => End::NoMicrophone,
        Some(_) => End::Busy,
        None => End::Old,
    }
}
