//! The number at the start of a cleaned text. The grammar is in the [parent module](super).

use super::ParseError;
use crate::quantity::{Mark, mark};

/// Digits that a value keeps exactly; further decimals are dropped, further whole digits refused.
const MOST_DIGITS: usize = 15;

/// Powers of ten that a floating-point number holds exactly.
const POWERS: [f64; 23] = [
    1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16,
    1e17, 1e18, 1e19, 1e20, 1e21, 1e22,
];

/// What a single comma before exactly three digits means.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Comma {
    /// It separates thousands, as in `7,000`. An apostrophe does so too.
    Thousands,
    /// It is the decimal sign, as in `57,150`.
    Decimal,
}

/// Reads the number that `text` starts with; gives it and the rest of the text, blanks trimmed.
pub(super) fn number(text: &str, comma: Comma) -> Result<(f64, &str), ParseError> {
    let (minus, unsigned) = match text.as_bytes().first() {
        Some(b'-') => (true, text[1..].trim_start()),
        Some(b'+') => (false, text[1..].trim_start()),
        _ => (false, text),
    };
    let (value, rest) = magnitude(unsigned, comma).map_err(|error| match error {
        // Quote the whole text: the part alone may be empty or misleading.
        ParseError::NotANumber { .. } => ParseError::NotANumber {
            found: text.to_owned(),
        },
        other => other,
    })?;
    Ok((
        if minus && value != 0.0 { -value } else { value },
        rest.trim_start(),
    ))
}

fn magnitude(text: &str, comma: Comma) -> Result<(f64, &str), ParseError> {
    let (groups, rest) = digit_groups(text, comma);
    let (whole, decimals) =
        split_at_decimal_sign(&groups, comma).ok_or_else(|| ParseError::NotANumber {
            found: text.to_owned(),
        })?;
    let number = &text[..text.len() - rest.len()];
    // A point or comma that nothing follows is one that the person has not typed on from yet.
    if let Some(rest) = rest.strip_prefix(['.', ',']) {
        return Ok((value(whole, decimals, number)?, rest));
    }
    let value = value(whole, decimals, number)?;
    if !decimals.is_empty() {
        return Ok((value, rest));
    }
    if let Some((denominator, rest)) = after_slash(rest) {
        let fraction = &text[..text.len() - rest.len()];
        return Ok((value / under_the_line(denominator, fraction)?, rest));
    }
    if let Some((numerator, denominator, found, rest)) = mixed_part(rest) {
        let part = integer(numerator)? / under_the_line(denominator, found)?;
        if part >= 1.0 {
            return Err(ParseError::ImproperFraction {
                found: found.to_owned(),
            });
        }
        return Ok((value + part, rest));
    }
    Ok((value, rest))
}

/// Digits, and the separator before them (none before the first group, which may be empty as in `.5`).
struct Group<'a> {
    separator: Option<u8>,
    digits: &'a str,
}

