//! How a file is written: delimiter, decimal mark, where the header ends and the numbers start.

use super::lines::{cells, trim};
use super::split::{Counts, Row, SAMPLE, Split, filled, rows, split, tally};
use super::value::{Class, Style, class};
use super::{About, Answer, DecimalMark, Delimiter, Options, Place, Question, ReadError};
use super::{decode, header, place};

/// The most columns read.
pub(super) const MOST_COLUMNS: usize = 2_048;

/// What was found out about a file.
#[derive(Debug)]
pub(super) struct Dialect {
    pub delimiter: Delimiter,
    pub style: Style,
    pub names: Vec<String>,
    pub units: Vec<String>,
    /// The text of the header's row and of the units', to know them when they come again.
    pub heads: Vec<Vec<u8>>,
    /// The row that the numbers start with.
    pub data: Row,
    /// Rows of numbers in the head, for looking at.
    pub sample: Vec<Row>,
    /// Whether a column holds numbers or times, of the columns in the sample.
    pub numeric: Vec<bool>,
    pub questions: Vec<Question>,
}

/// Finds out how the file is written whose text starts so. `whole` tells that this is all of it.
pub(super) fn detect(head: &[u8], whole: bool, options: &Options) -> Result<Dialect, ReadError> {
    let delimiters = match options.delimiter {
        Some(delimiter) => vec![delimiter],
        None => Delimiter::ALL.to_vec(),
    };
    let splits: Vec<Split> = delimiters
        .iter()
        .map(|delimiter| split(head, whole, *delimiter, options))
        .collect();
    let mut questions = vec![];
    let best = choose(head, &splits, options, &mut questions);
    let Some(best) = best else {
        let lines = splits.first().and_then(|split| split.rows.last());
        return Err(ReadError::NoNumbers {
            lines: lines.map_or(0, |row| row.line + 1),
        });
    };
    build(head, best, options, questions)
}

/// The way that reads the most; asks where two do.
fn choose<'a>(
    head: &[u8],
    splits: &'a [Split],
    options: &Options,
    questions: &mut Vec<Question>,
) -> Option<&'a Split> {
    let mut best: Option<&Split> = None;
    for split in splits
        .iter()
        .filter(|split| split.width > 1 && split.score > 0.0)
    {
        // A little better may be chance: the order of the delimiters decides.
        if best.is_none_or(|best| split.score > best.score + 0.02) {
            best = Some(split);
        }
    }
    let single = splits
        .iter()
        .filter(|split| split.width == 1 && split.score > 0.0)
        .max_by(|a, b| a.score.total_cmp(&b.score));
    let Some(best) = best else {
        return single;
    };
    // `13,84` alone on a line is one number or two.
    if let Some(single) = single
        && options.delimiter.is_none()
        && best.delimiter == Delimiter::Comma
        && single.score > best.score - 0.02
    {
        let first = single.rows.iter().find(|row| {
            let text = trim(&head[row.start..row.end]);
            matches!(class(text), Class::Comma | Class::CommaOrThousands)
        })?;
        let header = single.rows.iter().rfind(|row| row.start < first.start);
        let names = header.map(|row| cells(&head[row.start..row.end], b',').count());
        match names {
            Some(1) => return Some(single),
            Some(names) if names == best.width => {}
            _ => questions.push(Question {
                about: About::Dialect,
                at: Place {
                    line: first.line + 1,
                    column: 1,
                },
                example: decode::text(&head[first.start..first.end]),
                answers: vec![
                    Answer::Dialect(Delimiter::Comma, DecimalMark::Point),
                    Answer::Dialect(single.delimiter, DecimalMark::Comma),
                ],
            }),
        }
    }
    Some(best)
}

