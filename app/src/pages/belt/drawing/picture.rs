//! The picture as SVG, in mm. It is one text: each element as a view would bring its own code.

use super::Handle;
use crate::pages::belt::Drive;
use crate::words::belt as words;
use laneside_core::belt::{BeltStudy, Laid, Motion, Path, Point, Side};
use laneside_core::car::entry::Field;
use laneside_core::car::{Car, PlacesBy};
use laneside_core::finding::Status;
use laneside_core::quantity::System;
use std::fmt::Write as _;

/// Width of the drawing on the narrowest phone, px: letters are made for that.
const NARROWEST_PX: f64 = 328.0;
/// Height of letters there, px.
const LETTER_PX: f64 = 14.5;
/// Width of a letter over its height, on average.
const LETTER_WIDTH: f64 = 0.62;

/// What is in sight, mm, y up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bounds {
    low: Point,
    high: Point,
}

impl Default for Bounds {
    fn default() -> Self {
        Self {
            low: Point::new(0.0, 0.0),
            high: Point::new(1.0, 1.0),
        }
    }
}

impl Bounds {
    /// Everything that is drawn, with room for letters.
    pub fn around(drive: &Drive) -> Option<Self> {
        let mut all: Vec<(Point, f64)> = Vec::new();
        for laid in both(drive) {
            all.extend(laid.wheels.iter().map(|wheel| (wheel.at, wheel.radius_mm)));
        }
        let car = &drive.car;
        if drive.belt.is_err() {
            all.extend(entered(car));
        }
        let obstacles = car.belt_drive.obstacles.iter();
        all.extend(obstacles.map(|one| (Point::new(one.x_mm, one.y_mm), 0.5 * one.across_mm)));
        all.extend(Handle::Pivot.at(car).map(|at| (at, 0.0)));
        let first = all.first()?;
        let mut bounds = Self {
            low: first.0,
            high: first.0,
        };
        for (at, radius) in &all {
            bounds.low.x_mm = bounds.low.x_mm.min(at.x_mm - radius);
            bounds.low.y_mm = bounds.low.y_mm.min(at.y_mm - radius);
            bounds.high.x_mm = bounds.high.x_mm.max(at.x_mm + radius);
            bounds.high.y_mm = bounds.high.y_mm.max(at.y_mm + radius);
        }
        let across = bounds.high.x_mm - bounds.low.x_mm;
        let letter = LETTER_PX * across.max(50.0) / NARROWEST_PX;
        bounds.low.x_mm -= 2.0 * letter;
        bounds.high.x_mm += 2.0 * letter;
        // The scale stands below.
        bounds.low.y_mm -= 4.0 * letter;
        bounds.high.y_mm += 2.0 * letter;
        Some(bounds)
    }

    /// Width, mm.
    pub fn width(self) -> f64 {
        self.high.x_mm - self.low.x_mm
    }

    /// Millimeters for a pixel of the narrowest phone.
    pub fn mm_per_px(self) -> f64 {
        self.width() / NARROWEST_PX
    }

    /// As SVG takes it, y down.
    pub fn view_box(self) -> String {
        format!(
            "{:.1} {:.1} {:.1} {:.1}",
            self.low.x_mm,
            -self.high.y_mm,
            self.width(),
            self.high.y_mm - self.low.y_mm
        )
    }

    fn letter(self) -> f64 {
        LETTER_PX * self.mm_per_px()
    }
}

/// Fields that a handle sets.
pub fn fields(handle: Handle) -> [Field; 2] {
    match handle {
        Handle::Pulley(at) => [Field::BeltX(at), Field::BeltY(at)],
        Handle::Obstacle(at) => [Field::ObstacleX(at), Field::ObstacleY(at)],
        Handle::Pivot => [Field::PivotX, Field::PivotY],
    }
}

fn both(drive: &Drive) -> Vec<&Laid> {
    match &drive.belt {
        Ok(belt) => vec![&belt.on_car.laid, &belt.tried.laid],
        Err(_) => Vec::new(),
    }
}

/// Pulleys as they were entered, where no belt goes over them.
fn entered(car: &Car) -> Vec<(Point, f64)> {
    if car.belt_drive.places_by != PlacesBy::Coordinates {
        return Vec::new();
    }
    let pulleys = car.belt_drive.pulleys.iter();
    pulleys
        .map(|pulley| (pulley.at(), 0.5 * pulley.diameter_mm.unwrap_or(80.0)))
        .collect()
}

