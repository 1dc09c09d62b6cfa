//! What a cell says: a number, in whatever way it is written, or that there is none.

use super::moment;
use super::number::{self, Found};
use crate::log::unit::is_unit;

/// How a cell reads, before it is known which character is the decimal mark.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Class {
    Blank,
    /// A word or dashes for no number.
    Missing,
    /// Digits alone: the same with either mark.
    Whole,
    /// A number only if the point is the mark: `13.8`, `1,234.5`, `1,234,567`.
    Point,
    /// A number only if the comma is the mark.
    Comma,
    /// `1.234`: a point before three decimals, or between thousands.
    PointOrThousands,
    /// `1,234`, likewise.
    CommaOrThousands,
    /// A clock time or a date.
    Moment,
    Text,
}

/// A number split from the unit behind it.
pub(super) struct Parts<'a> {
    pub number: &'a [u8],
    pub unit: &'a [u8],
}

/// Splits `13.8 V`. None where what is behind the number is no unit.
pub(super) fn parts(cell: &[u8]) -> Option<Parts<'_>> {
    // A tab inside is a delimiter that was not taken for one.
    if cell.contains(&b'\t') {
        return None;
    }
    let is_number = |byte: &u8| byte.is_ascii_digit() || matches!(byte, b'.' | b',');
    let last = cell.iter().rposition(is_number)?;
    let (number, unit) = cell.split_at_checked(last + 1)?;
    // The digit of `m/s2` is none of the number's, nor that of `min-1`.
    let unit = super::lines::trim(unit);
    let is_plain = number.iter().all(|byte| {
        is_number(byte) || matches!(byte, b'+' | b'-' | b'e' | b'E' | b' ' | b'\'' | 0xc2 | 0xa0)
    });
    // `1/min` is a unit, not one of something.
    if !is_plain || unit.len() > 12 || unit.starts_with(b"/") {
        return None;
    }
    let known = unit.is_empty() || is_unit(&super::decode::text(unit));
    known.then_some(Parts {
        number: super::lines::trim(number),
        unit,
    })
}

/// How a cell reads.
pub(super) fn class(cell: &[u8]) -> Class {
    if cell.is_empty() {
        return Class::Blank;
    }
    if is_missing(cell) {
        return Class::Missing;
    }
    let Some(parts) = parts(cell) else {
        return if moment::is_moment(cell) {
            Class::Moment
        } else {
            Class::Text
        };
    };
    let text = parts.number;
    let reads =
        |mark: u8| number::at_start(text, mark).is_some_and(|found| found.length == text.len());
    match (reads(b'.'), reads(b',')) {
        (true, true) => Class::Whole,
        (true, false) if grouped(text, b'.', b',').is_some() => Class::PointOrThousands,
        (false, true) if grouped(text, b',', b'.').is_some() => Class::CommaOrThousands,
        (true, false) => Class::Point,
        (false, true) => Class::Comma,
        (false, false) => match (grouped(text, b',', b'.'), grouped(text, b'.', b',')) {
            (Some(_), None) => Class::Point,
            (None, Some(_)) => Class::Comma,
            (Some(_), Some(_)) => Class::Whole,
            (None, None) if moment::is_moment(cell) => Class::Moment,
            (None, None) => Class::Text,
        },
    }
}

/// Whether a cell says that there is no number.
pub(super) fn is_missing(cell: &[u8]) -> bool {
    const WORDS: [&str; 19] = [
        "nan", "n/a", "na", "#n/a", "null", "none", "nil", "nd", "n.d.", "inf", "-inf", "+inf",
        "infinity", "-nan", "?", "*", ".", "invalid", "#value!",
    ];
    let is_dashes = cell.iter().all(|byte| *byte == b'-' || *byte == b'_')
        || matches!(cell, [0xe2, 0x80, 0x92..=0x95] | [0xe2, 0x88, 0x92]);
    is_dashes
        || (cell.len() <= 8
            && WORDS
                .iter()
                .any(|word| cell.eq_ignore_ascii_case(word.as_bytes())))
}

/// A number with thousands apart.
pub(super) struct Grouped {
    /// Its digits, and the decimal mark as it is.
    pub plain: Vec<u8>,
    /// What is between its thousands could as well be a decimal mark.
    pub doubtful: bool,
}

