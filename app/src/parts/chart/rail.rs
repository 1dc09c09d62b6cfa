//! The readout rail under the axis: the thumb moves the cursor without covering the plot.

use leptos::ev::{KeyboardEvent, PointerEvent};
use leptos::html::Div;
use leptos::prelude::*;
use web_sys::HtmlElement;

use super::spec::PlotSpec;

/// How far a finger moves before it drags, in CSS pixels: less may yet become a scroll.
const SLACK: f64 = 4.0;
/// Stops passed by the keys for a larger step.
const LEAP: usize = 10;

/// Where the cursor may stand.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Stops {
    ends: (f64, f64),
    at: Vec<f64>,
}

impl Stops {
    /// The stops of a chart: those within its x axis, or else the axis's ends.
    pub fn of(spec: &PlotSpec) -> Self {
        let ends = spec.x_range();
        let mut at: Vec<f64> = spec
            .stops
            .iter()
            .copied()
            .filter(|stop| *stop >= ends.0 && *stop <= ends.1)
            .collect();
        if at.is_empty() {
            at = vec![ends.0, ends.1];
        }
        Self { ends, at }
    }

    /// How far along the axis a value stands, from 0 to 1.
    pub fn part(&self, value: f64) -> f64 {
        let (min, max) = self.ends;
        if max > min && value.is_finite() {
            ((value - min) / (max - min)).clamp(0.0, 1.0)
        } else {
            0.0
        }
    }

    fn first(&self) -> f64 {
        self.at.first().copied().unwrap_or_default()
    }

    fn last(&self) -> f64 {
        self.at.last().copied().unwrap_or_default()
    }

    /// The stop nearest to a place along the axis, from 0 to 1.
    fn nearest(&self, part: f64) -> f64 {
        let value = self.ends.0 + part.clamp(0.0, 1.0) * (self.ends.1 - self.ends.0);
        let after = self.at.partition_point(|stop| *stop < value);
        let next = self.at.get(after).copied().unwrap_or_else(|| self.last());
        match after.checked_sub(1).and_then(|before| self.at.get(before)) {
            Some(before) if value - before < next - value || after == self.at.len() => *before,
            _ => next,
        }
    }

    /// The stop that lies `count` stops further up or down, or the last one there.
    fn step(&self, from: f64, count: usize, up: bool) -> f64 {
        let to = if up {
            let above = self.at.partition_point(|stop| *stop <= from);
            self.at.get(above.saturating_add(count - 1))
        } else {
            let below = self.at.partition_point(|stop| *stop < from);
            below
                .checked_sub(count)
                .and_then(|index| self.at.get(index))
        };
        match to {
            Some(stop) => *stop,
            None if up => self.last(),
            None => self.first(),
        }
    }
}

/// A pointer on the rail.
#[derive(Clone, Copy)]
struct Hold {
    pointer: i32,
    start: f64,
    left: f64,
    width: f64,
    drags: bool,
}

