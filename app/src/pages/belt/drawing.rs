//! The drive to scale, both pulleys over each other; what is known by right and up is dragged by a
//! finger or moved by the arrow keys.

mod picture;

use super::{Found, Shown, laid};
use crate::pages::Desk;
use crate::parts::live::{live, live_option};
use crate::words::belt as words;
use laneside_core::belt::Point;
use laneside_core::car::check::PLACE_MM;
use laneside_core::car::{Car, MoverKind, PlacesBy};
use leptos::ev::{KeyboardEvent, PointerEvent};
use leptos::prelude::*;
use picture::Bounds;
use wasm_bindgen::JsCast;
use web_sys::Element;

/// What can be moved.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Handle {
    /// A pulley, by the belt's order.
    Pulley(usize),
    /// Something to miss.
    Obstacle(usize),
    /// The arm's pivot.
    Pivot,
}

/// What is being dragged, and where the finger has it.
pub type Dragged = RwSignal<Option<(Handle, Point)>>;

/// A step of the arrow keys, and with Shift, mm.
const STEP_MM: (f64, f64) = (1.0, 10.0);
/// Half of a finger, px.
const FINGER_PX: f64 = 24.0;
/// Half of a square to drag, px: of a pulley or the pivot, and of what has to be missed, which shows
/// around it.
const SQUARE_PX: (f64, f64) = (6.0, 3.0);

impl Handle {
    fn key(self) -> String {
        match self {
            Self::Pulley(at) => format!("pulley-{at}"),
            Self::Obstacle(at) => format!("obstacle-{at}"),
            Self::Pivot => "pivot".to_owned(),
        }
    }

    fn from_key(key: &str) -> Option<Self> {
        if key == "pivot" {
            return Some(Self::Pivot);
        }
        let (kind, at) = key.split_once('-')?;
        let at = at.parse().ok()?;
        match kind {
            "pulley" => Some(Self::Pulley(at)),
            "obstacle" => Some(Self::Obstacle(at)),
            _ => None,
        }
    }

    fn at(self, car: &Car) -> Option<Point> {
        let drive = &car.belt_drive;
        match self {
            Self::Pulley(at) => drive.pulleys.get(at).map(|pulley| pulley.at()),
            Self::Obstacle(at) => {
                let one = drive.obstacles.get(at)?;
                Some(Point::new(one.x_mm, one.y_mm))
            }
            Self::Pivot => Some(Point::new(drive.mover.pivot_x_mm?, drive.mover.pivot_y_mm?)),
        }
    }

    fn name(self, car: &Car) -> String {
        match self {
            Self::Pulley(at) => words::the_pulley(car, at),
            Self::Obstacle(at) => {
                let one = car.belt_drive.obstacles.get(at);
                one.map_or_else(String::new, |one| one.name.clone())
            }
            Self::Pivot => words::pivot().to_owned(),
        }
    }
}

/// Has something where a finger has it, to half a millimeter.
pub fn put(car: &mut Car, handle: Handle, at: Point) {
    let place = |mm: f64| ((2.0 * mm).round() / 2.0).clamp(PLACE_MM.0, PLACE_MM.1);
    let (x, y) = (place(at.x_mm), place(at.y_mm));
    let drive = &mut car.belt_drive;
    match handle {
        Handle::Pulley(at) => {
            if let Some(pulley) = drive.pulleys.get_mut(at) {
                (pulley.x_mm, pulley.y_mm) = (x, y);
            }
        }
        Handle::Obstacle(at) => {
            if let Some(one) = drive.obstacles.get_mut(at) {
                (one.x_mm, one.y_mm) = (x, y);
            }
        }
        Handle::Pivot => {
            (drive.mover.pivot_x_mm, drive.mover.pivot_y_mm) = (Some(x), Some(y));
        }
    }
}

