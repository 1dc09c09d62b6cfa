//! The start of a file split by one delimiter, and how its cells then read.

use super::lines::{Next, cells, is_comment, next_row};
use super::value::{Class, class};
use super::{DecimalMark, Delimiter, Options, Place, decode, place};

/// Rows at the end of the head that show what the columns hold.
pub(super) const SAMPLE: usize = 400;

/// A row of the head.
#[derive(Clone, Copy, Debug)]
pub(super) struct Row {
    pub start: usize,
    pub end: usize,
    /// Where the row after it starts.
    pub next: usize,
    /// Lines before it.
    pub line: u64,
}

/// A way to split the head.
pub(super) struct Split {
    pub delimiter: Delimiter,
    pub rows: Vec<Row>,
    /// Cells of most rows.
    pub width: usize,
    pub mark: DecimalMark,
    /// Part of the cells that are numbers, times or none, of the rows that are as wide as most.
    pub score: f64,
    pub counts: Counts,
}

/// How the cells of a sample read.
#[derive(Default)]
pub(super) struct Counts {
    pub point: usize,
    pub comma: usize,
    pub point_or_thousands: usize,
    pub comma_or_thousands: usize,
    /// The first cell that reads as a number with a point, and the first with a comma.
    pub shown: [Option<(Place, String)>; 2],
}

/// All rows of the head but the last, which may be cut.
pub(super) fn rows(head: &[u8], whole: bool, delimiter: u8) -> Vec<Row> {
    let mut rows = vec![];
    let (mut start, mut line) = (0, 0);
    while let Some(rest) = head.get(start..).filter(|rest| !rest.is_empty()) {
        let (end, next, breaks) = match next_row(rest, delimiter, whole) {
            Next::Row { end, next, breaks } => (end, next, breaks),
            Next::OpenQuote { end, next } => (end, next, 1),
            Next::More => break,
        };
        rows.push(Row {
            start,
            end: start + end,
            next: start + next,
            line,
        });
        start += next;
        line += breaks;
    }
    rows
}

pub(super) fn is_blank(row: &[u8], delimiter: u8) -> bool {
    row.iter()
        .all(|byte| *byte == delimiter || byte.is_ascii_whitespace())
}

/// How many cells, those of an empty end not counted.
pub(super) fn filled(row: &[u8], delimiter: u8) -> usize {
    let mut filled = 0;
    for (at, cell) in cells(row, delimiter).enumerate() {
        if !cell.text.is_empty() {
            filled = at + 1;
        }
    }
    filled
}

pub(super) fn split(head: &[u8], whole: bool, delimiter: Delimiter, options: &Options) -> Split {
    let byte = delimiter.byte();
    let rows = rows(head, whole, byte);
    let body: Vec<Row> = rows
        .iter()
        .copied()
        .filter(|row| {
            let text = &head[row.start..row.end];
            !is_blank(text, byte) && !is_comment(text, byte)
        })
        .collect();
    let half = body.get(body.len() / 2..).unwrap_or_default();
    let sample = half
        .get(half.len().saturating_sub(SAMPLE)..)
        .unwrap_or_default();
    let mut widths: Vec<usize> = sample
        .iter()
        .map(|row| cells(&head[row.start..row.end], byte).count())
        .collect();
    widths.sort_unstable();
    let width = widths
        .chunk_by(|a, b| a == b)
        .max_by_key(|same| same.len())
        .and_then(|same| same.first().copied())
        .unwrap_or(0);
    let mut counts = Counts::default();
    let (mut whole_cells, mut all, mut even) = (0, 0, 0);
    for row in sample {
        let text = &head[row.start..row.end];
        let found = cells(text, byte);
        if found.clone().count() != width {
            continue;
        }
        even += 1;
        for cell in found {
            let class = class(&cell.text);
            match class {
                Class::Blank => continue,
                Class::Missing | Class::Whole | Class::Moment => whole_cells += 1,
                Class::Point => counts.point += 1,
                Class::Comma => counts.comma += 1,
                Class::PointOrThousands => counts.point_or_thousands += 1,
                Class::CommaOrThousands => counts.comma_or_thousands += 1,
                Class::Text => {}
            }
            let which = match class {
                Class::Point | Class::PointOrThousands => Some(0),
                Class::Comma | Class::CommaOrThousands => Some(1),
                _ => None,
            };
            if let Some(shown) = which.and_then(|which| counts.shown.get_mut(which)) {
                shown.get_or_insert_with(|| {
                    let column = place::characters(&text[..cell.at]) + 1;
                    let line = row.line + 1;
                    (Place { line, column }, decode::text(&cell.text))
                });
            }
            all += 1;
        }
    }
    let points = counts.point + counts.point_or_thousands;
    let commas = counts.comma + counts.comma_or_thousands;
    let mark = options.mark.unwrap_or(match (counts.point, counts.comma) {
        (0, 0) if commas > points => DecimalMark::Comma,
        (point, comma) if comma > point => DecimalMark::Comma,
        _ => DecimalMark::Point,
    });
    let numbers = whole_cells
        + match mark {
            DecimalMark::Point => points,
            DecimalMark::Comma => commas,
        };
    let share = |part: usize, all: usize| {
        if all == 0 {
            0.0
        } else {
            part as f64 / all as f64
        }
    };
    Split {
        delimiter,
        score: share(numbers, all) * share(even, sample.len()),
        rows: body,
        width,
        mark,
        counts,
    }
}
