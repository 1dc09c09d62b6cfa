//! Clock times and dates.

use super::DateOrder;

/// A time as a cell writes it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Moment {
    /// The date as it is written: three numbers and whether the year is sure to be first.
    pub date: Option<[u32; 3]>,
    /// Seconds since midnight, or since some start.
    pub seconds: f64,
}

/// Whether the cell is a clock time or a date with one.
pub(super) fn is_moment(cell: &[u8]) -> bool {
    parse(cell).is_some()
}

/// Reads `h:m:s`, `m:s`, with decimals after either mark, am or pm, and with a date before: `2024-05-01T12:00:00Z`,
/// `1.5.2024 12:00:00,5`, `05/01/24 12:00:00`, `1-May-2024 12:00`.
pub(super) fn parse(cell: &[u8]) -> Option<Moment> {
    quick(cell).or_else(|| slow(cell))
}

/// The usual: `12:00:00.25`, alone or behind `2024-05-01`.
fn quick(cell: &[u8]) -> Option<Moment> {
    let two = |cell: &[u8], at: usize| -> Option<u32> {
        let digits = cell
            .get(at..at + 2)
            .filter(|two| two.iter().all(u8::is_ascii_digit))?;
        Some(
            digits
                .iter()
                .fold(0, |value, digit| value * 10 + u32::from(digit - b'0')),
        )
    };
    let (date, clock) = match cell {
        [_, _, _, _, b'-', _, _, b'-', _, _, b' ' | b'T', clock @ ..] => {
            let year = two(cell, 0)? * 100 + two(cell, 2)?;
            (Some([year, two(cell, 5)?, two(cell, 8)?]), clock)
        }
        clock => (None, clock),
    };
    let [_, _, b':', _, _, b':', _, _, rest @ ..] = clock else {
        return None;
    };
    let (minutes, seconds) = (two(clock, 3)?, two(clock, 6)?);
    if minutes > 59 || seconds > 59 {
        return None;
    }
    let whole = f64::from(two(clock, 0)? * 3_600 + minutes * 60 + seconds);
    let part = match rest {
        [] => 0.0,
        [b'.' | b',', decimals @ ..] if (1..=9).contains(&decimals.len()) => {
            let mut value = 0_u32;
            for digit in decimals {
                value =
                    value * 10 + u32::from(digit.checked_sub(b'0').filter(|digit| *digit < 10)?);
            }
            f64::from(value) / 10_f64.powi(decimals.len() as i32)
        }
        _ => return None,
    };
    Some(Moment {
        date,
        seconds: whole + part,
    })
}

fn slow(cell: &[u8]) -> Option<Moment> {
    let text = std::str::from_utf8(cell).ok()?.trim();
    if text.len() > 40 || !text.contains(':') {
        return None;
    }
    let colon = text.find(':')?;
    // The clock starts at the digits before the first colon.
    let digits = text
        .get(..colon)?
        .bytes()
        .rev()
        .take_while(u8::is_ascii_digit);
    let start = colon - digits.count();
    let before = text
        .get(..start)?
        .trim_end_matches([' ', 'T', 't', ','])
        .trim();
    let seconds = clock(text.get(start..)?)?;
    let date = if before.is_empty() {
        None
    } else {
        Some(date(before)?)
    };
    Some(Moment { date, seconds })
}

