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
    /// Part of the cells that are numbers, times or none, of the rows that are as wide as most.
    pub score: f64,
}

/// How the cells of a sample read.
#[derive(Default)]
pub(super) struct Counts {
    /// Rows counted.
    rows: usize,
    /// Cells that are not blank.
    filled: usize,
    /// Cells that read the same with either mark, or say that there is no number.
    whole: usize,
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
    let counts = tally(head, sample, byte, Some(width));
    let mark = counts.mark(options);
    let numbers = counts.numbers(mark);
    let (all, even) = (counts.filled, counts.rows);
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
    }
}

/// How the cells of these rows read, of those with so many cells.
pub(super) fn tally(head: &[u8], rows: &[Row], delimiter: u8, width: Option<usize>) -> Counts {
    let mut counts = Counts::default();
    for row in rows {
        let text = &head[row.start..row.end];
        let found = cells(text, delimiter);
        if width.is_some_and(|width| found.clone().count() != width) {
            continue;
        }
        counts.rows += 1;
        for cell in found {
            let class = class(&cell.text);
            let which = match class {
                Class::Blank => continue,
                Class::Text => None,
                Class::Missing | Class::Whole | Class::Moment => {
                    counts.whole += 1;
                    None
                }
                Class::Point => {
                    counts.point += 1;
                    Some(0)
                }
                Class::PointOrThousands => {
                    counts.point_or_thousands += 1;
                    Some(0)
                }
                Class::Comma => {
                    counts.comma += 1;
                    Some(1)
                }
                Class::CommaOrThousands => {
                    counts.comma_or_thousands += 1;
                    Some(1)
                }
            };
            counts.filled += 1;
            if let Some(shown) = which.and_then(|which| counts.shown.get_mut(which)) {
                shown.get_or_insert_with(|| {
                    let column = place::characters(&text[..cell.at]) + 1;
                    let line = row.line + 1;
                    (Place { line, column }, decode::text(&cell.text))
                });
            }
        }
    }
    counts
}

impl Counts {
    /// The mark that more cells speak for.
    pub fn mark(&self, options: &Options) -> DecimalMark {
        let points = self.point + self.point_or_thousands;
        let commas = self.comma + self.comma_or_thousands;
        options.mark.unwrap_or(match (self.point, self.comma) {
            (0, 0) if commas > points => DecimalMark::Comma,
            (point, comma) if comma > point => DecimalMark::Comma,
            _ => DecimalMark::Point,
        })
    }

    /// Cells that are numbers with this mark, or say that there is none.
    fn numbers(&self, mark: DecimalMark) -> usize {
        self.whole
            + match mark {
                DecimalMark::Point => self.point + self.point_or_thousands,
                DecimalMark::Comma => self.comma + self.comma_or_thousands,
            }
    }
}