/// The rail with its step buttons, aligned with the plots above it.
#[component]
pub fn Rail(
    /// The chart, whose stylesheet places cursor and thumb.
    root: NodeRef<Div>,
    /// Where the cursor may stand.
    stops: RwSignal<Stops>,
    /// Where the cursor stands.
    cursor: RwSignal<f64>,
    /// The readout in words.
    cursor_text: Signal<String>,
    /// The rail's name.
    rail_label: Signal<String>,
    /// The name of the button back.
    back_label: Signal<String>,
    /// The name of the button forward.
    forward_label: Signal<String>,
) -> impl IntoView {
    let rail = NodeRef::<Div>::new();
    let hold = StoredValue::new(None::<Hold>);
    let go = move |to: f64| {
        if to != cursor.get_untracked() {
            cursor.set(to);
        }
    };
    let step = move |count: usize, up: bool| {
        go(stops.with_untracked(|stops| stops.step(cursor.get_untracked(), count, up)));
    };
    let go_under = move |hold: Hold, x: f64| {
        let part = (x - hold.left) / hold.width.max(1.0);
        go(stops.with_untracked(|stops| stops.nearest(part)));
    };

    let down = move |event: PointerEvent| {
        let Some(rail) = rail.get_untracked() else {
            return;
        };
        if event.button() != 0 || hold.get_value().is_some() {
            return;
        }
        // Without capture the drag ends at the rail's edge, which is all that is lost.
        let _ = rail.set_pointer_capture(event.pointer_id());
        let x = f64::from(event.client_x());
        let place = rail.get_bounding_client_rect();
        let held = Hold {
            pointer: event.pointer_id(),
            start: x,
            left: place.left(),
            width: place.width(),
            // A finger may be about to scroll the page; a mouse is not.
            drags: event.pointer_type() == "mouse",
        };
        hold.set_value(Some(held));
        if held.drags {
            go_under(held, x);
        }
    };
    let held_by = move |event: &PointerEvent| {
        hold.get_value()
            .filter(|hold| hold.pointer == event.pointer_id())
    };
    let moved = move |event: PointerEvent| {
        if let Some(mut held) = held_by(&event) {
            let x = f64::from(event.client_x());
            if !held.drags && (x - held.start).abs() >= SLACK {
                held.drags = true;
                hold.set_value(Some(held));
            }
            if held.drags {
                go_under(held, x);
            }
        }
    };
    let up = move |event: PointerEvent| {
        if let Some(held) = held_by(&event) {
            hold.set_value(None);
            go_under(held, f64::from(event.client_x()));
        }
    };
    let cancel = move |event: PointerEvent| {
        if held_by(&event).is_some() {
            hold.set_value(None);
        }
    };
    let key = move |event: KeyboardEvent| {
        match event.key().as_str() {
            "ArrowRight" | "ArrowUp" => step(1, true),
            "ArrowLeft" | "ArrowDown" => step(1, false),
            "PageUp" => step(LEAP, true),
            "PageDown" => step(LEAP, false),
            "Home" => go(stops.with_untracked(Stops::first)),
            "End" => go(stops.with_untracked(Stops::last)),
            _ => return,
        }
        event.prevent_default();
    };

    // One effect for all that follows the cursor: it runs at every step of a drag.
    Effect::new(move || {
        let (Some(root), Some(rail)) = (root.get(), rail.get()) else {
            return;
        };
        let at = cursor.get();
        let (part, first, last) = stops.with(|s| (s.part(at), s.first(), s.last()));
        // None of these can fail: the names are sound.
        let style = HtmlElement::style(&root);
        let _ = style.set_property("--chart-part", &part.to_string());
        for (name, value) in [
            ("aria-valuemin", first),
            ("aria-valuemax", last),
            // Before the page has set the cursor it stands nowhere.
            ("aria-valuenow", if at.is_finite() { at } else { first }),
        ] {
            let _ = rail.set_attribute(name, &value.to_string());
        }
    });
    view! {
        <div class="chart-rail-row">
            <button
                type="button"
                class="chart-step"
                aria-label=back_label
                on:click=move |_| step(1, false)
            >
                "\u{2212}"
            </button>
            <div
                class="chart-rail"
                node_ref=rail
                role="slider"
                tabindex="0"
                aria-label=rail_label
                aria-orientation="horizontal"
                aria-valuetext=cursor_text
                on:pointerdown=down
                on:pointermove=moved
                on:pointerup=up
                on:pointercancel=cancel
                on:keydown=key
            >
                <div class="chart-thumb"></div>
            </div>
            <button
                type="button"
                class="chart-step"
                aria-label=forward_label
                on:click=move |_| step(1, true)
            >
                "+"
            </button>
        </div>
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn stops() -> Stops {
        Stops {
            ends: (0.0, 1_000.0),
            at: vec![0.0, 100.0, 200.0, 400.0, 1_000.0],
        }
    }

    #[test]
    fn a_step_goes_to_the_next_stop() {
        assert_eq!(stops().step(100.0, 1, true), 200.0);
        assert_eq!(stops().step(150.0, 1, true), 200.0);
        assert_eq!(stops().step(150.0, 1, false), 100.0);
        assert_eq!(stops().step(200.0, 1, false), 100.0);
        assert_eq!(stops().step(0.0, 2, true), 200.0);
    }

    #[test]
    fn a_step_past_the_end_stays_at_the_end() {
        assert_eq!(stops().step(1_000.0, 1, true), 1_000.0);
        assert_eq!(stops().step(400.0, 10, true), 1_000.0);
        assert_eq!(stops().step(0.0, 1, false), 0.0);
        assert_eq!(stops().step(100.0, 10, false), 0.0);
        assert_eq!(stops().step(5_000.0, 1, false), 1_000.0);
    }

    #[test]
    fn a_drag_goes_to_the_nearest_stop() {
        assert_eq!(stops().nearest(0.04), 0.0);
        assert_eq!(stops().nearest(0.06), 100.0);
        assert_eq!(stops().nearest(0.31), 400.0);
        assert_eq!(stops().nearest(-3.0), 0.0);
        assert_eq!(stops().nearest(7.0), 1_000.0);
    }

    #[test]
    fn stops_outside_the_axis_are_left_out() {
        let mut spec = PlotSpec::default();
        spec.x.min = 100.0;
        spec.x.max = 300.0;
        spec.stops = vec![0.0, 100.0, 200.0, 400.0, f64::NAN];
        assert_eq!(Stops::of(&spec).at, [100.0, 200.0]);
        spec.stops.clear();
        assert_eq!(Stops::of(&spec).at, [100.0, 300.0]);
    }
}
