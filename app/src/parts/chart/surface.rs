//! The canvas with its pixel size, its font and the widths of texts already measured.

use js_sys::Array;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{CanvasRenderingContext2d, HtmlCanvasElement};

use super::scale::SUB;

/// Texts remembered before the memory is emptied: far more than one chart shows.
const WIDTHS_MOST: usize = 400;

/// A canvas ready to be drawn on.
pub struct Surface {
    /// The canvas.
    pub canvas: HtmlCanvasElement,
    /// Its context, the same that plotters draws with.
    pub context: CanvasRenderingContext2d,
    /// Device pixels per CSS pixel.
    pub density: f64,
    /// Text size in CSS pixels.
    pub em: f64,
    /// Font family as CSS writes it.
    pub family: String,
    widths: Vec<(String, f64)>,
}

impl Surface {
    /// Takes a canvas, if it can be drawn on.
    pub fn new(canvas: HtmlCanvasElement) -> Option<Self> {
        let context = canvas.get_context("2d").ok()??.dyn_into().ok()?;
        Some(Self {
            canvas,
            context,
            density: 1.0,
            em: 14.0,
            family: "sans-serif".to_owned(),
            widths: Vec::new(),
        })
    }

    /// Sets the font and forgets widths that no longer hold.
    pub fn set_font(&mut self, em: f64, family: String) {
        if em != self.em || family != self.family {
            self.em = em;
            self.family = family;
            self.widths.clear();
        }
    }

    /// Sets the device pixels per CSS pixel, which may change as the page moves between screens.
    pub fn set_density(&mut self, density: f64) {
        let density = density.max(1.0);
        if density != self.density {
            self.density = density;
            self.widths.clear();
        }
    }

    /// Plotters' units per CSS pixel.
    pub fn unit(&self) -> f64 {
        self.density * f64::from(SUB)
    }

    /// The size of the font in plotters' units.
    pub fn font_size(&self) -> f64 {
        self.em * self.unit()
    }

    /// Prepares for measuring: the very font that plotters will draw with, so that it is parsed
    /// once.
    pub fn start(&self) {
        let font = format!("normal {}px {}", self.font_size(), self.family);
        self.context.set_font(&font);
    }

    /// The width of a text in CSS pixels.
    ///
    /// Measured by the canvas: plotters' own estimate would put an element into the page, with a
    /// reflow for every text.
    pub fn measure(&mut self, text: &str) -> f64 {
        if let Some((_, width)) = self.widths.iter().find(|(known, _)| known == text) {
            return *width;
        }
        let width = match self.context.measure_text(text) {
            Ok(metrics) => metrics.width() / self.unit(),
            // About what a sans-serif face takes.
            Err(_) => text.chars().count() as f64 * 0.6 * self.em,
        };
        if self.widths.len() >= WIDTHS_MOST {
            self.widths.clear();
        }
        self.widths.push((text.to_owned(), width));
        width
    }

    /// Gives the canvas its size in device pixels and scales it so that plotters' units fit.
    pub fn fit(&self, width: f64, height: f64) {
        let across = (width * self.density).round().max(1.0);
        let down = (height * self.density).round().max(1.0);
        // Setting a size empties the canvas even when nothing changes.
        if f64::from(self.canvas.width()) != across || f64::from(self.canvas.height()) != down {
            self.canvas.set_width(across as u32);
            self.canvas.set_height(down as u32);
            let style = self.canvas.style();
            // Exactly the device pixels: a canvas stretched by a fraction of one is blurred.
            for (name, size) in [("width", across), ("height", down)] {
                let size = format!("{}px", size / self.density);
                // A refusal leaves the canvas at its natural size, which still shows all.
                let _ = style.set_property(name, &size);
            }
        }
        let part = 1.0 / f64::from(SUB);
        // Only fails on values that are not numbers.
        let _ = self.context.set_transform(part, 0.0, 0.0, part, 0.0, 0.0);
    }

    /// Sets dash and gap in plotters' units; none for a solid line.
    pub fn set_dash(&self, dash: Option<(f64, f64)>) {
        let list = Array::new();
        if let Some((on, off)) = dash {
            list.push(&JsValue::from_f64(on));
            list.push(&JsValue::from_f64(off));
        }
        // Only fails on values that are not numbers; the line is then solid.
        let _ = self.context.set_line_dash(&list);
    }
}