/// A number with thousands apart by `group`, a blank or an apostrophe, such as `1,234.5`.
pub(super) fn grouped(text: &[u8], group: u8, mark: u8) -> Option<Grouped> {
    let whole = text
        .iter()
        .position(|byte| *byte == mark)
        .unwrap_or(text.len());
    let (whole, decimals) = text.split_at_checked(whole)?;
    let (sign, digits) = match whole {
        [sign @ (b'+' | b'-'), digits @ ..] => (Some(*sign), digits),
        digits => (None, digits),
    };
    if !matches!(digits.first(), Some(b'1'..=b'9')) {
        return None;
    }
    let mut plain: Vec<u8> = sign.into_iter().collect();
    let mut separator = None;
    let mut separators = 0;
    let mut rest = digits;
    let first = digits
        .iter()
        .take_while(|byte| byte.is_ascii_digit())
        .count();
    if first > 3 {
        return None;
    }
    let (head, tail) = rest.split_at_checked(first)?;
    plain.extend_from_slice(head);
    rest = tail;
    while !rest.is_empty() {
        let length = if rest.starts_with(&[0xc2, 0xa0]) {
            2
        } else {
            1
        };
        let (found, tail) = rest.split_at_checked(length)?;
        let known = found == [group] || matches!(found, b" " | b"'" | [0xa0] | [0xc2, 0xa0]);
        if !known || separator.is_some_and(|before| before != found) {
            return None;
        }
        separator = Some(found);
        separators += 1;
        let (three, tail) = tail.split_at_checked(3)?;
        if !three.iter().all(u8::is_ascii_digit) {
            return None;
        }
        plain.extend_from_slice(three);
        rest = tail;
    }
    let doubtful = separators == 1 && separator? == [group] && decimals.is_empty();
    plain.extend_from_slice(decimals);
    (separators > 0).then_some(Grouped { plain, doubtful })
}

/// What a cell holds, once the marks are known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Value<T> {
    Number(T),
    Blank,
    Missing,
    Huge,
    Text,
    OtherUnit,
}

/// How numbers are written in a file.
#[derive(Clone, Copy, Debug)]
pub(super) struct Style {
    pub mark: u8,
    /// The other of point and comma, which may stand between thousands.
    pub group: u8,
    /// Whether it is sure that the other one does stand between thousands.
    pub thousands: bool,
}

/// Reads a cell as a number. `unit` is the one behind the column's numbers so far; the first with one sets it.
pub(super) fn read<T>(
    cell: &[u8],
    style: Style,
    unit: &mut Option<Vec<u8>>,
    take: impl Fn(Found, &[u8], u8) -> T,
    is_finite: impl Fn(&T) -> bool,
) -> Value<T> {
    if cell.is_empty() {
        return Value::Blank;
    }
    let whole = |text: &[u8]| {
        number::at_start(text, style.mark)
            .filter(|found| found.length == text.len())
            .map(|found| take(found, text, style.mark))
    };
    let mut number = whole(cell);
    if number.is_none() {
        if is_missing(cell) {
            return Value::Missing;
        }
        let Some(parts) = parts(cell) else {
            return Value::Text;
        };
        number = whole(parts.number).or_else(|| {
            let grouped = grouped(parts.number, style.group, style.mark)?;
            let sure = style.thousands || !grouped.doubtful;
            sure.then(|| whole(&grouped.plain)).flatten()
        });
        if number.is_none() {
            return Value::Text;
        }
        if !parts.unit.is_empty() && unit.get_or_insert_with(|| parts.unit.to_vec()) != parts.unit {
            return Value::OtherUnit;
        }
    }
    match number {
        Some(number) if is_finite(&number) => Value::Number(number),
        _ => Value::Huge,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_show_what_their_marks_can_be() {
        for (cell, class_) in [
            ("", Class::Blank),
            ("NaN", Class::Missing),
            ("---", Class::Missing),
            ("–", Class::Missing),
            ("13", Class::Whole),
            ("-13.8", Class::Point),
            (".5", Class::Point),
            ("0.845", Class::Point),
            ("1.234", Class::PointOrThousands),
            ("13,84", Class::Comma),
            ("1,234", Class::CommaOrThousands),
            ("1,234.5", Class::Point),
            ("1.234,5", Class::Comma),
            ("1,234,567", Class::Point),
            ("6 500", Class::Whole),
            ("13.8 V", Class::Point),
            ("85%", Class::Whole),
            ("12:30:01.5", Class::Moment),
            ("2024-05-01 12:00:00", Class::Moment),
            ("idle", Class::Text),
            ("Lap 1", Class::Text),
            ("1.2.3.4", Class::Text),
        ] {
            assert_eq!(class(cell.as_bytes()), class_, "{cell}");
        }
    }

    fn value(cell: &str, unit: &mut Option<Vec<u8>>) -> Value<f64> {
        let style = Style {
            mark: b'.',
            group: b',',
            thousands: false,
        };
        read(cell.as_bytes(), style, unit, Found::double, |value| {
            value.is_finite()
        })
    }

    #[test]
    fn cells_become_numbers_or_say_why_not() {
        let mut unit = None;
        assert_eq!(value("1,234.5", &mut unit), Value::Number(1234.5));
        assert_eq!(value("1,234,567", &mut unit), Value::Number(1_234_567.0));
        assert_eq!(value("1,234", &mut unit), Value::Text);
        assert_eq!(value("-6 500", &mut unit), Value::Number(-6500.0));
        assert_eq!(value("13,84", &mut unit), Value::Text);
        assert_eq!(value("1e999", &mut unit), Value::Huge);
        assert_eq!(value("n/a", &mut unit), Value::Missing);
        assert_eq!(unit, None);
        assert_eq!(value("13.8 V", &mut unit), Value::Number(13.8));
        assert_eq!(value("13.9V", &mut unit), Value::Number(13.9));
        assert_eq!(value("13.9", &mut unit), Value::Number(13.9));
        assert_eq!(value("900 mV", &mut unit), Value::OtherUnit);
    }
}