/// Asks which mark it is where the cells do not show it.
fn ask_mark(
    counts: &Counts,
    delimiter: Delimiter,
    options: &Options,
    questions: &mut Vec<Question>,
) {
    let mark = counts.mark(options);
    let open = match mark {
        DecimalMark::Point if counts.point == 0 => {
            counts.comma_or_thousands > 0
                || (counts.point_or_thousands > 0 && delimiter != Delimiter::Comma)
        }
        DecimalMark::Point => counts.comma > 0 || counts.comma_or_thousands > 0,
        DecimalMark::Comma if counts.comma == 0 => true,
        DecimalMark::Comma => counts.point > 0 || counts.point_or_thousands > 0,
    };
    let [point, comma] = &counts.shown;
    let shown = match mark {
        DecimalMark::Point => comma.as_ref().or(point.as_ref()),
        DecimalMark::Comma => point.as_ref().or(comma.as_ref()),
    };
    let Some((at, example)) = shown.filter(|_| open && options.mark.is_none()) else {
        return;
    };
    if questions
        .iter()
        .any(|question| question.about == About::Dialect)
    {
        return;
    }
    let other = match mark {
        DecimalMark::Point => DecimalMark::Comma,
        DecimalMark::Comma => DecimalMark::Point,
    };
    questions.push(Question {
        about: About::Dialect,
        at: *at,
        example: example.clone(),
        answers: [mark, other]
            .map(|mark| Answer::Dialect(delimiter, mark))
            .to_vec(),
    });
}

fn build(
    head: &[u8],
    split: &Split,
    options: &Options,
    mut questions: Vec<Question>,
) -> Result<Dialect, ReadError> {
    let byte = split.delimiter.byte();
    let text = |row: &Row| &head[row.start..row.end];
    let half = split.rows.get(split.rows.len() / 2..).unwrap_or_default();
    let sample = half
        .get(half.len().saturating_sub(SAMPLE)..)
        .unwrap_or_default();
    let numeric = numeric(head, sample, byte, split);
    // How many cells a row of numbers has.
    let data_cells = |row: &Row| -> Option<usize> {
        let mut numbers = 0;
        let mut count = 0;
        for (at, cell) in cells(text(row), byte).enumerate() {
            count += 1;
            if !numeric.get(at).copied().unwrap_or(false) {
                continue;
            }
            match class(&cell.text) {
                Class::Text => return None,
                Class::Blank | Class::Missing => {}
                _ => numbers += 1,
            }
        }
        (numbers > 0).then_some(count)
    };
    let is_data = |row: &Row| data_cells(row).is_some_and(|count| split.width < 2 || count > 1);
    // The first rows may be cut, but hardly two in a row to less than half.
    let enough = |row: &Row| cells(text(row), byte).count() * 2 > split.width;
    let first = (0..split.rows.len()).find(|&at| {
        let mut following = split.rows.iter().skip(at);
        following
            .next()
            .is_some_and(|row| is_data(row) && enough(row))
            && following.next().is_none_or(is_data)
    });
    let first = first.or_else(|| split.rows.iter().position(is_data));
    let Some(mut first) = first else {
        return Err(ReadError::NoNumbers {
            lines: split.rows.last().map_or(0, |row| row.line + 1),
        });
    };
    // Rows that are cut before the first that is not.
    while first
        .checked_sub(1)
        .and_then(|before| split.rows.get(before))
        .is_some_and(&is_data)
    {
        first -= 1;
    }
    let above = split.rows.get(..first).unwrap_or_default();
    other_before(head, above, split, first)?;
    let found = header::find(head, above, byte, split.width);
    if let Some(found) = &found {
        let between = above
            .iter()
            .position(|row| row.start >= found.end && data_cells(row).is_some());
        first = between.unwrap_or(first);
    }
    let data = split.rows[first];
    let widest = split
        .rows
        .iter()
        .skip(first)
        .map(|row| filled(text(row), byte))
        .max()
        .unwrap_or(0);
    let found = found.or_else(|| {
        let above = rows_before(head, data.start, byte);
        header::commented(head, &above, byte, [split.width, widest])
    });
    let counts = tally(
        head,
        split.rows.get(first..).unwrap_or_default(),
        byte,
        None,
    );
    ask_mark(&counts, split.delimiter, options, &mut questions);
    let mark = counts.mark(options);
    let style = Style {
        mark: mark.byte(),
        group: mark.group(),
        thousands: options.mark.is_some(),
    };
    let (mut names, mut units, heads) = match found {
        Some(found) => (found.names, found.units, found.heads),
        None => (vec![String::new(); split.width.max(widest)], vec![], vec![]),
    };
    let width = names.len();
    if width > MOST_COLUMNS {
        return Err(ReadError::TooManyColumns {
            at: Place {
                line: data.line + 1,
                column: 1,
            },
            found: width,
            most: MOST_COLUMNS,
        });
    }
    if filled_in_most(head, split, first) > width {
        return Err(more_cells(head, split, first, width));
    }
    units.resize(width, String::new());
    for (at, name) in names.iter_mut().enumerate() {
        if name.is_empty() {
            *name = format!("Column {}", at + 1);
        }
    }
    let from = split.rows.len().saturating_sub(SAMPLE).max(first);
    let mut sample: Vec<Row> = split
        .rows
        .get(first..)
        .unwrap_or_default()
        .iter()
        .take(SAMPLE)
        .copied()
        .collect();
    if from > first + SAMPLE {
        sample.extend_from_slice(split.rows.get(from..).unwrap_or_default());
    }
    Ok(Dialect {
        delimiter: split.delimiter,
        style,
        names,
        units,
        heads,
        data,
        sample,
        numeric,
        questions,
    })
}