/// The picture; none where there is nothing to draw.
pub fn picture(drive: &Drive, bounds: Bounds) -> Option<String> {
    let mut svg = String::new();
    let car = &drive.car;
    let mut names = Names::new(bounds, car);
    match &drive.belt {
        Ok(belt) => {
            let is_other = belt.has_tried && belt.not_tried.is_none();
            for (place, wheel) in belt.on_car.laid.wheels.iter().enumerate() {
                let bare = 0.5 * belt.on_car.laid.layout.pulleys[place].diameter_mm;
                circle(&mut svg, "belt-pulley", wheel.at, bare);
            }
            if is_other {
                changed(&mut svg, belt);
                line(&mut svg, "belt-try", &belt.tried.laid.path);
            }
            travel(&mut svg, &belt.on_car.laid);
            line(&mut svg, "belt-on", &belt.on_car.laid.path);
            for (place, wheel) in belt.on_car.laid.wheels.iter().enumerate() {
                names.pulley(
                    &mut svg,
                    (wheel.at, wheel.radius_mm),
                    &words::the_pulley(car, place),
                );
            }
        }
        Err(_) => {
            let all = entered(car);
            if all.is_empty() {
                return None;
            }
            for (place, (at, radius)) in all.into_iter().enumerate() {
                circle(&mut svg, "belt-pulley", at, radius);
                names.pulley(&mut svg, (at, radius), &words::the_pulley(car, place));
            }
        }
    }
    for (place, one) in car.belt_drive.obstacles.iter().enumerate() {
        let at = Point::new(one.x_mm, one.y_mm);
        circle(
            &mut svg,
            obstacle_class(drive, place),
            at,
            0.5 * one.across_mm,
        );
        names.obstacle(&mut svg, (at, 0.5 * one.across_mm), &one.name);
    }
    scale(&mut svg, bounds, car.units);
    Some(svg)
}

/// What is met is filled, what is cleared is an outline.
fn obstacle_class(drive: &Drive, place: usize) -> &'static str {
    let Ok(belt) = &drive.belt else {
        return "belt-obstacle";
    };
    let all = belt.belt_passing.iter().chain(&belt.rim_passing);
    let met = all
        .filter(|passing| passing.tried.obstacle == place)
        .any(|passing| passing.tried.status == Status::Fails);
    if met {
        "belt-obstacle belt-met"
    } else {
        "belt-obstacle"
    }
}

/// Pulleys to try, and those that moved.
fn changed(svg: &mut String, belt: &BeltStudy) {
    let (now, then) = (&belt.on_car.laid, &belt.tried.laid);
    for (place, wheel) in then.wheels.iter().enumerate() {
        let is_same = now.wheels.get(place).is_some_and(|other| {
            other.at.distance_mm(wheel.at) < 0.1 && (other.radius_mm - wheel.radius_mm).abs() < 0.1
        });
        if !is_same {
            let bare = 0.5 * then.layout.pulleys[place].diameter_mm;
            circle(svg, "belt-pulley-try", wheel.at, bare);
        }
    }
}

fn circle(svg: &mut String, class: &str, at: Point, radius: f64) {
    let _ = write!(
        svg,
        "<circle class=\"{class}\" cx=\"{:.1}\" cy=\"{:.1}\" r=\"{radius:.1}\"/>",
        at.x_mm, -at.y_mm
    );
}

/// The belt: spans and arcs. On a screen, where y goes down, a belt that runs counter-clockwise sweeps
/// the other way.
fn line(svg: &mut String, class: &str, path: &Path) {
    let Some(first) = path.spans.first() else {
        return;
    };
    let _ = write!(
        svg,
        "<path class=\"{class}\" d=\"M{:.1} {:.1}",
        first.from.x_mm, -first.from.y_mm
    );
    let count = path.spans.len();
    for (at, span) in path.spans.iter().enumerate() {
        let next = (at + 1) % count;
        let (arc, to) = (&path.arcs[next], path.spans[next].from);
        let large = u8::from(arc.wrap > std::f64::consts::PI);
        let sweep = u8::from(arc.wheel.side == Side::Back);
        let radius = arc.wheel.radius_mm;
        let _ = write!(
            svg,
            "L{:.1} {:.1}A{radius:.1} {radius:.1} 0 {large} {sweep} {:.1} {:.1}",
            span.to.x_mm, -span.to.y_mm, to.x_mm, -to.y_mm
        );
    }
    svg.push_str("Z\"/>");
}

/// The way of what sets the tension, end to end.
fn travel(svg: &mut String, laid: &Laid) {
    const STEPS: u32 = 16;
    let Some(mover) = laid.layout.mover else {
        return;
    };
    let (from, to) = mover.travel;
    let mut way = String::new();
    for step in 0..=STEPS {
        let at = from + (to - from) * f64::from(step) / f64::from(STEPS);
        if let Some(wheel) = laid.wheels_at(at).get(mover.pulley) {
            let letter = if step == 0 { 'M' } else { 'L' };
            let _ = write!(way, "{letter}{:.1} {:.1}", wheel.at.x_mm, -wheel.at.y_mm);
        }
    }
    let _ = write!(svg, "<path class=\"belt-travel\" d=\"{way}\"/>");
    if let (Motion::Arm { pivot }, Some(wheel)) = (mover.motion, laid.wheels.get(mover.pulley)) {
        let _ = write!(
            svg,
            "<path class=\"belt-arm\" d=\"M{:.1} {:.1}L{:.1} {:.1}\"/>",
            pivot.x_mm, -pivot.y_mm, wheel.at.x_mm, -wheel.at.y_mm
        );
    }
}

