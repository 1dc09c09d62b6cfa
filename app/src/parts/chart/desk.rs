//! Writing the chart's texts down one by one: each is measured, kept inside, and kept apart.

use super::layout::{Ink, Leader, Mark, PanelPlan, Text};
use super::limit::{GAP, HIDDEN, Words, place_words};
use super::place::{Rect, Wish, apart, ascending, wrap};
use super::scale::{Frame, ticks};
use super::spec::{Marker, Panel};

/// From one stroke to the next where labels stand above a panel, in CSS pixels.
pub const STROKE_STEP: f64 = 9.0;

/// A line's label, wrapped.
pub struct EndLabel {
    /// Which line of the panel.
    line: usize,
    /// Its rows.
    pub rows: Vec<String>,
}

/// A limit's words, wrapped to the plot.
pub struct LimitWords {
    lo: f64,
    hi: f64,
    wrapped: Vec<Vec<String>>,
}

/// What is needed to write a text, and the texts written so far.
pub struct Desk<'a> {
    width: f64,
    em: f64,
    /// Height of a row of text.
    pub row: f64,
    /// Ends of the x axis.
    pub x: (f64, f64),
    measure: &'a mut dyn FnMut(&str) -> f64,
    /// The texts written so far.
    pub texts: Vec<Text>,
}

impl<'a> Desk<'a> {
    /// Starts an empty chart of a width and text size.
    pub fn new(
        width: f64,
        em: f64,
        x: (f64, f64),
        measure: &'a mut dyn FnMut(&str) -> f64,
    ) -> Self {
        Self {
            width,
            em,
            row: (1.25 * em).round(),
            x,
            measure,
            texts: Vec::new(),
        }
    }

    /// The width of a text.
    pub fn measure(&mut self, text: &str) -> f64 {
        (self.measure)(text)
    }

    /// The room between the plot's right edge and the labels.
    pub fn lead(&self) -> f64 {
        1.3 * self.em
    }

    /// Writes one row whose upper left corner is at (x, y), moved inward if it would be clipped.
    pub fn write(&mut self, words: &str, ink: Ink, x: f64, y: f64) {
        let w = self.measure(words);
        self.texts.push(Text {
            rect: Rect {
                x: x.min(self.width - w).max(0.0),
                y,
                w,
                h: self.row,
            },
            words: words.to_owned(),
            ink,
        });
    }

    /// Writes text from `y` down over the whole width, from the left or centered somewhere, and
    /// returns the height where it ends.
    pub fn paragraph(&mut self, words: &str, ink: Ink, mut y: f64, center: Option<f64>) -> f64 {
        for row in wrap(words, self.width, self.measure) {
            let x = center.map_or(0.0, |at| at - self.measure(&row) / 2.0);
            self.write(&row, ink, x, y);
            y += self.row;
        }
        y
    }

    /// Wraps the labels of the lines that have something to label to a width: by default what the
    /// strip at the right may take.
    pub fn end_labels(&mut self, panel: &Panel, room: Option<f64>) -> Vec<EndLabel> {
        let room = room.unwrap_or((0.21 * self.width).max(4.4 * self.em));
        panel
            .lines
            .iter()
            .enumerate()
            .filter(|(_, line)| !line.clean(self.x).is_empty())
            .map(|(index, line)| EndLabel {
                line: index,
                rows: wrap(&line.label, room, self.measure),
            })
            .filter(|label| !label.rows.is_empty())
            .collect()
    }

    /// The height of labels above one another.
    pub fn labels_height(&self, labels: &[EndLabel]) -> f64 {
        let rows: usize = labels.iter().map(|label| label.rows.len()).sum();
        rows as f64 * self.row
    }

    /// Writes the labels beside the ends of their lines, kept apart.
    pub fn labels_beside(&mut self, panel: &Panel, labels: &[EndLabel], placed: &mut PanelPlan) {
        let rect = placed.frame.rect;
        let ends: Vec<(f64, f64)> = labels
            .iter()
            .map(|label| self.line_end(panel, label.line, placed))
            .collect();
        let wishes: Vec<Wish> = labels
            .iter()
            .zip(&ends)
            .map(|(label, end)| Wish {
                at: end.1,
                size: label.rows.len() as f64 * self.row,
            })
            .collect();
        let centers = apart(&wishes, rect.y, rect.bottom());
        for (((label, end), wish), center) in labels.iter().zip(&ends).zip(&wishes).zip(centers) {
            let role = panel.lines[label.line].role;
            let edge = rect.right() + 0.8 * self.lead();
            placed.leaders.push(Leader {
                role,
                points: vec![*end, (rect.right(), end.1), (edge, center)],
            });
            let mut y = center - wish.size / 2.0;
            for row in &label.rows {
                self.write(row, Ink::Role(role), rect.right() + self.lead(), y);
                y += self.row;
            }
        }
    }

