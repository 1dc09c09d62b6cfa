//! What a key of the pad does to a typed text, apart from any browser.
//!
//! A text is a number and a unit (`2 1/4 in`, `7.2k`). Positions are counted in characters.

/// A key of the pad.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Key {
    /// A digit or the decimal point, put in at the caret.
    Char(char),
    /// Two zeros.
    Zeros,
    /// Takes away the last thing typed: a unit, a fraction or a digit.
    Back,
    /// Takes away everything.
    Clear,
    /// Makes the fraction so many eighths.
    Eighths(u32),
    /// Adds one sixteenth.
    Sixteenth,
    /// Changes the sign.
    Minus,
    /// Writes the other unit of length after the number.
    Unit,
    /// Counts in thousands, or no longer.
    Thousands,
}

/// A typed text and what of it is selected; both ends alike for a caret.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Typed {
    /// The text.
    pub text: String,
    /// The first selected character.
    pub start: usize,
    /// The end of the selection.
    pub end: usize,
}

impl Typed {
    fn at_end(text: String) -> Self {
        let end = text.chars().count();
        Self {
            text,
            start: end,
            end,
        }
    }
}

/// The text after a key. `metric` says what a bare length is in.
pub fn press(typed: &Typed, key: Key, metric: bool) -> Typed {
    let (number, unit) = split_unit(&typed.text);
    match key {
        Key::Char(c) => put(typed, &c.to_string()),
        Key::Zeros => put(typed, "00"),
        Key::Back => back(typed),
        Key::Clear => Typed::at_end(String::new()),
        Key::Eighths(n) => {
            let (whole, _) = split_fraction(number);
            Typed::at_end(join(whole, n * 2, unit))
        }
        Key::Sixteenth => match split_fraction(number) {
            (whole, Some(sixteenths)) => Typed::at_end(join(whole, sixteenths + 1, unit)),
            // A decimal or a fraction finer than sixteenths would lose what was typed.
            (_, None) => Typed::at_end(typed.text.clone()),
        },
        Key::Minus => Typed::at_end(match typed.text.strip_prefix('-') {
            Some(rest) => rest.to_owned(),
            None => format!("-{}", typed.text),
        }),
        Key::Unit => {
            let is_metric = match unit {
                "" => metric,
                other => other.starts_with(['m', 'c']),
            };
            let unit = if is_metric { "in" } else { "mm" };
            Typed::at_end(
                format!("{} {unit}", number.trim_end())
                    .trim_start()
                    .to_owned(),
            )
        }
        Key::Thousands => Typed::at_end(match unit {
            "k" => number.trim_end().to_owned(),
            _ => format!("{}k", number.trim_end()),
        }),
    }
}

/// Whether a text brings its own unit, so that the field's hint must not contradict it.
pub fn has_unit(text: &str) -> bool {
    !split_unit(text).1.is_empty()
}

/// Parts a text before its first letter or inch mark.
fn split_unit(text: &str) -> (&str, &str) {
    let at = text
        .find(|c: char| c.is_alphabetic() || matches!(c, '"' | '\'' | '″' | '°' | '%'))
        .unwrap_or(text.len());
    (&text[..at], text[at..].trim())
}

/// Parts a number into its whole part and its sixteenths; `None` where sixteenths cannot say it.
fn split_fraction(number: &str) -> (&str, Option<u32>) {
    let number = number.trim_end();
    if let Some(point) = number.find(['.', ',']) {
        return (&number[..point], None);
    }
    let Some(slash) = number.find('/') else {
        return (number, Some(0));
    };
    let (whole, top) = match number[..slash].rfind([' ', '-']) {
        Some(at) => (&number[..=at], &number[at + 1..slash]),
        None => ("", &number[..slash]),
    };
    let sixteenths = match (top.parse::<u32>(), number[slash + 1..].parse::<u32>()) {
        (Ok(top), Ok(bottom)) if top <= bottom && bottom > 0 && 16 % bottom == 0 => {
            Some(top * 16 / bottom)
        }
        _ => None,
    };
    (whole.trim_end_matches(' '), sixteenths)
}