/// Refuses rows of numbers above the first that are divided by another delimiter.
fn other_before(head: &[u8], above: &[Row], split: &Split, first: usize) -> Result<(), ReadError> {
    let byte = split.delimiter.byte();
    let last = above
        .get(above.len().saturating_sub(3)..)
        .unwrap_or_default();
    let Some(row) = split.rows.get(first).filter(|_| last.len() == 3) else {
        return Ok(());
    };
    for needed in Delimiter::ALL {
        let numbers = |row: &Row| {
            let classes =
                || cells(&head[row.start..row.end], needed.byte()).map(|cell| class(&cell.text));
            let numbers = classes().filter(|class| !matches!(class, Class::Blank | Class::Missing));
            classes().all(|class| class != Class::Text) && numbers.count() > 1
        };
        if needed != split.delimiter && last.iter().all(numbers) {
            let text = &head[row.start..row.end];
            let before = text.iter().position(|c| *c == byte).unwrap_or(0);
            return Err(ReadError::DelimiterChanges {
                at: Place {
                    line: row.line + 1,
                    column: place::characters(&text[..before]) + 1,
                },
                found: split.delimiter,
                needed,
            });
        }
    }
    Ok(())
}

/// All rows before a place, remarks among them.
fn rows_before(head: &[u8], end: usize, delimiter: u8) -> Vec<Row> {
    rows(head.get(..end).unwrap_or(head), true, delimiter)
}

/// Which columns hold numbers or times in most cells that are filled.
fn numeric(head: &[u8], sample: &[Row], delimiter: u8, split: &Split) -> Vec<bool> {
    let mut tally: Vec<(usize, usize)> = vec![(0, 0); split.width];
    for row in sample {
        for (at, cell) in cells(&head[row.start..row.end], delimiter).enumerate() {
            let Some((numbers, filled)) = tally.get_mut(at) else {
                break;
            };
            match class(&cell.text) {
                Class::Blank | Class::Missing => continue,
                Class::Text => {}
                _ => *numbers += 1,
            }
            *filled += 1;
        }
    }
    tally
        .iter()
        .map(|(numbers, filled)| *numbers > 0 && numbers * 2 >= *filled)
        .collect()
}

/// The cells that at least half of the rows have, a blank end not counted.
fn filled_in_most(head: &[u8], split: &Split, first: usize) -> usize {
    let rows = split.rows.get(first..).unwrap_or_default();
    let mut widths: Vec<usize> = rows
        .iter()
        .map(|row| filled(&head[row.start..row.end], split.delimiter.byte()))
        .collect();
    widths.sort_unstable();
    widths.get(widths.len() / 2).copied().unwrap_or(0)
}

fn more_cells(head: &[u8], split: &Split, first: usize, needed: usize) -> ReadError {
    let byte = split.delimiter.byte();
    let rows = split.rows.get(first..).unwrap_or_default();
    let row = rows
        .iter()
        .find(|row| filled(&head[row.start..row.end], byte) > needed);
    let (mut found, mut at) = (0, Place::default());
    if let Some(row) = row {
        let text = &head[row.start..row.end];
        found = filled(text, byte);
        let start = cells(text, byte).nth(needed).map_or(0, |cell| cell.at);
        at = Place {
            line: row.line + 1,
            column: place::characters(&text[..start]) + 1,
        };
    }
    ReadError::MoreCells { at, found, needed }
}
