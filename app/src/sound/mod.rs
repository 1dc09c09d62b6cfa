//! Sound on its way from the microphone to plucks: the microphone, the worker that listens, and what the page knows.
//!
//! Sound is taken by an audio worklet (`app/build/sound.js`), goes over the page to the worker and is gone there once
//! it has been looked through. Nothing records it.

mod microphone;
mod session;
pub mod worker;

pub use session::Session;

use js_sys::Float64Array;
use laneside_core::belt::pluck::{Look, NotHeard};
use wasm_bindgen::{JsCast, JsValue};

/// Why nothing is listened to any more.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    /// The person, or a setting, does not let the page hear.
    Refused,
    /// The phone has no microphone.
    NoMicrophone,
    /// The microphone cannot be had: another app may hold it.
    Busy,
    /// The page did not come over a secure connection: browsers give it no microphone then.
    Insecure,
    /// The browser is too old.
    Old,
    /// The microphone gives nothing any more.
    Lost,
    /// Time is up.
    TimeUp,
}

/// What the last seconds held.
#[derive(Clone, Debug, PartialEq)]
pub struct Found {
    /// Why there is no pluck in them.
    pub not_heard: Option<NotHeard>,
    /// Plucks not told before, Hz.
    pub heard_hz: Vec<f64>,
}

/// What a session tells.
#[derive(Clone, Debug, PartialEq)]
pub enum Told {
    /// The microphone is open.
    Open,
    /// The last seconds were looked through.
    Look(Found),
    /// It is over; the microphone is free again.
    Ended(End),
}

/// As a message: why there is no pluck (0: there is one), how often an engine repeats, then the new plucks, Hz.
fn look_to_js(look: &Look) -> JsValue {
    let (why, engine_hz) = match look.not_heard {
        None => (0.0, 0.0),
        Some(NotHeard::TooShort) => (1.0, 0.0),
        Some(NotHeard::Silence) => (2.0, 0.0),
        Some(NotHeard::Clipped) => (3.0, 0.0),
        Some(NotHeard::Noise) => (4.0, 0.0),
        Some(NotHeard::Engine { hz }) => (5.0, hz),
        Some(NotHeard::Torn) => (6.0, 0.0),
    };
    let mut numbers = vec![why, engine_hz];
    numbers.extend(look.heard.iter().map(|pluck| pluck.hz));
    Float64Array::from(numbers.as_slice()).into()
}

/// From a message.
fn found_from_js(message: &JsValue) -> Option<Found> {
    let numbers = message.dyn_ref::<Float64Array>()?.to_vec();
    let [why, hz, heard @ ..] = numbers.as_slice() else {
        return None;
    };
    let not_heard = match *why as u8 {
        1 => Some(NotHeard::TooShort),
        2 => Some(NotHeard::Silence),
        3 => Some(NotHeard::Clipped),
        4 => Some(NotHeard::Noise),
        5 => Some(NotHeard::Engine { hz: *hz }),
        6 => Some(NotHeard::Torn),
        _ => None,
    };
    Some(Found {
        not_heard,
        heard_hz: heard.to_vec(),
    })
}
