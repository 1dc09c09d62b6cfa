//! The camera at the phone's back: pictures of gray values, a few a second, none of them kept. Dropped, it is free again.

use js_sys::futures::JsFuture;
use leptos::prelude::{document, window};
use std::cell::{Cell, RefCell};
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{
    CanvasRenderingContext2d, DomException, HtmlCanvasElement, HtmlVideoElement, MediaStream,
    MediaStreamConstraints, MediaStreamTrack, MediaTrackConstraints,
};

/// The longer side of a picture that is looked through, in pixels: more costs time and finds no more.
const SIDE: f64 = 1_280.0;

/// Why it does not see.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Blind {
    /// The page was not loaded safely.
    Insecure,
    /// The browser cannot do it.
    Old,
    /// The person, or the phone, said no.
    Refused,
    /// There is none.
    Missing,
    /// Another app has it, or it stopped.
    Busy,
}

fn blind_of(error: &JsValue) -> Blind {
    let name = error.dyn_ref::<DomException>().map(DomException::name);
    match name.as_deref() {
        Some("NotAllowedError" | "SecurityError") => Blind::Refused,
        Some("NotFoundError" | "OverconstrainedError") => Blind::Missing,
        Some(_) => Blind::Busy,
        None => Blind::Old,
    }
}

/// An open camera, or one that is being opened.
#[derive(Default)]
pub struct Camera {
    stream: RefCell<Option<MediaStream>>,
    context: RefCell<Option<CanvasRenderingContext2d>>,
    is_closed: Cell<bool>,
}

impl Camera {
    /// Asks the person for it, and shows what it sees in `video`.
    pub async fn open(&self, video: &HtmlVideoElement) -> Result<(), Blind> {
        if !window().is_secure_context() {
            return Err(Blind::Insecure);
        }
        let devices = window().navigator().media_devices().ok();
        let devices = devices.filter(|devices| !devices.is_undefined());
        let devices = devices.ok_or(Blind::Old)?;
        let track = MediaTrackConstraints::new();
        track.set_facing_mode(&"environment".into());
        track.set_width(&SIDE.into());
        let wanted = MediaStreamConstraints::new();
        wanted.set_video(&track);
        let asked = devices.get_user_media_with_constraints(&wanted);
        let asked = asked.map_err(|error| blind_of(&error))?;
        let stream = JsFuture::from(asked)
            .await
            .map_err(|error| blind_of(&error))?;
        let stream: MediaStream = stream.unchecked_into();
        // Never `clone`: that is the stream's own, and makes a second one that nobody stops.
        self.stream.replace(Some(stream));
        // The person may have gone on while being asked.
        if self.is_closed.get() {
            self.close();
            return Ok(());
        }
        video.set_src_object(self.stream.borrow().as_ref());
        let playing = video.play().map_err(|_| Blind::Old)?;
        JsFuture::from(playing).await.map_err(|_| Blind::Busy)?;
        Ok(())
    }

    /// Gray values of what it sees now, row by row, and the width of a row; none while it sees nothing.
    pub fn picture(&self, video: &HtmlVideoElement) -> Option<(Vec<u8>, usize)> {
        let (width, height) = (video.video_width(), video.video_height());
        let shrink = (SIDE / f64::from(width.max(height))).min(1.0);
        let of = |side: u32| (f64::from(side) * shrink).round();
        let (width, height) = (of(width), of(height));
        if self.is_closed.get() || width < 1.0 || height < 1.0 {
            return None;
        }
        let mut context = self.context.borrow_mut();
        if context.is_none() {
            let canvas = document().create_element("canvas").ok()?;
            let canvas: HtmlCanvasElement = canvas.dyn_into().ok()?;
            let options = js_sys::Object::new();
            let _ = js_sys::Reflect::set(&options, &"willReadFrequently".into(), &true.into());
            let made = canvas.get_context_with_context_options("2d", &options);
            *context = Some(made.ok()??.dyn_into().ok()?);
        }
        let context = context.as_ref()?;
        let canvas = context.canvas()?;
        if f64::from(canvas.width()) != width || f64::from(canvas.height()) != height {
            canvas.set_width(width as u32);
            canvas.set_height(height as u32);
        }
        context
            .draw_image_with_html_video_element_and_dw_and_dh(video, 0.0, 0.0, width, height)
            .ok()?;
        let data = context.get_image_data(0.0, 0.0, width, height);
        let data = data.ok()?.data();
        // The weights of ITU-R BT.601 in parts of 256.
        let gray = |pixel: &[u8]| {
            let sum =
                77 * u32::from(pixel[0]) + 150 * u32::from(pixel[1]) + 29 * u32::from(pixel[2]);
            (sum >> 8) as u8
        };
        Some((
            data.as_chunks::<4>().0.iter().map(|p| gray(p)).collect(),
            width as usize,
        ))
    }

    /// Whether it has stopped by itself.
    pub fn is_lost(&self) -> bool {
        self.stream
            .borrow()
            .as_ref()
            .is_some_and(|stream| !stream.active())
    }

    /// Frees it.
    pub fn close(&self) {
        self.is_closed.set(true);
        if let Some(stream) = self.stream.take() {
            for track in stream.get_tracks().iter() {
                track.unchecked_into::<MediaStreamTrack>().stop();
            }
        }
    }
}

impl Drop for Camera {
    fn drop(&mut self) {
        self.close();
    }
}