/// What can be moved on this car. The crank is where everything is measured from.
fn handles(car: &Car) -> Vec<Handle> {
    let drive = &car.belt_drive;
    let mut all = Vec::new();
    if drive.places_by == PlacesBy::Coordinates {
        let movable = drive.pulleys.iter().enumerate();
        let movable = movable.filter(|(_, pulley)| !pulley.is_origin());
        all.extend(movable.map(|(at, _)| Handle::Pulley(at)));
    }
    all.extend((0..drive.obstacles.len()).map(Handle::Obstacle));
    let has_pivot = drive.mover.pulley.is_some()
        && drive.mover.kind == MoverKind::Arm
        && Handle::Pivot.at(car).is_some();
    if has_pivot {
        all.push(Handle::Pivot);
    }
    all
}

/// A finger that drags.
#[derive(Clone, Copy)]
struct Finger {
    pointer: i32,
    handle: Handle,
    from: (f64, f64),
    at: Point,
    mm_per_px: f64,
}

/// The drawing.
pub fn drawing(desk: Desk, found: Found, dragged: Dragged) -> AnyView {
    let store = desk.store;
    let held = StoredValue::new(None::<Bounds>);
    let finger = StoredValue::new(None::<Finger>);
    // Under a finger the scale stays as it was.
    let bounds = Memo::new(move |_| {
        let found = found.get();
        held.get_value()
            .or_else(|| Bounds::around(&found?.0))
            .unwrap_or_default()
    });
    let picture = Memo::new(move |_| {
        let bounds = bounds.get();
        found.with(|found| {
            let Shown(drive) = found.as_ref()?;
            picture::picture(drive, bounds)
        })
    });
    let commit = move |handle: Handle, at: Point| {
        let typed = picture::fields(handle);
        store.change(&typed, |car| put(car, handle, at));
    };
    let down = move |event: PointerEvent| {
        let target = event.target().and_then(|target| target.dyn_into().ok());
        let grip =
            target.and_then(|target: Element| target.closest("[data-handle]").ok().flatten());
        let area = event.current_target().and_then(|area| area.dyn_into().ok());
        let (Some(grip), Some(area)) = (grip, area) else {
            return;
        };
        let area: Element = area;
        let key = grip.get_attribute("data-handle").unwrap_or_default();
        let handle = Handle::from_key(&key);
        let at = handle.and_then(|handle| store.with_car(|car| handle.at(car)).flatten());
        let (Some(handle), Some(at)) = (handle, at) else {
            return;
        };
        crate::browser::focus(&grip);
        // Without capture the drag ends at the drawing's edge, which is all that is lost.
        let _ = area.set_pointer_capture(event.pointer_id());
        let width = area.get_bounding_client_rect().width().max(1.0);
        let bounds = bounds.get_untracked();
        held.set_value(Some(bounds));
        finger.set_value(Some(Finger {
            pointer: event.pointer_id(),
            handle,
            from: (f64::from(event.client_x()), f64::from(event.client_y())),
            at,
            mm_per_px: bounds.width() / width,
        }));
        event.prevent_default();
    };
    let place = move |event: &PointerEvent| {
        let finger = finger.get_value()?;
        (finger.pointer == event.pointer_id()).then(|| {
            let right = f64::from(event.client_x()) - finger.from.0;
            let below = f64::from(event.client_y()) - finger.from.1;
            let at = Point::new(
                finger.at.x_mm + right * finger.mm_per_px,
                finger.at.y_mm - below * finger.mm_per_px,
            );
            (finger.handle, at)
        })
    };
    let moved = move |event: PointerEvent| {
        if let Some(place) = place(&event) {
            dragged.set(Some(place));
        }
    };
    let let_go = move || {
        finger.set_value(None);
        held.set_value(None);
    };
    let up = move |event: PointerEvent| {
        if let Some((handle, at)) = place(&event) {
            let is_moved = dragged.get_untracked().is_some();
            let_go();
            if is_moved {
                commit(handle, at);
            }
            dragged.set(None);
        }
    };
    let cancel = move |_: PointerEvent| {
        let_go();
        dragged.set(None);
    };
    let pressed = move |event: KeyboardEvent| {
        let target = event.target().and_then(|target| target.dyn_into().ok());
        let key = target.and_then(|target: Element| target.get_attribute("data-handle"));
        let Some(handle) = key.and_then(|key| Handle::from_key(&key)) else {
            return;
        };
        let step = if event.shift_key() {
            STEP_MM.1
        } else {
            STEP_MM.0
        };
        let (right, up) = match event.key().as_str() {
            "ArrowLeft" => (-step, 0.0),
            "ArrowRight" => (step, 0.0),
            "ArrowUp" => (0.0, step),
            "ArrowDown" => (0.0, -step),
            _ => return,
        };
        event.prevent_default();
        if let Some(at) = store.with_car(|car| handle.at(car)).flatten() {
            commit(handle, Point::new(at.x_mm + right, at.y_mm + up));
        }
    };
    let all = Memo::new(move |_| {
        found.with(|found| {
            found
                .as_ref()
                .map_or_else(Vec::new, |shown| handles(&shown.0.car))
        })
    });
    let is_drawn = Memo::new(move |_| picture.with(Option::is_some));
    let view_box = move || bounds.get().view_box();
    let summary =
        move || laid(found, words::summary).unwrap_or_else(|| words::drawing().to_owned());
    let hint = move || {
        let by_tape = store.with_car(|car| car.belt_drive.places_by == PlacesBy::Tape);
        if by_tape == Some(true) {
            words::drag_tape()
        } else {
            words::drag()
        }
    };
    live_option(move || {
        is_drawn.get().then(|| {
            let squares = live(move || {
                let each = all
                    .get()
                    .into_iter()
                    .map(|handle| square(found, bounds, handle));
                each.collect_view().into_any()
            });
            view! {
                <section class="belt-section" aria-label=words::drawing()>
                    <svg
                        class="belt-drawing"
                        role="group"
                        aria-label=summary
                        viewBox=view_box
                        on:pointerdown=down
                        on:pointermove=moved
                        on:pointerup=up
                        on:pointercancel=cancel
                        on:keydown=pressed
                    >
                        <g inner_html=move || picture.get().unwrap_or_default()></g>
                        {squares}
                    </svg>
                    {key(found)}
                    <p class="note">{hint}</p>
                </section>
            }
            .into_any()
        })
    })
}

