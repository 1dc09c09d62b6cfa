//! Where everything goes, in CSS pixels: decided before anything is drawn, and without a browser.

use super::desk::{Desk, STROKE_STEP};
use super::place::Rect;
use super::scale::{Frame, ticks};
use super::spec::{PlotSpec, Role};

/// The color of a text.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Ink {
    /// Full ink.
    Strong,
    /// Quiet text: axes.
    Quiet,
    /// The color of a line.
    Role(Role),
}

/// A text and the box it fills.
#[derive(Clone, Debug)]
pub struct Text {
    /// The box; the text starts at its left edge and is centered in height.
    pub rect: Rect,
    /// What it says.
    pub words: String,
    /// Its color.
    pub ink: Ink,
}

/// A short piece that carries a line on to its label.
#[derive(Clone, Debug)]
pub struct Leader {
    /// Whose line it is.
    pub role: Role,
    /// From the line's end to the label.
    pub points: Vec<(f64, f64)>,
}

/// A marker's stroke up to its name.
#[derive(Clone, Copy, Debug)]
pub struct Mark {
    /// Where the marker stands.
    pub x: f64,
    /// The box of its name.
    pub name: Rect,
}

/// One panel, placed.
pub struct PanelPlan {
    /// The plotting area and its coordinates.
    pub frame: Frame,
    /// Range of the y axis.
    pub y: (f64, f64),
    /// Heights of the grid lines.
    pub grid: Vec<f64>,
    /// The points of every line, cleaned, in data units.
    pub lines: Vec<Vec<(f64, f64)>>,
    /// The pieces from lines to labels.
    pub leaders: Vec<Leader>,
    /// Plain ground under words that stand on hatching.
    pub plates: Vec<Rect>,
}

/// The whole chart, placed.
pub struct Layout {
    /// Width.
    pub width: f64,
    /// Height: follows from the text size, the panels and the labels.
    pub height: f64,
    /// Left edge of all plotting areas.
    pub left: f64,
    /// Right edge of all plotting areas.
    pub right: f64,
    /// The panels, from top to bottom.
    pub panels: Vec<PanelPlan>,
    /// Where the x ticks stand.
    pub x_grid: Vec<f64>,
    /// The markers.
    pub marks: Vec<Mark>,
    /// Every text of the chart.
    pub texts: Vec<Text>,
}

/// The narrowest side strips: the step buttons of the rail stand under them.
const LEFT_LEAST: f64 = 52.0;
const RIGHT_LEAST: f64 = 56.0;

