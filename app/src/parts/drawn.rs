//! A page of texts and a code, drawn: the same on the screen, on paper and as a picture. Dark on light in any theme.

use super::chart::wrap;
use super::verdict::Status;
use js_sys::futures::JsFuture;
use laneside_core::carry::code::Code;
use leptos::prelude::*;
use wasm_bindgen::JsCast;
use web_sys::{CanvasRenderingContext2d, HtmlCanvasElement, HtmlImageElement};

/// Its width, in its own pixels: a phone's.
const WIDTH: f64 = 390.0;
const MARGIN: f64 = 18.0;
const FAMILY: &str = "system-ui, sans-serif";

/// How a text is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ink {
    /// The name, a figure.
    Strong,
    /// What is told.
    Plain,
    /// What is beside it.
    Quiet,
}

/// What is drawn so far.
#[derive(Clone, Debug, PartialEq)]
pub struct Drawn {
    svg: String,
    bottom: f64,
    said: Vec<String>,
}

impl Drawn {
    /// Starts with a title.
    pub fn new(title: &str) -> Self {
        let mut drawn = Self {
            svg: String::new(),
            bottom: MARGIN - 6.0,
            said: Vec::new(),
        };
        drawn.line(title, 26.0, Ink::Strong);
        drawn
    }

    /// Leaves room.
    pub fn gap(&mut self, height: f64) {
        self.bottom += height;
    }

    /// Writes a text, in as many rows as it takes.
    pub fn line(&mut self, text: &str, size: f64, ink: Ink) {
        let (weight, color) = match ink {
            Ink::Strong => (800, "#15140F"),
            Ink::Plain => (400, "#15140F"),
            Ink::Quiet => (400, "#4B473C"),
        };
        self.said.push(text.to_owned());
        for row in wrapped(text, weight, size, WIDTH - 2.0 * MARGIN) {
            self.bottom += (size * 1.28).round();
            self.row(
                &row,
                MARGIN,
                self.bottom - size * 0.3,
                (size, weight, color),
            );
        }
    }