fn clock(text: &str) -> Option<f64> {
    let text = text.trim();
    let lower = text.to_ascii_lowercase();
    let (text, afternoon) = if let Some(rest) = lower
        .strip_suffix("pm")
        .or_else(|| lower.strip_suffix("p.m."))
    {
        (rest.trim_end(), Some(true))
    } else if let Some(rest) = lower
        .strip_suffix("am")
        .or_else(|| lower.strip_suffix("a.m."))
    {
        (rest.trim_end(), Some(false))
    } else {
        (lower.as_str(), None)
    };
    let text = without_zone(text);
    let mut parts = [""; 4];
    let mut count = 0;
    for part in text.split(':') {
        *parts.get_mut(count)? = part;
        count += 1;
    }
    let whole = |text: &str| -> Option<f64> {
        let fits = (1..=6).contains(&text.len()) && text.bytes().all(|byte| byte.is_ascii_digit());
        fits.then(|| text.parse().ok()).flatten()
    };
    let sixty = |text: &str| whole(text).filter(|value| *value < 60.0 && text.len() <= 2);
    let seconds = |text: &str| -> Option<f64> {
        let (whole, decimals) = text.split_once(['.', ',']).unwrap_or((text, "0"));
        sixty(whole)?;
        if decimals.is_empty()
            || decimals.len() > 12
            || !decimals.bytes().all(|byte| byte.is_ascii_digit())
        {
            return None;
        }
        // A leap second is the next minute's first.
        format!("{whole}.{decimals}").parse().ok()
    };
    let (hours, rest) = match count {
        2 => (0.0, whole(parts[0])? * 60.0 + seconds(parts[1])?),
        3 => (
            whole(parts[0])?,
            sixty(parts[1])? * 60.0 + seconds(parts[2])?,
        ),
        // Thousandths behind a colon.
        4 if parts[3].len() == 3 => (
            whole(parts[0])?,
            sixty(parts[1])? * 60.0 + sixty(parts[2])? + whole(parts[3])? / 1_000.0,
        ),
        _ => return None,
    };
    if count == 2 && afternoon.is_some() {
        // Hours and minutes.
        let minutes = sixty(parts[1])?;
        return Some((twelve(whole(parts[0])?, afternoon)? * 60.0 + minutes) * 60.0);
    }
    Some(twelve(hours, afternoon)? * 3_600.0 + rest)
}

/// The hour of a day of two halves.
fn twelve(hours: f64, afternoon: Option<bool>) -> Option<f64> {
    match afternoon {
        None => Some(hours),
        Some(_) if !(1.0..=12.0).contains(&hours) => None,
        Some(afternoon) => Some(hours % 12.0 + if afternoon { 12.0 } else { 0.0 }),
    }
}

/// A log stays in one zone, so that it does not matter which.
fn without_zone(text: &str) -> &str {
    let text = text.trim_end_matches('z').trim_end();
    let text = text
        .strip_suffix("utc")
        .or_else(|| text.strip_suffix("gmt"))
        .unwrap_or(text)
        .trim_end();
    match text.rfind(['+', '-']) {
        Some(at) if at > 4 => text.get(..at).unwrap_or(text).trim_end(),
        _ => text,
    }
}

fn date(text: &str) -> Option<[u32; 3]> {
    let mut parts = [0; 3];
    let mut count = 0;
    for part in text
        .split(['-', '/', '.', ' ', ','])
        .filter(|part| !part.is_empty())
    {
        let number = match part.parse::<u32>() {
            Ok(number) if part.len() <= 4 => number,
            _ => month(part)?,
        };
        *parts.get_mut(count)? = number;
        count += 1;
    }
    (count == 3).then_some(parts)
}

/// A month by its English name is marked by a hundred, so that its place is known.
fn month(text: &str) -> Option<u32> {
    const MONTHS: [&str; 12] = [
        "jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec",
    ];
    let start = text.get(..3)?.to_ascii_lowercase();
    let letters = text
        .trim_end_matches(',')
        .bytes()
        .all(|byte| byte.is_ascii_alphabetic());
    let place = MONTHS
        .iter()
        .position(|month| *month == start)
        .filter(|_| letters)?;
    Some(100 + u32::try_from(place).ok()? + 1)
}

/// The orders that a date can be written in. A point between parts is put between day and month only.
pub(super) fn orders(date: [u32; 3], separator: Option<u8>) -> Vec<DateOrder> {
    let mut orders = vec![];
    for order in [
        DateOrder::DayMonthYear,
        DateOrder::MonthDayYear,
        DateOrder::YearMonthDay,
    ] {
        let dotted = order == DateOrder::MonthDayYear && separator == Some(b'.');
        if !dotted && days(date, order).is_some() {
            orders.push(order);
        }
    }
    // Four digits of a year are one.
    if date[0] > 31 && date[0] < 100 {
        orders.retain(|order| *order == DateOrder::YearMonthDay);
    }
    orders
}