/// A square to drag, with room for a finger around it.
fn square(found: Found, bounds: Memo<Bounds>, handle: Handle) -> AnyView {
    let at = Memo::new(move |_| {
        found.with(|found| found.as_ref().and_then(|shown| handle.at(&shown.0.car)))
    });
    let move_to = move || {
        let at = at.get().unwrap_or_default();
        format!("translate({:.2} {:.2})", at.x_mm, -at.y_mm)
    };
    let name = move || {
        found.with(|found| {
            let car = &found.as_ref()?.0.car;
            let at = handle.at(car)?;
            Some(words::handle(
                &handle.name(car),
                (at.x_mm, at.y_mm),
                car.units,
            ))
        })
    };
    let finger = move || format!("{:.2}", FINGER_PX * bounds.get().mm_per_px());
    let half_px = match handle {
        Handle::Obstacle(_) => SQUARE_PX.1,
        _ => SQUARE_PX.0,
    };
    let half = move || half_px * bounds.get().mm_per_px();
    let low = move || format!("{:.2}", -half());
    let side = move || format!("{:.2}", 2.0 * half());
    view! {
        <g
            class="belt-handle"
            tabindex="0"
            role="button"
            data-handle=handle.key()
            aria-label=name
            transform=move_to
        >
            <circle r=finger></circle>
            <rect x=low y=low width=side height=side></rect>
        </g>
    }
    .into_any()
}

/// Which line is which.
fn key(found: Found) -> AnyView {
    live_option(move || {
        let found = found.get()?.0;
        let has_tried = found
            .belt
            .as_ref()
            .is_ok_and(|belt| belt.has_tried && belt.not_tried.is_none());
        let mut called = found.called.iter().cloned();
        let on_car = called.next();
        let to_try = called.next().filter(|_| has_tried);
        let to_try = to_try.map(|to_try| view! { <span class="try">{to_try}</span> });
        Some(
            view! { <p class="belt-key"><span class="on-car">{on_car}</span> {to_try}</p> }
                .into_any(),
        )
    })
}
