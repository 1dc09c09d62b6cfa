//! A part of a long axis in sight: pinched, dragged, or moved by buttons with one hand.

use super::words;
use leptos::ev::{PointerEvent, WheelEvent};
use leptos::html::Div;
use leptos::prelude::*;
use wasm_bindgen::JsCast;
use web_sys::Element;

/// A step of the buttons: closer or wider by this factor, along by this part of what is in sight.
const FACTOR: f64 = 2.0;
const ALONG: f64 = 0.5;
/// How far a pointer moves before it drags, in CSS pixels.
const SLACK: f64 = 4.0;

/// What of an axis is in sight.
#[derive(Clone, Copy)]
pub struct Sight {
    /// From where to where, within the whole.
    pub window: RwSignal<(f64, f64)>,
    /// The whole axis.
    pub whole: Signal<(f64, f64)>,
    /// The least that may fill the chart.
    pub least: f64,
}

impl Sight {
    /// Has a stretch in sight, kept within the whole.
    pub fn set(self, from: f64, span: f64) {
        let next = held(self.whole.get_untracked(), self.least, from, span);
        if next != self.window.get_untracked() {
            self.window.set(next);
        }
    }

    /// Closer by a factor (below one: wider), with one place of the axis kept where it is.
    pub fn zoom(self, factor: f64, about: f64) {
        let (from, to) = self.window.get_untracked();
        let span = (to - from) / factor;
        let (start, end) = self.whole.get_untracked();
        let span = span.clamp(self.least.min(end - start), end - start);
        let part = (about.clamp(from, to) - from) / (to - from).max(f64::MIN_POSITIVE);
        self.set(about.clamp(from, to) - part * span, span);
    }
}

/// A stretch within the whole, no shorter than the least.
fn held((start, end): (f64, f64), least: f64, from: f64, span: f64) -> (f64, f64) {
    let span = span.clamp(least.min(end - start), (end - start).max(0.0));
    let from = from.clamp(start, (end - span).max(start));
    (from, from + span)
}

/// A finger on the chart.
#[derive(Clone, Copy)]
struct Finger {
    pointer: i32,
    x: f64,
    y: f64,
}

/// One or two fingers on the chart, and what was in sight when they came down.
#[derive(Clone, Default)]
struct Hold {
    fingers: Vec<Finger>,
    /// Middle and distance of the fingers then.
    middle: f64,
    apart: f64,
    window: (f64, f64),
    /// The plot's left edge and width.
    plot: (f64, f64),
    drags: bool,
}

impl Hold {
    fn middle(&self) -> f64 {
        self.fingers.iter().map(|finger| finger.x).sum::<f64>() / self.fingers.len().max(1) as f64
    }

    fn apart(&self) -> f64 {
        match self.fingers[..] {
            [one, other, ..] => (one.x - other.x).hypot(one.y - other.y).max(1.0),
            _ => 1.0,
        }
    }

    /// Starts anew from where the fingers are.
    fn anchor(&mut self, sight: Sight) {
        self.middle = self.middle();
        self.apart = self.apart();
        self.window = sight.window.get_untracked();
    }

    /// What is in sight now, as (from, span).
    fn window(&self) -> (f64, f64) {
        let (from, to) = self.window;
        let (left, width) = self.plot;
        let part = |x: f64| (x - left) / width.max(1.0);
        let span = (to - from) * self.apart / self.apart();
        let under = from + part(self.middle) * (to - from);
        (under - part(self.middle()) * span, span)
    }
}

