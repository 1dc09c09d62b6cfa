//! The chart as a component: when it is drawn again, and what lies over the canvas.

use std::cell::{Cell, RefCell};
use std::rc::Rc;

use leptos::html::{Canvas, Div};
use leptos::prelude::*;
use wasm_bindgen::JsCast;
use wasm_bindgen::closure::Closure;
use web_sys::{Element, HtmlCanvasElement, HtmlElement, ResizeObserver};

use super::layout::plan;
use super::paint::paint;
use super::palette::Palette;
use super::rail::{Rail, Stops};
use super::spec::PlotSpec;
use super::surface::Surface;

/// What a redraw needs, kept between redraws.
struct Painter {
    surface: RefCell<Option<Surface>>,
    spec: RefCell<PlotSpec>,
    palette: Cell<Palette>,
    width: Cell<f64>,
    waiting: Cell<bool>,
    /// Sides and plots as the stylesheet knows them.
    shown: RefCell<Vec<f64>>,
}

impl Painter {
    /// Draws at the next animation frame, however often it is asked until then.
    fn draw_soon(self: &Rc<Self>) {
        if !self.waiting.replace(true) {
            let painter = Rc::clone(self);
            request_animation_frame(move || {
                painter.waiting.set(false);
                painter.draw();
            });
        }
    }

    fn draw(&self) {
        let mut surface = self.surface.borrow_mut();
        let Some(surface) = surface.as_mut().filter(|_| self.width.get() >= 1.0) else {
            return;
        };
        let spec = self.spec.borrow();
        surface.set_density(window().device_pixel_ratio());
        surface.start();
        let (width, em, unit) = (self.width.get(), surface.em, surface.unit());
        let layout = plan(&spec, width, em, unit, &mut |text| surface.measure(text));
        if paint(&spec, &layout, &self.palette.get(), surface).is_err() {
            leptos::logging::warn!("the chart was not drawn to its end");
        }
        let mut edges = vec![layout.left, layout.right];
        for panel in &layout.panels {
            edges.extend([panel.frame.rect.y, panel.frame.rect.bottom()]);
        }
        if *self.shown.borrow() != edges {
            align(&surface.canvas, &edges);
            self.shown.replace(edges);
        }
    }

    /// Takes over size and font from the page.
    fn look_at(&self, host: &Element) {
        if let (Some(surface), Ok(Some(style))) = (
            self.surface.borrow_mut().as_mut(),
            window().get_computed_style(host),
        ) {
            // The browser's own parser stops at the unit.
            let em = style
                .get_property_value("font-size")
                .map_or(f64::NAN, |size| js_sys::parse_float(&size));
            let em = if em > 0.0 { em } else { surface.em };
            let family = style
                .get_property_value("font-family")
                .unwrap_or_else(|_| surface.family.clone());
            surface.set_font(em, family);
        }
        self.width.set(f64::from(host.client_width()));
    }
}

/// Tells the stylesheet where the plots lie, for the cursor over them and the rail under them.
///
/// `edges` are the plots' left and right edge, then the upper and lower edge of each.
fn align(canvas: &HtmlCanvasElement, edges: &[f64]) {
    let root = canvas
        .closest(".chart")
        .ok()
        .flatten()
        .and_then(|root| root.dyn_into::<HtmlElement>().ok());
    let (Some(root), [left, right, plots @ ..]) = (root, edges) else {
        return;
    };
    // Ink along each plot only: the words between the plots stay clear.
    let mut line = String::from("linear-gradient(transparent 0");
    for (index, end) in plots.iter().enumerate() {
        let color = ["transparent", "var(--ink)"][index % 2];
        line += &format!(",{color} 0 {end}px");
    }
    line += ",transparent 0)";
    for (name, value) in [
        ("--chart-left", format!("{left}px")),
        ("--chart-plot", format!("{}px", right - left)),
        ("--chart-line", line),
    ] {
        // Without it the cursor stands at the side; the readout still tells its place.
        let _ = root.style().set_property(name, &value);
    }
}

/// Panels on one x axis with a readout rail.
///
/// The page reads `cursor` to show the numbers there; moving it does not draw the chart again.
#[component]
pub fn Chart(
    /// What to show.
    #[prop(into)]
    spec: Signal<PlotSpec>,
    /// The colors of the theme in force.
    #[prop(into)]
    palette: Signal<Palette>,
    /// What the chart shows, in words.
    #[prop(into)]
    summary: Signal<String>,
    /// Where the readout stands, in units of the x axis.
    cursor: RwSignal<f64>,
    /// The readout in words ("3,000 engine rpm: on car 9,800 rpm, 84 A").
    #[prop(into)]
    cursor_text: Signal<String>,
    /// The name of the readout rail ("Engine speed").
    #[prop(into)]
    rail_label: Signal<String>,
    /// The name of the button that moves the readout back.
    #[prop(into)]
    back_label: Signal<String>,
    /// The name of the button that moves the readout forward.
    #[prop(into)]
    forward_label: Signal<String>,
) -> impl IntoView {
    let root = NodeRef::<Div>::new();
    let host = NodeRef::<Div>::new();
    let canvas = NodeRef::<Canvas>::new();
    let stops = RwSignal::new(Stops::default());
    let painter = Rc::new(Painter {
        surface: RefCell::new(None),
        spec: RefCell::new(PlotSpec::default()),
        palette: Cell::new(Palette::SUN),
        width: Cell::new(0.0),
        waiting: Cell::new(false),
        shown: RefCell::new(Vec::new()),
    });

    let watcher = StoredValue::new_local(None::<(ResizeObserver, Closure<dyn Fn()>)>);
    on_cleanup(move || {
        if let Some(Some((observer, closure))) = watcher.try_update_value(Option::take) {
            observer.disconnect();
            drop(closure);
        }
    });
    Effect::new({
        let painter = Rc::clone(&painter);
        move || {
            let (Some(host), Some(canvas)) = (host.get(), canvas.get()) else {
                return;
            };
            painter.surface.replace(Surface::new(canvas));
            let host: Element = host.unchecked_into();
            let closure = Closure::<dyn Fn()>::new({
                let painter = Rc::clone(&painter);
                let host = host.clone();
                move || {
                    painter.look_at(&host);
                    painter.draw_soon();
                }
            });
            // The observer reports once at its start, which is the first draw.
            if let Ok(observer) = ResizeObserver::new(closure.as_ref().unchecked_ref()) {
                observer.observe(&host);
                watcher.set_value(Some((observer, closure)));
            }
        }
    });
    Effect::new({
        let painter = Rc::clone(&painter);
        move || {
            let spec = spec.get();
            let now = Stops::of(&spec);
            if stops.with_untracked(|before| *before != now) {
                stops.set(now);
            }
            painter.spec.replace(spec);
            painter.draw_soon();
        }
    });
    Effect::new(move || {
        painter.palette.set(palette.get());
        if let Some(host) = host.get_untracked() {
            painter.look_at(&host);
        }
        painter.draw_soon();
    });

    view! {
        <div class="chart" node_ref=root>
            <div class="chart-plot" node_ref=host>
                <canvas node_ref=canvas role="img" aria-label=summary></canvas>
                <div class="chart-cursor"></div>
            </div>
            <Rail root stops cursor cursor_text rail_label back_label forward_label />
        </div>
    }
}