/// Days from 1970-01-01 in the proleptic Gregorian calendar; none for no such day.
pub(super) fn days(date: [u32; 3], order: DateOrder) -> Option<i64> {
    let [year, month, day] = match order {
        DateOrder::YearMonthDay => date,
        DateOrder::DayMonthYear => [date[2], date[1], date[0]],
        DateOrder::MonthDayYear => [date[2], date[0], date[1]],
    };
    let month = if month > 100 { month - 100 } else { month };
    let year = match year {
        0..100 => 2_000 + year,
        1_900..3_000 => year,
        _ => return None,
    };
    let leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    let most = match month {
        2 => 28 + u32::from(leap),
        4 | 6 | 9 | 11 => 30,
        1..=12 => 31,
        _ => return None,
    };
    if !(1..=most).contains(&day) {
        return None;
    }
    // Years are counted from March, so that a leap day is their last.
    let (year, month) = (i64::from(year), i64::from(month));
    let (shifted, months) = if month > 2 {
        (year, month - 3)
    } else {
        (year - 1, month + 9)
    };
    let before = shifted * 365 + shifted / 4 - shifted / 100 + shifted / 400;
    Some(before + (153 * months + 2) / 5 + i64::from(day) - 1 - 719_468)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn seconds(text: &str) -> Option<f64> {
        parse(text.as_bytes()).map(|moment| moment.seconds)
    }

    #[test]
    fn clocks_are_read() {
        for (text, found) in [
            ("12:30:01", Some(45_001.0)),
            ("0:00:00.250", Some(0.25)),
            ("00:01:02,5", Some(62.5)),
            ("75:01.5", Some(4_501.5)),
            ("12:00:05 AM", Some(5.0)),
            ("1:00:00 pm", Some(46_800.0)),
            ("12:30:01:250", Some(45_001.25)),
            ("12:30:01Z", Some(45_001.0)),
            ("12:30:01+02:00", Some(45_001.0)),
            ("12:61:01", None),
            ("12:3", Some(723.0)),
            ("a:b", None),
            (":", None),
            ("1:2:3:4:5", None),
        ] {
            assert_eq!(seconds(text), found, "{text}");
        }
    }

    /// ISO 8601: 2000-03-01 is day 11 017 from 1970-01-01 (30 years of 365 days, 7 leap days before 2000, 31 + 29 days).
    #[test]
    fn dates_are_counted() {
        for (text, order, found) in [
            ("1970-01-01T00:00:00", DateOrder::YearMonthDay, Some(0)),
            ("2000-03-01 00:00:00", DateOrder::YearMonthDay, Some(11_017)),
            ("1.3.2000 0:00:00", DateOrder::DayMonthYear, Some(11_017)),
            ("03/01/00 0:00:00", DateOrder::MonthDayYear, Some(11_017)),
            ("1-Mar-2000 0:00:00", DateOrder::DayMonthYear, Some(11_017)),
            (
                "Mar 1, 2000, 0:00:00",
                DateOrder::MonthDayYear,
                Some(11_017),
            ),
            ("2001-02-29 00:00:00", DateOrder::YearMonthDay, None),
            ("2000-02-29 00:00:00", DateOrder::YearMonthDay, Some(11_016)),
        ] {
            let date = parse(text.as_bytes()).and_then(|moment| moment.date);
            assert_eq!(date.and_then(|date| days(date, order)), found, "{text}");
        }
        assert_eq!(orders([2024, 5, 1], None), [DateOrder::YearMonthDay]);
        assert_eq!(orders([13, 5, 2024], None), [DateOrder::DayMonthYear]);
        assert_eq!(orders([5, 13, 2024], None), [DateOrder::MonthDayYear]);
        assert_eq!(
            orders([5, 1, 2024], Some(b'/')),
            [DateOrder::DayMonthYear, DateOrder::MonthDayYear]
        );
        assert_eq!(orders([5, 1, 2024], Some(b'.')), [DateOrder::DayMonthYear]);
    }
}