/// The groups of digits that `text` starts with, and what follows them.
fn digit_groups(text: &str, comma: Comma) -> (Vec<Group<'_>>, &str) {
    let (digits, mut rest) = leading_digits(text);
    let mut groups = vec![Group {
        separator: None,
        digits,
    }];
    while let Some(&separator) = rest.as_bytes().first() {
        let belongs: fn(&[Group<'_>], &str, &str) -> bool = match separator {
            b'.' | b',' => |_, digits, _| !digits.is_empty(),
            b'\'' if comma == Comma::Thousands => |_, digits, _| digits.len() == 3,
            // "7 000" is one number; "2 125/1000" and "2.5 125" are not.
            b' ' => |before, digits, after| {
                digits.len() == 3 && is_blank_grouped(before) && after_slash(after).is_none()
            },
            _ => break,
        };
        let (digits, after) = leading_digits(&rest[1..]);
        if !belongs(&groups, digits, after) {
            break;
        }
        groups.push(Group {
            separator: Some(separator),
            digits,
        });
        rest = after;
    }
    (groups, rest)
}

fn is_blank_grouped(groups: &[Group<'_>]) -> bool {
    is_grouped(groups)
        && groups
            .iter()
            .skip(1)
            .all(|group| group.separator == Some(b' '))
}

/// Whether the groups are what thousands separators leave: one to three digits, then three at a time.
fn is_grouped(groups: &[Group<'_>]) -> bool {
    groups.iter().enumerate().all(|(at, group)| match at {
        0 => (1..=3).contains(&group.digits.len()) && !group.digits.starts_with('0'),
        _ => group.digits.len() == 3,
    })
}

/// Decides which separator is the decimal sign: the groups before it and the digits after it. `None` when the
/// separators make no sense together.
fn split_at_decimal_sign<'g, 't>(
    groups: &'g [Group<'t>],
    comma: Comma,
) -> Option<(&'g [Group<'t>], &'t str)> {
    let (last, before) = groups.split_last()?;
    let is_comma = mark() == Mark::Comma;
    let separators = || before.iter().filter_map(|group| group.separator);
    let is_decimal = match (last.separator, separators().next()) {
        (None, _) if last.digits.is_empty() => return None,
        (None, _) => false,
        (Some(b'.'), None) => !(comma == Comma::Thousands && is_comma && is_grouped(groups)),
        (Some(b','), None) => comma == Comma::Decimal || !is_grouped(groups),
        (Some(b'.' | b','), Some(first)) if last.separator != Some(first) => true,
        (Some(_), _) => false,
    };
    if !is_decimal {
        let alike = separators().all(|separator| last.separator == Some(separator));
        return (last.separator.is_none() || alike && is_grouped(groups)).then_some((groups, ""));
    }
    let first = separators().next();
    let alike = separators().all(|separator| first == Some(separator));
    (before.len() == 1 || alike && is_grouped(before)).then_some((before, last.digits))
}

fn value(whole: &[Group<'_>], decimals: &str, found: &str) -> Result<f64, ParseError> {
    let mut mantissa: u64 = 0;
    let mut digits = 0;
    for digit in whole.iter().flat_map(|group| group.digits.bytes()) {
        mantissa = mantissa * 10 + u64::from(digit - b'0');
        digits += usize::from(mantissa > 0);
        if digits > MOST_DIGITS {
            return Err(ParseError::TooManyDigits {
                found: found.to_owned(),
                most: MOST_DIGITS,
            });
        }
    }
    let mut power = 0;
    for digit in decimals.bytes() {
        if digits == MOST_DIGITS || power + 1 == POWERS.len() {
            break;
        }
        mantissa = mantissa * 10 + u64::from(digit - b'0');
        digits += usize::from(mantissa > 0);
        power += 1;
    }
    // Both are whole and held exactly, so that their quotient is the nearest number to what was typed.
    Ok(mantissa as f64 / POWERS[power])
}

fn integer(digits: &str) -> Result<f64, ParseError> {
    value(
        &[Group {
            separator: None,
            digits,
        }],
        "",
        digits,
    )
}

fn under_the_line(digits: &str, fraction: &str) -> Result<f64, ParseError> {
    match integer(digits)? {
        0.0 => Err(ParseError::ZeroDenominator {
            found: fraction.to_owned(),
        }),
        denominator => Ok(denominator),
    }
}

fn leading_digits(text: &str) -> (&str, &str) {
    text.split_at(text.bytes().take_while(u8::is_ascii_digit).count())
}

/// The digits after a slash, and the rest. `None` where a slash is missing or starts a unit, as in `7000/min`.
fn after_slash(text: &str) -> Option<(&str, &str)> {
    let (digits, rest) = leading_digits(text.trim_start().strip_prefix('/')?.trim_start());
    (!digits.is_empty()).then_some((digits, rest))
}

/// A fraction that stands apart from the whole number before it, by blanks or a hyphen: numerator, denominator, the
/// two as typed, and the rest.
fn mixed_part(text: &str) -> Option<(&str, &str, &str, &str)> {
    let apart = text.trim_start();
    let apart = apart.strip_prefix('-').map_or(apart, str::trim_start);
    let (numerator, slash) = leading_digits(apart);
    let (denominator, rest) = after_slash(slash)?;
    let found = &apart[..apart.len() - rest.len()];
    (!numerator.is_empty()).then_some((numerator, denominator, found, rest))
}