/// Places a chart of a given width and text size; `unit` is plotters' units per CSS pixel,
/// `measure` gives the width of a text in CSS pixels.
pub fn plan(
    spec: &PlotSpec,
    width: f64,
    em: f64,
    unit: f64,
    measure: &mut dyn FnMut(&str) -> f64,
) -> Layout {
    let mut desk = Desk::new(width, em, spec.x_range(), measure);
    let ranges: Vec<_> = spec.panels.iter().map(|p| p.y_range(desk.x)).collect();
    let y_ticks: Vec<Vec<(f64, String)>> = spec
        .panels
        .iter()
        .zip(&ranges)
        .map(|(panel, range)| {
            let words = panel.y.tick_text;
            let mut ticks: Vec<_> = ticks(*range, 5)
                .into_iter()
                .map(|v| (v, words(v)))
                .collect();
            // Words too coarse for the step would say one number at two heights.
            ticks.dedup_by(|next, before| next.1 == before.1);
            ticks
        })
        .collect();
    let mut widest = 0.0_f64;
    for (_, text) in y_ticks.iter().flatten() {
        widest = widest.max(desk.measure(text));
    }
    let left = (widest + 0.5 * em).ceil().max(LEFT_LEAST);

    let mut labels: Vec<_> = spec
        .panels
        .iter()
        .map(|panel| desk.end_labels(panel, None))
        .collect();
    let mut widest = 0.0_f64;
    for row in labels.iter().flatten().flat_map(|label| &label.rows) {
        widest = widest.max(desk.measure(row));
    }
    let mut strip = (desk.lead() + widest + 1.0).ceil().max(RIGHT_LEAST);
    // Large text on a small screen: beside the plot, the labels would leave it no room.
    let above = width - left - strip < 0.45 * width;
    if above {
        let most = labels.iter().map(Vec::len).max().unwrap_or_default();
        strip = (STROKE_STEP * (most + 1) as f64).max(RIGHT_LEAST);
        labels = spec
            .panels
            .iter()
            .map(|panel| desk.end_labels(panel, Some(width - strip)))
            .collect();
    }
    let right = (width - strip).max(left + 1.0);

    let mut panels = Vec::with_capacity(spec.panels.len());
    let mut marks = Vec::new();
    let mut y = 0.0;
    for (index, panel) in spec.panels.iter().enumerate() {
        y = desk.paragraph(&panel.y.label, Ink::Quiet, y, None);
        let labels_height = desk.labels_height(&labels[index]);
        let mut labels_top = y;
        if above {
            for limit in &panel.limits {
                y = desk.paragraph(&limit.label, Ink::Strong, y, None);
            }
            labels_top = y;
            y += labels_height;
        }
        if index == 0 {
            // Strokes to labels above the panel take the strip at the right.
            let end = if above { right } else { width };
            y = desk.marks(&spec.markers, (left, right), end, y, &mut marks);
        }
        // The tick texts at a panel's upper and lower end stand half a row out.
        y += (desk.row / 2.0).ceil();
        let limits = if above {
            Vec::new()
        } else {
            desk.limit_words(panel, ranges[index].1, right - left)
        };
        let usual = if width < 700.0 { 11.0 } else { 15.0 } * em;
        let rect = Rect {
            x: left,
            y,
            w: right - left,
            h: usual
                .max(if above { 0.0 } else { labels_height })
                .max(desk.limits_height(&limits))
                .round(),
        };
        let mut placed = PanelPlan {
            frame: Frame::new(rect, desk.x, ranges[index], unit),
            y: ranges[index],
            grid: Vec::new(),
            lines: panel.lines.iter().map(|line| line.clean(desk.x)).collect(),
            leaders: Vec::new(),
            plates: Vec::new(),
        };
        for (value, text) in &y_ticks[index] {
            let at = placed.frame.place((desk.x.0, *value)).1;
            placed.grid.push(at);
            let start = left - 0.4 * em - desk.measure(text);
            desk.write(text, Ink::Quiet, start, at - desk.row / 2.0);
        }
        if above {
            desk.labels_above(panel, &labels[index], labels_top, &mut placed);
        } else {
            desk.labels_beside(panel, &labels[index], &mut placed);
        }
        desk.place_limits(&limits, &mut placed);
        panels.push(placed);
        y = rect.bottom() + (desk.row / 2.0).ceil();
    }
    let x_grid = match panels.last() {
        Some(last) => desk.x_ticks(&last.frame, spec.x.tick_text, y),
        None => Vec::new(),
    };
    y = desk.paragraph(
        &spec.x.label,
        Ink::Quiet,
        y + desk.row,
        Some((left + right) / 2.0),
    );
    Layout {
        width,
        height: y.ceil(),
        left,
        right,
        panels,
        x_grid,
        marks,
        texts: desk.texts,
    }
}

#[cfg(test)]
mod tests {
    use super::super::spec::{Axis, Limit, Line, Marker, Panel};
    use super::*;

    fn axis(label: &str, min: f64, max: f64) -> Axis {
        Axis {
            label: label.to_owned(),
            min,
            max,
            tick_text: |value| format!("{value:.0}"),
        }
    }

    fn line(role: Role, label: &str, points: &[(f64, f64)]) -> Line {
        Line {
            role,
            label: label.to_owned(),
            points: points.to_vec(),
            ..Line::default()
        }
    }

    fn limit(lo: f64, hi: f64) -> Limit {
        Limit {
            lo,
            hi,
            label: format!("limit {lo:.0} to {hi:.0}, assumed"),
        }
    }