    /// Writes the labels above the panel from `y` down, for a chart too narrow to have them
    /// beside: each ends at a stroke that runs down the strip at the right to its line. The lowest
    /// line has the uppermost label and the outermost stroke, so that no strokes cross.
    pub fn labels_above(
        &mut self,
        panel: &Panel,
        labels: &[EndLabel],
        mut y: f64,
        placed: &mut PanelPlan,
    ) {
        let right = placed.frame.rect.right();
        let ends: Vec<(f64, f64)> = labels
            .iter()
            .map(|label| self.line_end(panel, label.line, placed))
            .collect();
        let order = ascending(ends.iter().map(|end| -end.1));
        let count = order.len();
        for (rank, index) in order.into_iter().enumerate() {
            let (label, end) = (&labels[index], ends[index]);
            let role = panel.lines[label.line].role;
            let lane = right + STROKE_STEP * (count - rank) as f64;
            let middle = y + self.row / 2.0;
            let mut text_end = right;
            for row in &label.rows {
                let start = (right - self.measure(row)).max(0.0);
                text_end = text_end.max(start + self.measure(row));
                self.write(row, Ink::Role(role), start, y);
                y += self.row;
            }
            placed.leaders.push(Leader {
                role,
                points: vec![end, (lane, end.1), (lane, middle), (text_end + 2.0, middle)],
            });
        }
    }

    /// Where a line ends, or where the region that continues it does.
    fn line_end(&self, panel: &Panel, line: usize, placed: &PanelPlan) -> (f64, f64) {
        let role = panel.lines[line].role;
        let fades = panel
            .fades
            .iter()
            .filter(|fade| fade.role == role)
            .filter_map(|fade| fade.clean(self.x).last().copied());
        let mut end = (f64::NEG_INFINITY, 0.0);
        for last in placed.lines[line].last().copied().into_iter().chain(fades) {
            if last.0 > end.0 {
                end = last;
            }
        }
        placed.frame.place(end)
    }

    /// Wraps the words of the limits to a plot of a given width, broad and narrow; a limit that is
    /// not finite has none.
    pub fn limit_words(&mut self, panel: &Panel, top: f64, plot: f64) -> Vec<LimitWords> {
        panel
            .limits
            .iter()
            .map(|limit| (limit.lo.min(limit.hi), limit.lo.max(limit.hi), &limit.label))
            .filter(|(lo, hi, label)| lo.is_finite() && hi.is_finite() && !label.is_empty())
            .map(|(lo, hi, label)| {
                // An arrow says that the limit itself is beyond the panel's upper edge.
                let arrow = if lo > top { "\u{2191} " } else { "" };
                let words = format!("{arrow}{label}");
                let room = plot - 2.0 * (GAP + self.pad());
                let mut wrapped = vec![wrap(&words, room, self.measure)];
                let mut word = 0.0_f64;
                for part in words.split(' ') {
                    word = word.max(self.measure(part));
                }
                // Narrow rows that would break a word are no choice.
                if word <= 0.6 * room {
                    wrapped.push(wrap(&words, 0.6 * room, self.measure));
                }
                LimitWords { lo, hi, wrapped }
            })
            .collect()
    }

    /// The height that the words of the limits take when they stand above one another.
    pub fn limits_height(&self, words: &[LimitWords]) -> f64 {
        let heights = words
            .iter()
            .map(|limit| limit.wrapped[0].len() as f64 * self.row + GAP);
        GAP + heights.sum::<f64>()
    }

    /// Writes the words of the limits where they hide least; if one would cover another, all of
    /// them from the top down.
    pub fn place_limits(&mut self, words: &[LimitWords], placed: &mut PanelPlan) {
        let area = placed.frame.rect;
        let lines: Vec<Vec<(f64, f64)>> = placed
            .lines
            .iter()
            .map(|line| {
                let mut spots: Vec<_> = line.iter().map(|p| placed.frame.place(*p)).collect();
                // The stroke that leads to the label.
                spots.extend(spots.last().map(|last| (area.right(), last.1)));
                spots
            })
            .collect();
        let mut plates: Vec<Rect> = Vec::new();
        let mut chosen: Vec<&[String]> = Vec::new();
        let mut hidden = false;
        for limit in words {
            let height = |y: f64| {
                let y = y.clamp(placed.y.0, placed.y.1);
                placed.frame.place((self.x.0, y)).1
            };
            let edges = (height(limit.lo), height(limit.hi));
            let mut best: Option<(Rect, usize, &[String])> = None;
            for rows in &limit.wrapped {
                let block = self.block(rows);
                let (plate, cost) = place_words(&block, &area, edges, &lines, &plates);
                if best.is_none_or(|(_, least, _)| cost < least) {
                    best = Some((plate, cost, rows));
                }
            }
            if let Some((plate, cost, rows)) = best {
                hidden |= cost >= HIDDEN;
                plates.push(plate);
                chosen.push(rows);
            }
        }
        if hidden {
            let mut y = area.y + GAP;
            for (index, limit) in words.iter().enumerate() {
                chosen[index] = &limit.wrapped[0];
                let block = self.block(chosen[index]);
                plates[index] = Rect {
                    x: area.x + GAP,
                    y,
                    w: block.w,
                    h: block.h,
                };
                y += block.h + GAP;
            }
        }
        for (plate, rows) in plates.iter().zip(chosen) {
            for (index, row) in rows.iter().enumerate() {
                let y = plate.y + index as f64 * self.row;
                self.write(row, Ink::Strong, plate.x + self.pad(), y);
            }
        }
        placed.plates = plates;
    }