/// Puts a chart under the fingers, with the buttons below it. `cursor` is the chart's own: buttons zoom about
/// it, and a tap sets it.
pub fn zoomable(chart: AnyView, sight: Sight, cursor: RwSignal<f64>) -> AnyView {
    let host = NodeRef::<Div>::new();
    let hold = StoredValue::new(Hold::default());
    // The rail under the plot is exactly as wide as the plot.
    let plot = move || -> Option<(f64, f64)> {
        let rail = host.get_untracked()?.query_selector(".chart-rail").ok()??;
        let place = rail.get_bounding_client_rect();
        Some((place.left(), place.width()))
    };
    let on_plot = |event: &PointerEvent| {
        let target = event.target().and_then(|target| target.dyn_into().ok());
        target.and_then(|target: Element| target.closest(".chart-plot").ok().flatten())
    };
    let down = move |event: PointerEvent| {
        let (Some(area), Some(plot)) = (on_plot(&event), plot()) else {
            return;
        };
        if event.button() != 0 {
            return;
        }
        // Without capture the drag ends at the chart's edge, which is all that is lost.
        let _ = area.set_pointer_capture(event.pointer_id());
        hold.update_value(|hold| {
            if hold.fingers.len() < 2 {
                hold.fingers.push(finger(&event));
            }
            hold.plot = plot;
            hold.drags = hold.fingers.len() > 1;
            hold.anchor(sight);
        });
    };
    let moved = move |event: PointerEvent| {
        let mut next = None;
        hold.update_value(|hold| {
            let known = hold.fingers.iter_mut();
            let Some(known) = known
                .into_iter()
                .find(|one| one.pointer == event.pointer_id())
            else {
                return;
            };
            *known = finger(&event);
            hold.drags = hold.drags || (hold.middle() - hold.middle).abs() >= SLACK;
            next = hold.drags.then(|| hold.window());
        });
        if let Some((from, span)) = next {
            sight.set(from, span);
        }
    };
    let up = move |event: PointerEvent, is_tap: bool| {
        let mut tapped = None;
        hold.update_value(|hold| {
            let count = hold.fingers.len();
            hold.fingers.retain(|one| one.pointer != event.pointer_id());
            if is_tap && count == 1 && hold.fingers.is_empty() && !hold.drags {
                let (left, width) = hold.plot;
                let part = (f64::from(event.client_x()) - left) / width.max(1.0);
                let (from, to) = hold.window;
                tapped = Some(from + part.clamp(0.0, 1.0) * (to - from));
            }
            hold.anchor(sight);
        });
        if let Some(at) = tapped {
            cursor.set(at);
        }
    };
    let wheel = move |event: WheelEvent| {
        // A pinch on a touch pad; without the key the page scrolls.
        let Some((left, width)) = plot().filter(|_| event.ctrl_key()) else {
            return;
        };
        event.prevent_default();
        let (from, to) = sight.window.get_untracked();
        let part = (f64::from(event.client_x()) - left) / width.max(1.0);
        sight.zoom(
            FACTOR.powf(-event.delta_y() / 100.0),
            from + part * (to - from),
        );
    };
    let about = move || {
        let (from, to) = sight.window.get_untracked();
        let at = cursor.get_untracked();
        if (from..=to).contains(&at) {
            at
        } else {
            0.5 * (from + to)
        }
    };
    let along = move |part: f64| {
        let (from, to) = sight.window.get_untracked();
        sight.set(from + part * (to - from), to - from);
    };
    let is_all = Memo::new(move |_| sight.window.get() == sight.whole.get());
    let button = |name: &'static str, act: Callback<()>| {
        view! {
            <button type="button" class="zoom-button" on:click=move |_| act.run(())>
                {name}
            </button>
        }
        .into_any()
    };
    let moves = [
        button(words::earlier(), Callback::new(move |()| along(-ALONG))),
        button(
            words::closer(),
            Callback::new(move |()| sight.zoom(FACTOR, about())),
        ),
        button(
            words::wider(),
            Callback::new(move |()| sight.zoom(1.0 / FACTOR, about())),
        ),
        button(words::later(), Callback::new(move |()| along(ALONG))),
    ];
    view! {
        <div
            class="zoom"
            node_ref=host
            on:pointerdown=down
            on:pointermove=moved
            on:pointerup=move |event| up(event, true)
            on:pointercancel=move |event| up(event, false)
            on:wheel=wheel
        >
            {chart}
            <div class="zoom-buttons" role="group" aria-label=words::zoom()>
                {moves.into_iter().collect::<Vec<_>>()}
                <button
                    type="button"
                    class="zoom-button"
                    disabled=move || is_all.get()
                    on:click=move |_| {
                        let (start, end) = sight.whole.get_untracked();
                        sight.set(start, end - start);
                    }
                >
                    {words::all()}
                </button>
            </div>
        </div>
    }
    .into_any()
}

fn finger(event: &PointerEvent) -> Finger {
    Finger {
        pointer: event.pointer_id(),
        x: f64::from(event.client_x()),
        y: f64::from(event.client_y()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn hold(fingers: &[(f64, f64)], window: (f64, f64)) -> Hold {
        let mut hold = Hold {
            window,
            plot: (100.0, 200.0),
            ..Hold::default()
        };
        for (place, &(x, y)) in fingers.iter().enumerate() {
            hold.fingers.push(Finger {
                pointer: place as i32,
                x,
                y,
            });
        }
        hold.middle = hold.middle();
        hold.apart = hold.apart();
        hold
    }

    #[test]
    fn what_was_under_a_finger_stays_under_it() {
        let mut one = hold(&[(200.0, 50.0)], (10.0, 20.0));
        one.fingers[0].x = 160.0;
        assert_eq!(one.window(), (12.0, 10.0));
        // Two fingers twice as far apart show half of it, about their middle.
        let mut two = hold(&[(150.0, 50.0), (250.0, 50.0)], (10.0, 20.0));
        two.fingers[0].x = 100.0;
        two.fingers[1].x = 300.0;
        assert_eq!(two.window(), (12.5, 5.0));
    }

    #[test]
    fn the_window_stays_within_the_whole() {
        let whole = (0.0, 60.0);
        assert_eq!(held(whole, 0.1, -5.0, 10.0), (0.0, 10.0));
        assert_eq!(held(whole, 0.1, 55.0, 10.0), (50.0, 60.0));
        assert_eq!(held(whole, 0.1, -5.0, 100.0), whole);
        assert_eq!(held(whole, 0.1, 5.0, 0.0), (5.0, 5.1));
        // A whole shorter than the least.
        assert_eq!(held((2.0, 2.05), 0.1, 0.0, 9.0), (2.0, 2.05));
    }
}
