//! Drawing a placed chart, through plotters, on the canvas.

use plotters::coord::Shift;
use plotters::drawing::{DrawingArea, DrawingAreaErrorKind, IntoDrawingArea};
use plotters::element::{PathElement, Polygon};
use plotters::prelude::DrawingBackend;
use plotters::style::text_anchor::{HPos, Pos, VPos};
use plotters::style::{Color, FontFamily, IntoFont, RGBColor, ShapeStyle, TextStyle};
use plotters_canvas::CanvasBackend;

use super::layout::{Ink, Layout, PanelPlan};
use super::palette::Palette;
use super::place::Rect;
use super::scale::SUB;
use super::spec::{Panel, PlotSpec, Role};
use super::surface::Surface;

type Spot = (i32, i32);
/// Why a chart was not drawn to its end.
pub type PaintError = DrawingAreaErrorKind<<CanvasBackend as DrawingBackend>::ErrorType>;
type Drawn = Result<(), PaintError>;

/// Draws the whole chart anew.
pub fn paint(spec: &PlotSpec, layout: &Layout, palette: &Palette, surface: &Surface) -> Drawn {
    surface.fit(layout.width, layout.height);
    let Some(backend) = CanvasBackend::with_canvas_object(surface.canvas.clone()) else {
        return Ok(());
    };
    let (w, h) = (
        surface.canvas.width() as i32,
        surface.canvas.height() as i32,
    );
    // Margins below zero widen the area to plotters' finer units, which the canvas scales back.
    let root = backend
        .into_drawing_area()
        .margin(0, h - h * SUB, 0, w - w * SUB);
    let pen = Pen {
        root,
        surface,
        palette,
    };
    pen.root.fill(&palette.ground)?;
    surface.context.set_line_join("round");
    surface.context.set_line_cap("butt");
    for (panel, plan) in spec.panels.iter().zip(&layout.panels) {
        pen.grid(layout, plan)?;
        pen.limits(panel, plan)?;
        pen.fades(panel, plan, spec.x_range())?;
        pen.bands(panel, plan, spec.x_range())?;
    }
    pen.marks(layout)?;
    for (panel, plan) in spec.panels.iter().zip(&layout.panels) {
        pen.lines(panel, plan, spec.x_range())?;
        for plate in &plan.plates {
            pen.fill(pen.corners(plate), palette.ground, 1.0)?;
        }
    }
    pen.texts(layout)
}

struct Pen<'a> {
    root: DrawingArea<CanvasBackend, Shift>,
    surface: &'a Surface,
    palette: &'a Palette,
}