/// A whole part, so many sixteenths in lowest terms, and a unit.
fn join(whole: &str, sixteenths: u32, unit: &str) -> String {
    let mut whole = whole.to_owned();
    let mut top = sixteenths;
    if top >= 16 {
        let sign = if whole.starts_with('-') { "-" } else { "" };
        let count: u32 = whole.trim_start_matches('-').parse().unwrap_or(0);
        whole = format!("{sign}{}", count.saturating_add(1));
        top -= 16;
    }
    if whole == "0" && top > 0 {
        whole.clear();
    }
    let mut bottom = 16;
    while top > 0 && top.is_multiple_of(2) {
        top /= 2;
        bottom /= 2;
    }
    let mut text = whole;
    if top > 0 {
        if text.ends_with(|c: char| c.is_ascii_digit()) {
            text.push(' ');
        }
        text.push_str(&format!("{top}/{bottom}"));
    }
    if !unit.is_empty() {
        text.push(' ');
        text.push_str(unit);
    }
    text
}

/// Puts digits in at the caret, or for the selection. At the end of a number with a fraction or a unit
/// they belong to the whole part: nobody means `1/42` or `57 mm2`.
fn put(typed: &Typed, digits: &str) -> Typed {
    let chars: Vec<char> = typed.text.chars().collect();
    let len = chars.len();
    let (mut start, mut end) = (typed.start.min(len), typed.end.min(len));
    let at_end = start == end && end == len;
    if at_end {
        let (number, _) = split_unit(&typed.text);
        let body = number.trim_end();
        let at = match body.find('/') {
            Some(slash) => body[..slash].rfind(' ').unwrap_or(0),
            None => body.len(),
        };
        start = typed.text[..at].chars().count();
        end = start;
    }
    let mut text: String = chars[..start.min(end)].iter().collect();
    text.push_str(digits);
    let caret = text.chars().count();
    let rest: String = chars[start.max(end)..].iter().collect();
    if at_end && start == 0 && rest.contains('/') && !rest.starts_with(' ') {
        text.push(' ');
    }
    text.push_str(&rest);
    let caret = if at_end { text.chars().count() } else { caret };
    Typed {
        text,
        start: caret,
        end: caret,
    }
}

fn back(typed: &Typed) -> Typed {
    let chars: Vec<char> = typed.text.chars().collect();
    let len = chars.len();
    let (start, end) = (typed.start.min(len), typed.end.min(len));
    let everything = start == 0 && end == len;
    if everything || (start == end && end == len) {
        let (number, unit) = split_unit(&typed.text);
        let body = number.trim_end();
        let kept = if !unit.is_empty() {
            body
        } else if let Some(slash) = body.find('/') {
            body[..slash]
                .rfind(' ')
                .map_or("", |at| body[..at].trim_end())
        } else {
            let mut rest = body.chars();
            rest.next_back();
            rest.as_str().trim_end()
        };
        return Typed::at_end(kept.to_owned());
    }
    let from = if start == end {
        start.saturating_sub(1)
    } else {
        start.min(end)
    };
    let text = chars[..from]
        .iter()
        .chain(&chars[start.max(end)..])
        .collect();
    Typed {
        text,
        start: from,
        end: from,
    }
}

#[cfg(test)]
mod tests {
    use super::{Key, Typed, has_unit, press};

    fn typed(keys: &[Key]) -> String {
        let mut typed = Typed::at_end(String::new());
        for &key in keys {
            typed = press(&typed, key, false);
        }
        typed.text
    }

    fn after(text: &str, key: Key) -> String {
        press(&Typed::at_end(text.to_owned()), key, false).text
    }

    #[test]
    fn digits_and_a_fraction_make_an_inch_size() {
        use Key::{Char, Eighths, Sixteenth};
        assert_eq!(typed(&[Char('2'), Eighths(2)]), "2 1/4");
        assert_eq!(typed(&[Char('2'), Eighths(2), Sixteenth]), "2 5/16");
        assert_eq!(typed(&[Char('3'), Eighths(4), Eighths(3)]), "3 3/8");
        assert_eq!(typed(&[Eighths(7)]), "7/8");
        assert_eq!(typed(&[Sixteenth]), "1/16");
        assert_eq!(after("2 15/16", Sixteenth), "3");
        assert_eq!(after("0", Eighths(2)), "1/4");
        assert_eq!(after("2.", Eighths(2)), "2 1/4");
        assert_eq!(after("2 1/4 in", Eighths(3)), "2 3/8 in");
    }