/// Names that keep off each other and off what is dragged.
struct Names {
    bounds: Bounds,
    /// Middles with half widths and half heights.
    taken: Vec<(Point, f64, f64)>,
}

impl Names {
    fn new(bounds: Bounds, car: &Car) -> Self {
        let half = 8.0 * bounds.mm_per_px();
        let drive = &car.belt_drive;
        let obstacles = drive.obstacles.iter();
        let obstacles = obstacles.map(|one| {
            let half = half.max(0.5 * one.across_mm);
            (Point::new(one.x_mm, one.y_mm), half, half)
        });
        let dragged = super::handles(car);
        let dragged = dragged.iter().filter_map(|handle| handle.at(car));
        let dragged = dragged.map(|at| (at, half, half));
        Self {
            bounds,
            taken: obstacles.chain(dragged).collect(),
        }
    }

    /// In it where there is room, else beside it.
    fn pulley(&mut self, svg: &mut String, (at, radius): (Point, f64), name: &str) {
        let letter = self.bounds.letter();
        let within = 1.6 * letter;
        if radius > half_width(self.bounds, name) {
            self.put(svg, &[Point::new(at.x_mm, at.y_mm - within)], name);
        } else {
            self.around(svg, (at, radius), name);
        }
    }

    fn obstacle(&mut self, svg: &mut String, around: (Point, f64), name: &str) {
        self.around(svg, around, name);
    }

    fn around(&mut self, svg: &mut String, (at, radius): (Point, f64), name: &str) {
        let letter = self.bounds.letter();
        let aside = radius + half_width(self.bounds, name) + 0.5 * letter;
        let off = radius + 0.9 * letter;
        let each = [
            (0.0, -off),
            (0.0, off),
            (aside, 0.0),
            (-aside, 0.0),
            (0.0, -off - 1.3 * letter),
            (0.0, off + 1.3 * letter),
        ];
        let each = each.map(|(right, up)| Point::new(at.x_mm + right, at.y_mm + up));
        self.put(svg, &each, name);
    }

    /// At the first place that is free, else at the first.
    fn put(&mut self, svg: &mut String, places: &[Point], name: &str) {
        let (wide, high) = (half_width(self.bounds, name), 0.6 * self.bounds.letter());
        let held: Vec<Point> = places
            .iter()
            .map(|place| Point::new(held(self.bounds, place.x_mm, wide), place.y_mm))
            .collect();
        let is_free = |place: &&Point| {
            !self.taken.iter().any(|(other, other_wide, other_high)| {
                (place.x_mm - other.x_mm).abs() < wide + other_wide
                    && (place.y_mm - other.y_mm).abs() < high + other_high
            })
        };
        let place = held.iter().find(is_free).or(held.first()).copied();
        if let Some(place) = place {
            self.taken.push((place, wide, high));
            text(svg, self.bounds, place, name);
        }
    }
}

fn half_width(bounds: Bounds, said: &str) -> f64 {
    0.5 * LETTER_WIDTH * bounds.letter() * said.chars().count() as f64
}

/// So far to the side that letters of this half width are not over the edge.
fn held(bounds: Bounds, x: f64, half: f64) -> f64 {
    let (low, high) = (bounds.low.x_mm + half, bounds.high.x_mm - half);
    if low < high {
        x.clamp(low, high)
    } else {
        0.5 * (low + high)
    }
}

/// Letters around a middle, never over the edge.
fn text(svg: &mut String, bounds: Bounds, at: Point, said: &str) {
    let letter = bounds.letter();
    let x = held(bounds, at.x_mm, half_width(bounds, said));
    let _ = write!(
        svg,
        "<text x=\"{x:.1}\" y=\"{:.1}\" font-size=\"{letter:.1}\">{}</text>",
        -at.y_mm + 0.35 * letter,
        escaped(said)
    );
}

/// Names are the person's own: none of them is markup.
fn escaped(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            other => safe.push(other),
        }
    }
    safe
}

/// How long a hand of millimeters or inches is.
fn scale(svg: &mut String, bounds: Bounds, units: System) {
    let (mm, said) = match units {
        System::Metric => (100.0, words::SCALE[1]),
        System::Inch => (101.6, words::SCALE[0]),
    };
    let letter = bounds.letter();
    let (x, y) = (bounds.low.x_mm + letter, -bounds.low.y_mm - 0.8 * letter);
    let _ = write!(
        svg,
        "<path class=\"belt-scale\" d=\"M{x:.1} {0:.1}v{1:.1}h{mm}v-{1:.1}\"/>",
        y - 0.6 * letter,
        0.6 * letter
    );
    let middle = Point::new(x + 0.5 * mm, -(y - 0.5 * letter));
    text(svg, bounds, middle, said);
}