impl Pen<'_> {
    fn units(&self, css: f64) -> i32 {
        (css * self.surface.unit()).round() as i32
    }

    fn spot(&self, (x, y): (f64, f64)) -> Spot {
        (self.units(x), self.units(y))
    }

    fn corners(&self, rect: &Rect) -> Vec<Spot> {
        vec![
            self.spot((rect.x, rect.y)),
            self.spot((rect.right(), rect.y)),
            self.spot((rect.right(), rect.bottom())),
            self.spot((rect.x, rect.bottom())),
        ]
    }

    fn stroke(&self, points: Vec<Spot>, color: RGBColor, width: f64) -> Drawn {
        self.root.draw(&PathElement::new(
            points,
            ShapeStyle {
                color: color.to_rgba(),
                filled: false,
                stroke_width: self.units(width).max(1) as u32,
            },
        ))
    }

    fn fill(&self, points: Vec<Spot>, color: RGBColor, alpha: f64) -> Drawn {
        self.root.draw(&Polygon::new(points, color.mix(alpha)))
    }

    /// A hairline, straight up or across, that fills whole device pixels.
    fn hairline(&self, from: (f64, f64), to: (f64, f64), color: RGBColor) -> Drawn {
        let density = self.surface.density;
        let width = density.round().max(1.0);
        let middle = if width % 2.0 == 0.0 { 0.0 } else { 0.5 };
        let snap = |css: f64| (((css * density).floor() + middle) * f64::from(SUB)) as i32;
        let points = vec![(snap(from.0), snap(from.1)), (snap(to.0), snap(to.1))];
        self.stroke(points, color, width / density)
    }

    /// Parallel strokes within an outline. Plotters has no hatching, so the canvas clips.
    fn hatch(&self, outline: &[Spot], color: RGBColor, step: f64, rising: bool) {
        let Some(first) = outline.first() else {
            return;
        };
        let (mut lo, mut hi) = (*first, *first);
        for &(x, y) in outline {
            lo = (lo.0.min(x), lo.1.min(y));
            hi = (hi.0.max(x), hi.1.max(y));
        }
        let context = &self.surface.context;
        context.save();
        context.begin_path();
        for (index, &(x, y)) in outline.iter().enumerate() {
            let (x, y) = (f64::from(x), f64::from(y));
            if index == 0 {
                context.move_to(x, y);
            } else {
                context.line_to(x, y);
            }
        }
        context.clip();
        context.begin_path();
        let step = self.units(step).max(1);
        let height = hi.1 - lo.1;
        let (top, bottom) = if rising { (hi.1, lo.1) } else { (lo.1, hi.1) };
        // Counted from the canvas's corner, so that strokes of neighboring areas line up.
        let mut x = (lo.0 - height).div_euclid(step) * step;
        let shift = if rising {
            hi.1.rem_euclid(step)
        } else {
            -lo.1.rem_euclid(step)
        };
        x -= shift.rem_euclid(step);
        while x < hi.0 {
            context.move_to(f64::from(x), f64::from(top));
            context.line_to(f64::from(x + height), f64::from(bottom));
            x += step;
        }
        let RGBColor(r, g, b) = color;
        context.set_stroke_style_str(&format!("rgb({r},{g},{b})"));
        context.set_line_width(self.surface.unit());
        context.stroke();
        context.restore();
    }

    fn grid(&self, layout: &Layout, plan: &PanelPlan) -> Drawn {
        let rect = plan.frame.rect;
        for &y in &plan.grid {
            self.hairline((rect.x, y), (rect.right(), y), self.palette.grid)?;
        }
        for &x in &layout.x_grid {
            self.hairline((x, rect.y), (x, rect.bottom()), self.palette.grid)?;
        }
        let corner = (rect.x, rect.bottom());
        self.hairline((rect.x, rect.y), corner, self.palette.edge)?;
        self.hairline(corner, (rect.right(), rect.bottom()), self.palette.edge)
    }

    fn limits(&self, panel: &Panel, plan: &PanelPlan) -> Drawn {
        let rect = plan.frame.rect;
        let height = |y: f64| plan.frame.place((0.0, y.clamp(plan.y.0, plan.y.1))).1;
        for limit in &panel.limits {
            let (lo, hi) = (limit.lo.min(limit.hi), limit.lo.max(limit.hi));
            if !lo.is_finite() || !hi.is_finite() || lo > plan.y.1 {
                continue;
            }
            let (low, high) = (height(lo), height(hi));
            for (top, bottom, step) in [(rect.y, high, 6.0), (high, low, 12.0)] {
                let area = Rect {
                    y: top,
                    h: bottom - top,
                    ..rect
                };
                if area.h > 0.0 {
                    self.hatch(&self.corners(&area), self.palette.edge, step, true);
                }
            }
            for (y, at) in [(lo, low), (hi, high)] {
                if y >= plan.y.0 && y <= plan.y.1 {
                    let ends = vec![self.spot((rect.x, at)), self.spot((rect.right(), at))];
                    self.stroke(ends, self.palette.ink, 1.5)?;
                }
            }
        }
        Ok(())
    }

    fn fades(&self, panel: &Panel, plan: &PanelPlan, x: (f64, f64)) -> Drawn {
        for fade in &panel.fades {
            let points = fade.clean(x);
            if points.len() < 2 {
                continue;
            }
            let map = |p: &(f64, f64)| plan.frame.map(*p);
            let upper: Vec<Spot> = points.iter().map(map).collect();
            let zero: Vec<Spot> = points.iter().rev().map(|p| map(&(p.0, 0.0))).collect();
            let color = self.palette.role(fade.role);
            let outline: Vec<Spot> = upper.iter().chain(&zero).copied().collect();
            // The two pulleys' strokes lean apart, so that both stay visible where they overlap.
            self.hatch(&outline, color, 7.0, fade.role == Role::OnCar);
            self.dash(fade.role);
            self.stroke(upper, color, 2.0)?;
            self.stroke(zero, color, 2.0)?;
            self.surface.set_dash(None);
        }
        Ok(())
    }

    fn bands(&self, panel: &Panel, plan: &PanelPlan, x: (f64, f64)) -> Drawn {
        for line in &panel.lines {
            let outline = line.clean_spread(x);
            if outline.len() > 2 {
                let outline = outline.iter().map(|p| plan.frame.map(*p)).collect();
                self.fill(outline, self.palette.role(line.role), 0.22)?;
            }
        }
        Ok(())
    }

    fn marks(&self, layout: &Layout) -> Drawn {
        let Some(first) = layout.panels.first() else {
            return Ok(());
        };
        for mark in &layout.marks {
            let top = first.frame.rect.y;
            let joint = vec![
                self.spot((mark.name.x + mark.name.w / 2.0, mark.name.bottom())),
                self.spot((mark.x, top)),
            ];
            self.stroke(joint, self.palette.edge, 1.0)?;
            for panel in &layout.panels {
                let rect = panel.frame.rect;
                let ends = ((mark.x, rect.y), (mark.x, rect.bottom()));
                self.hairline(ends.0, ends.1, self.palette.edge)?;
            }
        }
        // A name in a lower row stands in front of the strokes that pass it.
        for mark in &layout.marks {
            self.fill(self.corners(&mark.name), self.palette.ground, 1.0)?;
        }
        Ok(())
    }

    fn dash(&self, role: Role) {
        let unit = self.surface.unit();
        let (dash, cap) = match role {
            Role::OnCar | Role::Plain => (None, "butt"),
            Role::Try => (Some((9.0 * unit, 5.0 * unit)), "butt"),
            // Round ends make dots of dashes without length.
            Role::Load => (Some((0.01 * unit, 5.0 * unit)), "round"),
            Role::LoadStrong => (Some((0.01 * unit, 6.0 * unit)), "round"),
        };
        self.surface.set_dash(dash);
        self.surface.context.set_line_cap(cap);
    }

    fn lines(&self, panel: &Panel, plan: &PanelPlan, x: (f64, f64)) -> Drawn {
        // Loads first: the two pulleys' lines stay on top.
        for loads in [true, false] {
            for (line, points) in panel.lines.iter().zip(&plan.lines) {
                let (is_load, width) = match line.role {
                    Role::OnCar | Role::Try => (false, 3.0),
                    Role::Load => (true, 2.0),
                    Role::Plain => (false, 2.0),
                    Role::LoadStrong => (true, 3.2),
                };
                if is_load != loads {
                    continue;
                }
                let color = self.palette.role(line.role);
                let mut spots: Vec<Spot> = points.iter().map(|p| plan.frame.map(*p)).collect();
                if let [only] = spots[..] {
                    // One point: a dot, as a round end of next to no length.
                    spots.push((only.0 + 1, only.1));
                    self.surface.context.set_line_cap("round");
                    self.stroke(spots, color, 8.0)?;
                } else {
                    self.dash(line.role);
                    self.stroke(spots, color, width)?;
                }
                self.surface.set_dash(None);
                self.surface.context.set_line_cap("butt");
                for &(at, lo, hi) in line.clean_whiskers(x) {
                    let (mid, top) = plan.frame.map((at, hi));
                    let bottom = plan.frame.map((at, lo)).1;
                    let arm = self.units(4.0);
                    let (left, right) = (mid - arm, mid + arm);
                    let path = vec![
                        (left, top),
                        (right, top),
                        (mid, top),
                        (mid, bottom),
                        (left, bottom),
                        (right, bottom),
                    ];
                    self.stroke(path, color, 2.0)?;
                }
            }
        }
        for leader in &plan.leaders {
            let color = self.palette.role(leader.role);
            let points = leader.points.iter().map(|p| self.spot(*p)).collect();
            self.stroke(points, color, 1.0)?;
        }
        Ok(())
    }

    fn texts(&self, layout: &Layout) -> Drawn {
        let family = FontFamily::Name(&self.surface.family);
        let base = TextStyle::from((family, self.surface.font_size()).into_font())
            .pos(Pos::new(HPos::Left, VPos::Center));
        for text in &layout.texts {
            let color = match text.ink {
                Ink::Strong => self.palette.ink,
                Ink::Quiet => self.palette.quiet,
                Ink::Role(role) => self.palette.role(role),
            };
            let at = (text.rect.x, text.rect.y + text.rect.h / 2.0);
            self.root
                .draw_text(&text.words, &base.color(&color), self.spot(at))?;
        }
        Ok(())
    }
}
