//! The chart as a picture of its own, for paper: in the colors for the sun, at the resolution of print, with its title.

use leptos::prelude::document;
use wasm_bindgen::JsCast;
use web_sys::{CanvasRenderingContext2d, HtmlCanvasElement};

use super::layout::plan;
use super::paint::paint;
use super::palette::Palette;
use super::place::wrap;
use super::spec::PlotSpec;
use super::surface::Surface;

/// The width of a chart on paper, in CSS pixels: the text is then as large as the paper's own.
pub const PRINT_WIDTH: f64 = 720.0;
/// Pixels for each of them: 300 an inch when the chart is 183 mm wide.
const DENSITY: f64 = 3.0;
/// Around all of it, in CSS pixels.
const MARGIN: f64 = 24.0;
const EM: f64 = 15.0;
const FAMILY: &str = "system-ui, sans-serif";

fn canvas() -> Option<HtmlCanvasElement> {
    document().create_element("canvas").ok()?.dyn_into().ok()
}

/// The chart alone, `width` CSS pixels wide; `None` where there is no canvas to be had.
fn bare(spec: &PlotSpec, width: f64) -> Option<HtmlCanvasElement> {
    let canvas = canvas()?;
    let mut surface = Surface::new(canvas.clone())?;
    surface.set_font(EM, FAMILY.to_owned());
    surface.set_density(DENSITY);
    surface.start();
    let (em, unit) = (surface.em, surface.unit());
    let layout = plan(spec, width, em, unit, &mut |text| surface.measure(text));
    paint(spec, &layout, &Palette::SUN, &surface).ok()?;
    Some(canvas)
}

/// The chart under the lines of its title, with ground all around. The first line is the title, the others stand quiet
/// below it.
pub fn picture(spec: &PlotSpec, title: &[String], width: f64) -> Option<HtmlCanvasElement> {
    let chart = bare(spec, width)?;
    let canvas = canvas()?;
    let context: CanvasRenderingContext2d = canvas.get_context("2d").ok()??.dyn_into().ok()?;
    let px = |css: f64| (css * DENSITY).round();
    let font = |place: usize| {
        let (weight, size) = if place == 0 { (700, 1.4) } else { (400, 1.0) };
        format!("{weight} {}px {FAMILY}", px(size * EM))
    };
    let mut rows = Vec::new();
    for (place, line) in title.iter().enumerate() {
        context.set_font(&font(place));
        let mut measure = |text: &str| {
            context
                .measure_text(text)
                .map_or(0.0, |found| found.width() / DENSITY)
        };
        let wrapped = wrap(line, width, &mut measure);
        rows.extend(wrapped.into_iter().map(|row| (place, row)));
    }
    let row = 1.6 * EM;
    let head = rows.len() as f64 * row + EM;
    // Setting the size forgets the font.
    canvas.set_width(chart.width() + px(2.0 * MARGIN) as u32);
    canvas.set_height(chart.height() + px(2.0 * MARGIN + head) as u32);
    let color =
        |color: plotters::style::RGBColor| format!("rgb({},{},{})", color.0, color.1, color.2);
    context.set_fill_style_str(&color(Palette::SUN.ground));
    context.fill_rect(
        0.0,
        0.0,
        f64::from(canvas.width()),
        f64::from(canvas.height()),
    );
    for (at, (place, text)) in rows.iter().enumerate() {
        context.set_font(&font(*place));
        let ink = if *place == 0 {
            Palette::SUN.ink
        } else {
            Palette::SUN.quiet
        };
        context.set_fill_style_str(&color(ink));
        let y = MARGIN + (at as f64 + 0.8) * row;
        let _ = context.fill_text(text, px(MARGIN), px(y));
    }
    context
        .draw_image_with_html_canvas_element(&chart, px(MARGIN), px(MARGIN + head))
        .ok()?;
    Some(canvas)
}
