//! Makes typed text plain: the many quotes, dashes, blanks and ready-made fractions that keyboards, correction and
//! copying put in become the few ASCII characters that the grammar knows.

use super::ParseError;

/// The longest text read, in characters. Long enough for any quantity with its unit spelled out.
pub(super) const MOST_CHARS: usize = 40;

/// The text in plain characters, blanks trimmed.
pub(super) fn clean(text: &str) -> Result<String, ParseError> {
    let text = text.trim_matches(|c: char| c.is_whitespace() || is_invisible(c));
    if text.is_empty() {
        return Err(ParseError::Empty);
    }
    let found = text.chars().count();
    if found > MOST_CHARS {
        return Err(ParseError::TooLong {
            found,
            most: MOST_CHARS,
        });
    }
    let mut plain = String::with_capacity(text.len() + 8);
    for c in text.chars() {
        push_plain(&mut plain, c);
    }
    Ok(plain.trim().to_owned())
}

fn is_invisible(c: char) -> bool {
    matches!(c, '\u{ad}' | '\u{200b}'..='\u{200f}' | '\u{2060}' | '\u{202a}'..='\u{202e}' | '\u{feff}')
}

fn push_plain(plain: &mut String, c: char) {
    let ready_made = match c {
        '¼' => "1/4",
        '½' => "1/2",
        '¾' => "3/4",
        '⅛' => "1/8",
        '⅜' => "3/8",
        '⅝' => "5/8",
        '⅞' => "7/8",
        '⅓' => "1/3",
        '⅔' => "2/3",
        '⅕' => "1/5",
        '⅖' => "2/5",
        '⅗' => "3/5",
        '⅘' => "4/5",
        '⅙' => "1/6",
        '⅚' => "5/6",
        '⅐' => "1/7",
        '⅑' => "1/9",
        '⅒' => "1/10",
        _ => "",
    };
    if !ready_made.is_empty() {
        // Blanks around it, so that neither side's digits run into it.
        plain.push(' ');
        plain.push_str(ready_made);
        plain.push(' ');
        return;
    }
    match c {
        '“' | '”' | '„' | '‟' | '″' | '〃' | '＂' => plain.push('"'),
        '‘' | '’' | '‚' | '‛' | '′' | '´' | '`' | '＇' => plain.push('\''),
        '‐' | '‑' | '‒' | '–' | '—' | '−' | '﹣' | '－' => plain.push('-'),
        '⁄' | '∕' => plain.push('/'),
        '∶' => plain.push(':'),
        'º' | '˚' => plain.push('°'),
        '℃' => plain.push_str("°C"),
        '℉' => plain.push_str("°F"),
        '\u{3a9}' | '\u{2126}' => plain.push_str("ohm"),
        '\u{ff01}'..='\u{ff5e}' => plain.extend(char::from_u32(u32::from(c) - 0xfee0)),
        c if c.is_whitespace() => plain.push(' '),
        c if is_invisible(c) => {}
        c => plain.push(c),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn odd_characters_become_plain() {
        for (typed, plain) in [
            ("2¼”", "2 1/4 \""),
            ("\u{a0}57,2\u{202f}mm\u{200b}", "57,2 mm"),
            ("２．２５", "2.25"),
            ("−10 ℃", "-10 °C"),
            ("3 1⁄2″", "3 1/2\""),
            ("5 mΩ", "5 mohm"),
            ("1 ∶ 2.4", "1 : 2.4"),
        ] {
            assert_eq!(clean(typed), Ok(plain.to_owned()));
        }
    }

    #[test]
    fn blank_and_endless_text_is_refused() {
        assert_eq!(clean(" \u{a0}\u{200b}\t"), Err(ParseError::Empty));
        assert_eq!(
            clean(&"1".repeat(41)),
            Err(ParseError::TooLong {
                found: 41,
                most: 40
            })
        );
        assert!(clean(&"¼".repeat(40)).is_ok());
    }
}
