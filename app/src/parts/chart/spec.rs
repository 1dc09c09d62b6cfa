//! What a page asks the chart to show: plain numbers and words, no type of the core.
//!
//! Points that are not finite are left out; points outside the x axis are cut off at its ends.

/// A whole chart: panels stacked on one x axis.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PlotSpec {
    /// The axis that all panels share.
    pub x: Axis,
    /// The panels, from top to bottom.
    pub panels: Vec<Panel>,
    /// Named positions on the x axis (idle, shift, limiter), drawn through every panel.
    pub markers: Vec<Marker>,
    /// Where the readout's cursor may stand, ascending: a step button goes to the next one, a
    /// drag to the nearest one.
    pub stops: Vec<f64>,
}

/// One axis.
#[derive(Clone, Debug)]
pub struct Axis {
    /// What is shown, with its unit ("engine rpm").
    pub label: String,
    /// Lower end. A y axis reaches further where its data do; from 0 to 0 it starts at zero and
    /// follows the data.
    pub min: f64,
    /// Upper end. A y axis reaches further where its data do.
    pub max: f64,
    /// The words for a tick's value.
    pub tick_text: fn(f64) -> String,
}

impl Default for Axis {
    fn default() -> Self {
        Self {
            label: String::new(),
            min: 0.0,
            max: 0.0,
            tick_text: |value| value.to_string(),
        }
    }
}

impl PartialEq for Axis {
    // Two addresses of one function cost a redraw, no more; so the addresses may be compared.
    fn eq(&self, other: &Self) -> bool {
        self.label == other.label
            && self.min == other.min
            && self.max == other.max
            && std::ptr::fn_addr_eq(self.tick_text, other.tick_text)
    }
}

/// One panel: a y axis and what is drawn against it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Panel {
    /// The y axis; its label is the panel's title.
    pub y: Axis,
    /// The lines, each labeled at its end.
    pub lines: Vec<Line>,
    /// Limits, hatched above.
    pub limits: Vec<Limit>,
    /// Regions in which a value may be anything from zero to an upper edge.
    pub fades: Vec<Fade>,
}

/// Whose line it is: this decides color, dash and width together.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Role {
    /// The pulley that is on the car: colored and solid.
    #[default]
    OnCar,
    /// The pulley to try: colored and dashed.
    Try,
    /// A load: ink and dotted.
    Load,
    /// The load that matters most: ink, dotted, heavier.
    LoadStrong,
    /// Neither: ink and solid.
    Plain,
}

/// A line with its label and its spread.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Line {
    /// Whose line it is.
    pub role: Role,
    /// The words at the line's end ("on car 2 1/4"); empty for none. A no-break space keeps a
    /// size together where the label is wrapped.
    pub label: String,
    /// Points (x, y), x ascending.
    pub points: Vec<(f64, f64)>,
    /// The spread as a filled band of (x, low, high), x ascending; empty for none.
    pub spread: Vec<(f64, f64, f64)>,
    /// The spread at chosen places, as whiskers of (x, low, high).
    pub whiskers: Vec<(f64, f64, f64)>,
}

/// A limit on y. What lies above is hatched.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Limit {
    /// Where the limit may begin: hatched sparsely from here.
    pub lo: f64,
    /// Where it is certain: hatched densely from here. Equal to `lo` for a limit that is known.
    pub hi: f64,
    /// The words beside it ("limit 15,000 to 18,000, assumed").
    pub label: String,
}

/// A region in which the value lies anywhere between zero and an upper edge: hatched between.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Fade {
    /// Whose value it is.
    pub role: Role,
    /// The upper edge (x, y), x ascending.
    pub upper: Vec<(f64, f64)>,
}

/// A named position on the x axis.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Marker {
    /// Where it is.
    pub x: f64,
    /// Its name ("limiter").
    pub label: String,
}

impl PlotSpec {
    /// The two ends of the x axis, mended so that they are finite and apart.
    pub(super) fn x_range(&self) -> (f64, f64) {
        sound_range(self.x.min, self.x.max)
    }
}

impl Panel {
    /// The range of the y axis: what the page asks for, reaching further to all data and, when a
    /// limit is near enough to matter, to the limit with some room above it.
    pub(super) fn y_range(&self, x: (f64, f64)) -> (f64, f64) {
        let mut min = f64::INFINITY;
        let mut max = f64::NEG_INFINITY;
        let mut reach = |y: f64| {
            if y.is_finite() {
                min = min.min(y);
                max = max.max(y);
            }
        };
        let inside = |at: f64| at >= x.0 && at <= x.1;
        for line in &self.lines {
            line.points
                .iter()
                .filter(|p| inside(p.0))
                .for_each(|p| reach(p.1));
            line.spread
                .iter()
                .chain(&line.whiskers)
                .filter(|s| inside(s.0))
                .for_each(|s| {
                    reach(s.1);
                    reach(s.2);
                });
        }
        for fade in &self.fades {
            if !fade.upper.is_empty() {
                reach(0.0);
            }
            fade.upper
                .iter()
                .filter(|p| inside(p.0))
                .for_each(|p| reach(p.1));
        }
        reach(self.y.min);
        reach(self.y.max);
        if min > max {
            return (0.0, 1.0);
        }
        let data = max;
        for limit in &self.limits {
            // A limit far above the data would squash the lines; its words then say so alone.
            let lo = limit.lo.min(limit.hi);
            if lo.is_finite() && lo > min && lo <= min + 1.5 * (data - min) {
                let room = lo + 0.2 * (lo - min);
                let hi = limit.lo.max(limit.hi);
                let hi = if hi.is_finite() { hi } else { lo };
                max = max.max(room).max(hi.min(lo + 0.4 * (lo - min)));
            }
        }
        if self.y.max < max {
            // A line along the very top edge would be cut in half.
            max += 0.03 * (max - min);
        }
        sound_range(min, max)
    }
}