    fn chart(lines: &[Line], limits: &[Limit]) -> PlotSpec {
        let panel = |label: &str| Panel {
            y: axis(label, 0.0, 0.0),
            lines: lines.to_vec(),
            limits: limits.to_vec(),
            ..Panel::default()
        };
        PlotSpec {
            x: axis("engine rpm", 800.0, 8_000.0),
            panels: vec![panel("alternator speed, rpm"), panel("output, A")],
            markers: [(900.0, "idle"), (7_200.0, "shift"), (7_500.0, "limiter")]
                .map(|(x, label)| Marker {
                    x,
                    label: label.to_owned(),
                })
                .to_vec(),
            stops: Vec::new(),
        }
    }

    fn cases() -> Vec<PlotSpec> {
        let flat = |y: f64| [(800.0, y), (8_000.0, y)];
        let twins = vec![
            line(Role::OnCar, "on car 2 1/4", &flat(60.0)),
            line(Role::Try, "try 3 1/2", &flat(60.0)),
            line(Role::Load, "pits 35", &flat(60.0)),
            line(Role::Load, "lanes, fan on 48", &flat(60.0)),
            line(Role::LoadStrong, "worst phase 62", &flat(60.0)),
        ];
        let long = vec![line(
            Role::OnCar,
            "on car, the small one that came with the water pump drive of a longwordwithoutanybreak",
            &flat(9.0),
        )];
        vec![
            chart(&twins, &[limit(15_000.0, 18_000.0)]),
            chart(&twins, &[limit(50.0, 70.0), limit(55.0, 80.0)]),
            chart(&twins, &[limit(-5.0, -5.0)]),
            chart(&long, &[limit(1e9, 1e9)]),
            chart(&[line(Role::OnCar, "zero", &flat(0.0))], &[limit(0.0, 0.0)]),
            chart(&[line(Role::Try, "one", &[(4_000.0, 3.0)])], &[]),
            chart(&[line(Role::Try, "none", &[(f64::NAN, 3.0)])], &[]),
            chart(&[], &[]),
            PlotSpec::default(),
        ]
    }

    #[test]
    fn no_text_is_clipped_and_none_overlap() {
        for (case, spec) in cases().iter().enumerate() {
            for (width, em) in [(328.0, 14.0), (360.0, 14.0), (328.0, 28.0), (1_200.0, 14.0)] {
                let mut measure = |text: &str| text.chars().count() as f64 * 0.52 * em;
                let layout = plan(spec, width, em, 24.0, &mut measure);
                for (index, text) in layout.texts.iter().enumerate() {
                    let at = format!("case {case}, width {width}, em {em}: {text:?}");
                    assert!(
                        text.rect.x >= 0.0 && text.rect.right() <= width + 0.01,
                        "{at}"
                    );
                    assert!(
                        text.rect.y >= -0.01 && text.rect.bottom() <= layout.height + 0.01,
                        "{at}"
                    );
                    for other in &layout.texts[index + 1..] {
                        let inner = Rect {
                            x: text.rect.x + 0.01,
                            y: text.rect.y + 0.01,
                            w: text.rect.w - 0.02,
                            h: text.rect.h - 0.02,
                        };
                        assert!(!inner.meets(&other.rect), "{at} over {other:?}");
                    }
                }
            }
        }
    }

    #[test]
    fn every_line_with_points_has_its_label() {
        let mut measure = |text: &str| text.chars().count() as f64 * 7.3;
        let layout = plan(&cases()[0], 360.0, 14.0, 24.0, &mut measure);
        assert!(layout.panels.iter().all(|panel| panel.leaders.len() == 5));
        let said: String = layout
            .texts
            .iter()
            .filter(|text| matches!(text.ink, Ink::Role(Role::Try)))
            .map(|text| text.words.as_str())
            .collect::<Vec<_>>()
            .join(" ");
        assert_eq!(said, "try 3 1/2 try 3 1/2");
    }

    #[test]
    fn the_plot_keeps_most_of_a_phone_s_width() {
        let mut measure = |text: &str| text.chars().count() as f64 * 7.3;
        let layout = plan(&cases()[0], 328.0, 14.0, 24.0, &mut measure);
        assert!(layout.right - layout.left > 0.58 * layout.width);
    }
}
