//! Rows and cells of delimited text (RFC 4180, and what people really have).

use std::borrow::Cow;

/// The most bytes of a row.
pub(super) const MOST_ROW_BYTES: usize = 1 << 20;
/// The most bytes that a row with quotes over several lines may have; beyond, a quote is taken for left open.
const MOST_QUOTED_BYTES: usize = 16 << 10;

/// What comes first in some text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Next {
    /// A row: where its text ends, where the next row starts, line breaks in between.
    Row {
        end: usize,
        next: usize,
        breaks: u64,
    },
    /// A line whose quoted cell is not closed: where it ends, where the next starts.
    OpenQuote { end: usize, next: usize },
    /// More text is needed to tell.
    More,
}

/// Finds the end of the first row. `whole` tells that no more text follows.
pub(super) fn next_row(text: &[u8], delimiter: u8, whole: bool) -> Next {
    let mut at = 0;
    let mut breaks = 0;
    let mut first_break = None;
    let mut cell_start = true;
    let mut quoted = false;
    while let Some(&byte) = text.get(at) {
        if quoted {
            if byte == b'"' {
                if text.get(at + 1) == Some(&b'"') {
                    at += 1;
                } else {
                    quoted = false;
                }
            } else if let Some(next) = after_break(text, at) {
                first_break = first_break.or(Some((at, next)));
                breaks += 1;
                at = next;
                if at > MOST_QUOTED_BYTES {
                    break;
                }
                continue;
            }
        } else if let Some(next) = after_break(text, at) {
            // Whether a line feed belongs to it, the next piece tells.
            if byte == b'\r' && next == text.len() && !whole {
                return Next::More;
            }
            return Next::Row {
                end: at,
                next,
                breaks: breaks + 1,
            };
        } else if byte == delimiter {
            cell_start = true;
        } else if byte == b'"' && cell_start {
            quoted = true;
            cell_start = false;
        } else if byte != b' ' {
            cell_start = false;
        }
        at += 1;
    }
    if !quoted && whole {
        return Next::Row {
            end: text.len(),
            next: text.len(),
            breaks,
        };
    }
    if whole || at > MOST_QUOTED_BYTES {
        if let Some((end, next)) = first_break {
            return Next::OpenQuote { end, next };
        }
        if whole {
            return Next::OpenQuote {
                end: text.len(),
                next: text.len(),
            };
        }
    }
    Next::More
}

/// Where the next line starts if a line break is here.
fn after_break(text: &[u8], at: usize) -> Option<usize> {
    match text.get(at) {
        Some(b'\n') => Some(at + 1),
        Some(b'\r') if text.get(at + 1) == Some(&b'\n') => Some(at + 2),
        Some(b'\r') => Some(at + 1),
        _ => None,
    }
}

/// A cell of a row.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Cell<'a> {
    /// Without quotes and the blanks around.
    pub text: Cow<'a, [u8]>,
    /// Where it starts in the row, blanks apart.
    pub at: usize,
    /// Whether it is in quotes.
    pub quoted: bool,
}

/// The cells of a row.
pub(super) fn cells(row: &[u8], delimiter: u8) -> Cells<'_> {
    Cells {
        row,
        delimiter,
        at: Some(0),
    }
}

/// See [`cells`].
#[derive(Clone, Debug)]
pub(super) struct Cells<'a> {
    row: &'a [u8],
    delimiter: u8,
    at: Option<usize>,
}

impl<'a> Iterator for Cells<'a> {
    type Item = Cell<'a>;

    fn next(&mut self) -> Option<Cell<'a>> {
        let start = self.at?;
        let rest = self.row.get(start..)?;
        let blanks = rest.iter().take_while(|byte| **byte == b' ').count();
        if rest.get(blanks) == Some(&b'"') {
            return Some(self.quoted(start + blanks));
        }
        let end = rest.iter().position(|byte| *byte == self.delimiter);
        self.at = end.map(|end| start + end + 1);
        let raw = rest.get(..end.unwrap_or(rest.len())).unwrap_or_default();
        let trimmed = trim(raw);
        let before = raw.len() - trim_start(raw).len();
        Some(Cell {
            text: Cow::Borrowed(trimmed),
            at: start + before,
            quoted: false,
        })
    }
}