impl Line {
    /// The points to draw.
    pub(super) fn clean(&self, x: (f64, f64)) -> Vec<(f64, f64)> {
        cut(&self.points, x)
    }

    /// The band's outline to draw: along its lower edge, back along its upper one.
    pub(super) fn clean_spread(&self, x: (f64, f64)) -> Vec<(f64, f64)> {
        let sound = self
            .spread
            .iter()
            .filter(|s| s.0.is_finite() && s.1.is_finite() && s.2.is_finite());
        let (lo, hi): (Vec<_>, Vec<_>) = sound.map(|s| ((s.0, s.1), (s.0, s.2))).unzip();
        let mut outline = cut(&lo, x);
        outline.extend(cut(&hi, x).into_iter().rev());
        outline
    }

    /// The whiskers to draw.
    pub(super) fn clean_whiskers(
        &self,
        x: (f64, f64),
    ) -> impl Iterator<Item = &(f64, f64, f64)> + '_ {
        self.whiskers
            .iter()
            .filter(move |w| w.1.is_finite() && w.2.is_finite() && w.0 >= x.0 && w.0 <= x.1)
    }
}

impl Fade {
    /// The upper edge to draw.
    pub(super) fn clean(&self, x: (f64, f64)) -> Vec<(f64, f64)> {
        cut(&self.upper, x)
    }
}

/// A range that plotters can map: finite, apart, neither too fine nor too wide for ticks.
fn sound_range(min: f64, max: f64) -> (f64, f64) {
    let (min, max) = (min.min(max), max.max(min));
    if !min.is_finite() || !max.is_finite() || max > 1e12 || min < -1e12 {
        (0.0, 1.0)
    } else if max - min < 1e-6 * max.abs().max(1.0) {
        (min, min + max.abs().max(1.0))
    } else {
        (min, max)
    }
}

/// The finite points within `x`, with points put in where the line crosses its ends.
fn cut(points: &[(f64, f64)], x: (f64, f64)) -> Vec<(f64, f64)> {
    let mut kept: Vec<(f64, f64)> = Vec::with_capacity(points.len());
    let mut last: Option<(f64, f64)> = None;
    for &point in points.iter().filter(|p| p.0.is_finite() && p.1.is_finite()) {
        if let Some(before) = last {
            for end in [x.0, x.1] {
                if before.0 < end && end < point.0 {
                    let part = (end - before.0) / (point.0 - before.0);
                    kept.push((end, before.1 + part * (point.1 - before.1)));
                }
            }
        }
        if point.0 >= x.0 && point.0 <= x.1 {
            kept.push(point);
        }
        last = Some(point);
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn points_that_are_not_finite_are_left_out() {
        let line = Line {
            points: vec![
                (0.0, 1.0),
                (1.0, f64::NAN),
                (f64::INFINITY, 2.0),
                (2.0, 3.0),
            ],
            ..Line::default()
        };
        assert_eq!(line.clean((0.0, 10.0)), vec![(0.0, 1.0), (2.0, 3.0)]);
    }

    #[test]
    fn a_line_is_cut_where_it_crosses_the_axis_ends() {
        let line = Line {
            points: vec![(0.0, 0.0), (10.0, 10.0)],
            ..Line::default()
        };
        assert_eq!(line.clean((2.0, 5.0)), vec![(2.0, 2.0), (5.0, 5.0)]);
    }

    #[test]
    fn a_near_limit_is_in_range_and_a_far_one_is_not() {
        let mut panel = Panel {
            lines: vec![Line {
                points: vec![(0.0, 0.0), (1.0, 100.0)],
                ..Line::default()
            }],
            limits: vec![Limit {
                lo: 120.0,
                hi: 130.0,
                label: String::new(),
            }],
            ..Panel::default()
        };
        assert!(panel.y_range((0.0, 1.0)).1 > 130.0);
        panel.limits[0].lo = 900.0;
        panel.limits[0].hi = 1_000.0;
        assert!(panel.y_range((0.0, 1.0)).1 < 110.0);
    }

    #[test]
    fn the_range_is_sound_whatever_comes_in() {
        for y in [0.0, f64::NAN, f64::INFINITY, 1e300, -1e-300] {
            let panel = Panel {
                lines: vec![Line {
                    points: vec![(0.0, y)],
                    ..Line::default()
                }],
                ..Panel::default()
            };
            let (min, max) = panel.y_range((0.0, 1.0));
            assert!(min.is_finite() && max.is_finite() && max > min, "{y}");
        }
    }
}