    /// Writes a word on the plate of its status: told apart by form.
    pub fn plate(&mut self, word: &str, status: Status, size: f64) {
        let (inner, edge) = match status {
            Status::Over => ("#15140F", ""),
            Status::Close | Status::NoneFits => (
                "none",
                r##" stroke="#15140F" stroke-width="3" stroke-dasharray="6 4""##,
            ),
            _ => ("none", r##" stroke="#15140F" stroke-width="3""##),
        };
        let ink = if status == Status::Over {
            "#FFFDF6"
        } else {
            "#15140F"
        };
        let rows = wrapped(word, 800, size, WIDTH - 2.0 * MARGIN - 20.0);
        let height = (size * 1.2) * rows.len() as f64 + 8.0;
        let top = self.bottom + 4.0;
        self.svg.push_str(&format!(
            r#"<rect x="{}" y="{top}" width="{}" height="{height}" fill="{inner}"{edge}/>"#,
            MARGIN + 1.5,
            WIDTH - 2.0 * MARGIN - 3.0
        ));
        self.said.push(word.to_owned());
        self.bottom = top;
        for row in rows {
            self.bottom += size * 1.2;
            self.row(
                &row,
                MARGIN + 10.0,
                self.bottom - size * 0.18,
                (size, 800, ink),
            );
        }
        self.bottom = top + height + 4.0;
    }

    /// Draws a code, centered.
    pub fn code(&mut self, code: &Code, side: f64) {
        let (x, scale) = ((WIDTH - side) / 2.0, side / code.side() as f64);
        let top = self.bottom + 6.0;
        self.svg.push_str(&format!(
            r##"<g shape-rendering="crispEdges"><rect x="{x}" y="{top}" width="{side}" height="{side}" fill="#fff"/><path fill="#000" transform="translate({x} {top}) scale({scale})" d="{}"/></g>"##,
            code.path()
        ));
        self.bottom = top + side + 4.0;
    }

    fn row(&mut self, text: &str, x: f64, y: f64, (size, weight, color): (f64, u32, &str)) {
        self.svg.push_str(&format!(
            r#"<text x="{x}" y="{y:.1}" font-size="{size}" font-weight="{weight}" fill="{color}">{}</text>"#,
            escaped(text)
        ));
    }

    fn height(&self) -> f64 {
        (self.bottom + MARGIN).ceil()
    }

    fn whole(&self) -> String {
        let height = self.height();
        format!(
            r##"<svg xmlns="http://www.w3.org/2000/svg" width="{WIDTH}" height="{height}" viewBox="0 0 {WIDTH} {height}" font-family="{FAMILY}"><rect width="{WIDTH}" height="{height}" fill="#FFFDF6"/>{}</svg>"##,
            self.svg
        )
    }

    fn address(&self) -> String {
        let text: String = js_sys::encode_uri_component(&self.whole()).into();
        format!("data:image/svg+xml,{text}")
    }
}

/// The drawing, no higher than the screen.
pub fn drawn_view(drawn: &Drawn) -> AnyView {
    let said = drawn.said.join(". ");
    view! {
        <img class="drawn" src=drawn.address() alt=said width=WIDTH height=drawn.height() />
    }
    .into_any()
}

/// The drawing as pixels; `None` where the browser does not draw it.
pub async fn rastered(drawn: &Drawn, density: f64) -> Option<HtmlCanvasElement> {
    let image = HtmlImageElement::new().ok()?;
    image.set_src(&drawn.address());
    JsFuture::from(image.decode()).await.ok()?;
    let canvas = document().create_element("canvas").ok()?;
    let canvas: HtmlCanvasElement = canvas.dyn_into().ok()?;
    let (width, height) = (WIDTH * density, drawn.height() * density);
    canvas.set_width(width as u32);
    canvas.set_height(height as u32);
    let context: CanvasRenderingContext2d = canvas.get_context("2d").ok()??.dyn_into().ok()?;
    context
        .draw_image_with_html_image_element_and_dw_and_dh(&image, 0.0, 0.0, width, height)
        .ok()?;
    Some(canvas)
}

fn wrapped(text: &str, weight: u32, size: f64, width: f64) -> Vec<String> {
    let context = document()
        .create_element("canvas")
        .ok()
        .and_then(|canvas| canvas.dyn_into::<HtmlCanvasElement>().ok())
        .and_then(|canvas| canvas.get_context("2d").ok()?)
        .and_then(|context| context.dyn_into::<CanvasRenderingContext2d>().ok());
    if let Some(context) = &context {
        context.set_font(&format!("{weight} {size}px {FAMILY}"));
    }
    let mut measure = |text: &str| {
        let measured = context
            .as_ref()
            .and_then(|context| context.measure_text(text).ok());
        // About what a sans-serif face takes.
        measured.map_or(0.6 * size * text.chars().count() as f64, |found| {
            found.width()
        })
    };
    wrap(text, width, &mut measure)
}

/// A text that is nothing but text in the drawing.
fn escaped(text: &str) -> String {
    let mut escaped = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => escaped.push_str("&amp;"),
            '<' => escaped.push_str("&lt;"),
            '>' => escaped.push_str("&gt;"),
            '"' => escaped.push_str("&quot;"),
            // No drawing may hold these, escaped or not.
            c if c.is_control() || matches!(c, '\u{FFFE}' | '\u{FFFF}') => escaped.push(' '),
            c => escaped.push(c),
        }
    }
    escaped
}

#[cfg(test)]
mod tests {
    use super::escaped;

    #[test]
    fn markup_in_a_name_is_text() {
        let name = "<img onerror=\"x\"> & <b>\u{0}\u{1b}";
        assert_eq!(
            escaped(name),
            "&lt;img onerror=&quot;x&quot;&gt; &amp; &lt;b&gt;  "
        );
    }
}