impl<'a> Cells<'a> {
    /// The cell whose opening quote is here.
    fn quoted(&mut self, open: usize) -> Cell<'a> {
        let row = self.row;
        let mut at = open + 1;
        let mut doubled = false;
        while let Some(&byte) = row.get(at) {
            if byte == b'"' {
                if row.get(at + 1) != Some(&b'"') {
                    break;
                }
                doubled = true;
                at += 1;
            }
            at += 1;
        }
        let inside = row.get(open + 1..at.min(row.len())).unwrap_or_default();
        let rest = row.get(at + 1..).unwrap_or_default();
        let end = rest.iter().position(|byte| *byte == self.delimiter);
        self.at = end.map(|end| at + 1 + end + 1);
        let behind = trim(rest.get(..end.unwrap_or(rest.len())).unwrap_or_default());
        let text = if doubled || !behind.is_empty() {
            let mut text = Vec::with_capacity(inside.len() + behind.len());
            let mut bytes = inside.iter();
            while let Some(&byte) = bytes.next() {
                text.push(byte);
                if byte == b'"' {
                    bytes.next();
                }
            }
            text.extend_from_slice(behind);
            Cow::Owned(trim(&text).to_vec())
        } else {
            Cow::Borrowed(trim(inside))
        };
        Cell {
            text,
            at: open,
            quoted: true,
        }
    }
}

/// Without the blanks around, unbreakable ones in UTF-8 and ISO 8859-1 among them.
pub(super) fn trim(text: &[u8]) -> &[u8] {
    let mut text = trim_start(text);
    loop {
        text = match text {
            [rest @ .., 0xc2, 0xa0] | [rest @ .., b' ' | b'\t' | 0x0b | 0x0c | 0x1a] => rest,
            _ => return text,
        };
    }
}

fn trim_start(mut text: &[u8]) -> &[u8] {
    loop {
        text = match text {
            [0xc2, 0xa0, rest @ ..] | [b' ' | b'\t' | 0x0b | 0x0c | 0xa0, rest @ ..] => rest,
            _ => return text,
        };
    }
}

/// Whether a row is a remark.
pub(super) fn is_comment(row: &[u8], delimiter: u8) -> bool {
    comment(row, delimiter).is_some()
}

/// What a remark says, without its mark.
pub(super) fn comment(row: &[u8], delimiter: u8) -> Option<&[u8]> {
    match trim_start(row) {
        [b'/', b'/', rest @ ..] => Some(rest),
        [b'#' | b'%' | b'!' | b'*' | b'\'', rest @ ..] => Some(rest),
        [b';', rest @ ..] if delimiter != b';' => Some(rest),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn split(row: &str, delimiter: u8) -> Vec<String> {
        cells(row.as_bytes(), delimiter)
            .map(|cell| String::from_utf8_lossy(&cell.text).into_owned())
            .collect()
    }

    /// RFC 4180, section 2: rules 5 to 7 on quotes.
    #[test]
    fn cells_are_split_and_unquoted() {
        assert_eq!(split("aaa,bbb,ccc", b','), ["aaa", "bbb", "ccc"]);
        assert_eq!(
            split("\"aaa\",\"b\r\nbb\",\"ccc\"", b','),
            ["aaa", "b\r\nbb", "ccc"]
        );
        assert_eq!(
            split("\"aaa\",\"b\"\"bb\",\"ccc\"", b','),
            ["aaa", "b\"bb", "ccc"]
        );
        assert_eq!(split("\"1,5\" ; 2 ;", b';'), ["1,5", "2", ""]);
        assert_eq!(split("", b';'), [""]);
        assert_eq!(split("3\" pipe;\"open", b';'), ["3\" pipe", "open"]);
        assert_eq!(split("\"13.8\" V,\"\"", b','), ["13.8V", ""]);
        assert_eq!(split("\u{a0}1\u{a0}\t2", b'\t'), ["1", "2"]);
    }

    #[test]
    fn rows_end_at_any_line_break() {
        let row = |end, next, breaks| Next::Row { end, next, breaks };
        for (text, whole, found) in [
            ("a,b\nc", false, row(3, 4, 1)),
            ("a,b\r\nc", false, row(3, 5, 1)),
            ("a,b\rc", false, row(3, 4, 1)),
            ("a,b\r", false, Next::More),
            ("a,b\r", true, row(3, 4, 1)),
            ("a,b", false, Next::More),
            ("a,b", true, row(3, 3, 0)),
            ("a,\"b\r\nb\"\nc", false, row(8, 9, 2)),
            ("a,\"b\nc", false, Next::More),
            ("a,\"b\nc", true, Next::OpenQuote { end: 4, next: 5 }),
            ("a,\"b", true, Next::OpenQuote { end: 4, next: 4 }),
            ("3\" pipe\nc", false, row(7, 8, 1)),
        ] {
            assert_eq!(next_row(text.as_bytes(), b',', whole), found, "{text:?}");
        }
    }

    #[test]
    fn a_quote_left_open_takes_one_line_only() {
        let text = format!("1,\"2\n{}", "3,4\n".repeat(20_000));
        assert_eq!(
            next_row(text.as_bytes(), b',', false),
            Next::OpenQuote { end: 4, next: 5 }
        );
    }
}