    fn block(&mut self, rows: &[String]) -> Words {
        let mut w = 0.0_f64;
        for row in rows {
            w = w.max(self.measure(row));
        }
        Words {
            w: w + 2.0 * self.pad(),
            h: rows.len() as f64 * self.row,
        }
    }

    fn pad(&self) -> f64 {
        0.3 * self.em
    }

    /// Writes the markers' names in rows above the first panel, none further right than `end`, and
    /// returns the height where they end.
    pub fn marks(
        &mut self,
        markers: &[Marker],
        (left, right): (f64, f64),
        end: f64,
        y: f64,
        marks: &mut Vec<Mark>,
    ) -> f64 {
        let gap = 0.6 * self.em;
        let order = ascending(markers.iter().map(|marker| marker.x));
        let named: Vec<&Marker> = order
            .into_iter()
            .map(|index| &markers[index])
            .filter(|m| m.x >= self.x.0 && m.x <= self.x.1 && !m.label.is_empty())
            .collect();
        if named.is_empty() {
            return y;
        }
        let wishes: Vec<Wish> = named
            .iter()
            .map(|marker| {
                let part = (marker.x - self.x.0) / (self.x.1 - self.x.0);
                Wish {
                    at: left + part * (right - left),
                    size: self.measure(&marker.label) + gap,
                }
            })
            .collect();
        let total: f64 = wishes.iter().map(|wish| wish.size).sum();
        let from = -gap / 2.0;
        let to = end + gap / 2.0;
        let mut rows = (total / (to - from)).ceil().max(1.0) as usize;
        // Names of different widths may not fill the rows evenly.
        while rows < named.len()
            && (0..rows).any(|row| {
                let used: f64 = wishes.iter().skip(row).step_by(rows).map(|w| w.size).sum();
                used > to - from
            })
        {
            rows += 1;
        }
        for row in 0..rows {
            let members: Vec<usize> = (row..named.len()).step_by(rows).collect();
            let own: Vec<Wish> = members.iter().map(|&index| wishes[index]).collect();
            let top = y + row as f64 * self.row;
            for (&index, center) in members.iter().zip(apart(&own, from, to)) {
                let width = wishes[index].size - gap;
                self.write(&named[index].label, Ink::Strong, center - width / 2.0, top);
                marks.push(Mark {
                    x: wishes[index].at,
                    name: Rect {
                        x: center - width / 2.0,
                        y: top,
                        w: width,
                        h: self.row,
                    },
                });
            }
        }
        y + rows as f64 * self.row
    }

    /// Writes x ticks that stand clear of each other and returns where ticks are; where not even
    /// three texts have room, some ticks have none.
    pub fn x_ticks(&mut self, frame: &Frame, words: fn(f64) -> String, y: f64) -> Vec<f64> {
        let gap = 0.45 * self.em;
        let most = ((frame.rect.w / (2.5 * self.em)) as usize).clamp(3, 10);
        let mut spots = Vec::new();
        let mut every = 1;
        for (count, stride) in (3..=most)
            .rev()
            .map(|n| (n, 1))
            .chain([(4, 2), (4, 3), (4, 4)])
        {
            every = stride;
            spots = ticks(self.x, count)
                .into_iter()
                .map(|value| {
                    let text = words(value);
                    let w = self.measure(&text);
                    (frame.place((value, 0.0)).0, w, text)
                })
                .collect::<Vec<_>>();
            let mut end = f64::NEG_INFINITY;
            let clear = spots.iter().rev().step_by(every).rev().all(|(at, w, _)| {
                let free = at - w / 2.0 > end + gap;
                end = at + w / 2.0;
                free
            });
            if clear && spots.len() > 1 {
                break;
            }
        }
        for (at, w, text) in spots.iter().rev().step_by(every) {
            self.write(text, Ink::Quiet, at - w / 2.0, y);
        }
        spots.into_iter().map(|spot| spot.0).collect()
    }
}