    #[test]
    fn what_sixteenths_cannot_say_is_left_alone() {
        assert_eq!(after("2.3", Key::Sixteenth), "2.3");
        assert_eq!(after("2 1/64", Key::Sixteenth), "2 1/64");
        assert_eq!(after("2 1/0", Key::Sixteenth), "2 1/0");
    }

    #[test]
    fn digits_after_a_fraction_or_a_unit_go_to_the_whole_part() {
        assert_eq!(after("2 1/4", Key::Char('5')), "25 1/4");
        assert_eq!(after("1/4", Key::Char('2')), "2 1/4");
        assert_eq!(after("57 mm", Key::Char('2')), "572 mm");
        assert_eq!(after("7k", Key::Zeros), "700k");
    }

    #[test]
    fn a_selection_is_replaced_and_a_caret_is_respected() {
        let all = Typed {
            text: "2 1/4".into(),
            start: 0,
            end: 5,
        };
        assert_eq!(press(&all, Key::Char('3'), false).text, "3");
        let middle = Typed {
            text: "700".into(),
            start: 1,
            end: 1,
        };
        assert_eq!(press(&middle, Key::Char('2'), false).text, "7200");
        assert_eq!(press(&middle, Key::Back, false).text, "00");
    }

    #[test]
    fn back_takes_the_last_thing_typed() {
        assert_eq!(after("57.2 mm", Key::Back), "57.2");
        assert_eq!(after("2 1/4", Key::Back), "2");
        assert_eq!(after("1/4", Key::Back), "");
        assert_eq!(after("57", Key::Back), "5");
        assert_eq!(after("", Key::Back), "");
        let all = Typed {
            text: "7200".into(),
            start: 0,
            end: 4,
        };
        assert_eq!(press(&all, Key::Back, false).text, "720");
        assert_eq!(press(&all, Key::Clear, false).text, "");
    }

    #[test]
    fn the_unit_key_writes_the_other_unit() {
        assert_eq!(after("57.2", Key::Unit), "57.2 mm");
        assert_eq!(after("57.2 mm", Key::Unit), "57.2 in");
        assert_eq!(after("2 1/4\"", Key::Unit), "2 1/4 mm");
        assert_eq!(
            press(&Typed::at_end("57.2".into()), Key::Unit, true).text,
            "57.2 in"
        );
        assert!(has_unit("57.2 mm") && has_unit("3\"") && !has_unit("3 1/2"));
    }

    #[test]
    fn sign_and_thousands_go_on_and_off() {
        assert_eq!(after("12", Key::Minus), "-12");
        assert_eq!(after("-12", Key::Minus), "12");
        assert_eq!(after("7.2", Key::Thousands), "7.2k");
        assert_eq!(after("7.2k", Key::Thousands), "7.2");
    }

    #[test]
    fn no_key_panics_on_any_caret_or_text() {
        let keys = [
            Key::Char('5'),
            Key::Zeros,
            Key::Back,
            Key::Clear,
            Key::Eighths(3),
            Key::Sixteenth,
            Key::Minus,
            Key::Unit,
            Key::Thousands,
        ];
        for text in [
            "", " ", "/", "1/", "/4", "-", "- 1/2", "½", "2 ½\"", "3″", "é1/4", "1 2/3 x",
        ] {
            for start in 0..8 {
                for end in 0..8 {
                    for key in keys {
                        let typed = Typed {
                            text: text.into(),
                            start,
                            end,
                        };
                        let next = press(&typed, key, true);
                        assert!(
                            next.end <= next.text.chars().count(),
                            "{typed:?} {key:?} {next:?}"
                        );
                    }
                }
            }
        }
    }
}
