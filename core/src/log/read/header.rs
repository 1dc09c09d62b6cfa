//! Names and units of columns.

use super::decode;
use super::lines::{cells, comment};
use super::split::Row;
use super::value::{Class, class};
use crate::log::unit::{Unit, is_unit, time_unit};

/// What stands above the numbers.
#[derive(Debug)]
pub(super) struct Header {
    pub names: Vec<String>,
    pub units: Vec<String>,
    /// The rows they were read from.
    pub heads: Vec<Vec<u8>>,
    /// Where the last of them ends.
    pub end: usize,
}

/// Finds the header in the rows before the first numbers, remarks and blank rows left out.
pub(super) fn find(head: &[u8], above: &[Row], delimiter: u8, width: usize) -> Option<Header> {
    let rows = above
        .iter()
        .rev()
        .map(|row| (&head[row.start..row.end], row.end));
    let mut candidates = rows.filter(|(row, _)| {
        let names = names(row, delimiter);
        let enough = names.len() + 1 >= width.min(3) && names.len() * 2 >= width;
        enough && is_text(row, delimiter)
    });
    let (last, end) = candidates.next()?;
    let before = candidates.next().map(|(row, _)| row);
    if let Some(before) = before
        && is_units(last, delimiter)
        && !is_units(before, delimiter)
        && names(before, delimiter).len() >= names(last, delimiter).len()
    {
        return Some(header(before, Some(last), delimiter, end));
    }
    Some(header(last, None, delimiter, end))
}

/// Finds the header in a remark, as where it starts with `#`.
pub(super) fn commented(
    head: &[u8],
    above: &[Row],
    delimiter: u8,
    widths: [usize; 2],
) -> Option<Header> {
    let fits = |row: &&[u8]| {
        let count = names(row, delimiter).len();
        let fits = |width: usize| width > 1 && (count == width || count + 1 == width);
        widths.into_iter().any(fits) && is_text(row, delimiter)
    };
    let remarks = || {
        let rows = above.iter().rev().map(|row| &head[row.start..row.end]);
        rows.filter_map(|row| comment(row, delimiter)).filter(fits)
    };
    let last = remarks().next()?;
    let units = is_units(last, delimiter);
    match remarks().nth(1) {
        Some(before) if units => Some(header(before, Some(last), delimiter, 0)),
        _ => Some(header(last, None, delimiter, 0)),
    }
}

fn header(row: &[u8], units: Option<&[u8]>, delimiter: u8, end: usize) -> Header {
    let mut found: Vec<(String, String)> = names(row, delimiter)
        .iter()
        .map(|name| split_unit(name))
        .collect();
    let given = units.map(|row| names(row, delimiter)).unwrap_or_default();
    if given.len() > found.len() {
        found.resize_with(given.len(), Default::default);
    }
    for ((_, unit), given) in found.iter_mut().zip(&given) {
        let bare = bare(given);
        if !bare.is_empty() && bare.chars().any(|c| c != '-') {
            bare.clone_into(unit);
        }
    }
    let (names, units_) = found.into_iter().unzip();
    Header {
        names,
        units: units_,
        heads: [Some(row), units]
            .into_iter()
            .flatten()
            .map(<[u8]>::to_vec)
            .collect(),
        end,
    }
}

/// The row's cells as text, without blank ones at the end.
fn names(row: &[u8], delimiter: u8) -> Vec<String> {
    let mut names: Vec<String> = cells(row, delimiter)
        .map(|cell| {
            decode::text(&cell.text)
                .split_whitespace()
                .collect::<Vec<_>>()
                .join(" ")
        })
        .collect();
    while names.last().is_some_and(String::is_empty) {
        names.pop();
    }
    names
}

/// Whether at least half of the cells that are filled are no numbers.
fn is_text(row: &[u8], delimiter: u8) -> bool {
    let (mut text, mut filled) = (0, 0);
    for cell in cells(row, delimiter) {
        match class(&cell.text) {
            Class::Blank => {}
            Class::Text => {
                text += 1;
                filled += 1;
            }
            // A dash for no unit.
            Class::Missing => {}
            _ => filled += 1,
        }
    }
    text > 0 && text * 2 >= filled
}

fn is_units(row: &[u8], delimiter: u8) -> bool {
    let names = names(row, delimiter);
    let filled = names.iter().filter(|name| !name.is_empty());
    let (mut units, mut count) = (0, 0);
    for name in filled {
        units += usize::from(is_unit(name) || bare(name).is_empty());
        count += 1;
    }
    // One unit may be of a kind that is not known here.
    count > 0 && units * 4 >= count * 3
}

const BRACKETS: [(char, char); 4] = [('[', ']'), ('(', ')'), ('{', '}'), ('<', '>')];

/// Without the brackets around.
fn bare(text: &str) -> &str {
    let text = text.trim();
    BRACKETS
        .iter()
        .find_map(|(open, close)| text.strip_prefix(*open)?.strip_suffix(*close))
        .unwrap_or(text)
        .trim()
}

/// Splits a name from its unit: `Voltage [V]`, `Voltage (V)`, `Voltage ()`, `U / V`, `Voltage_mV`.
pub(super) fn split_unit(name: &str) -> (String, String) {
    let name = name.trim();
    for (open, close) in BRACKETS {
        let Some(inside) = name.strip_suffix(close) else {
            continue;
        };
        let Some(at) = opening(inside, open, close) else {
            continue;
        };
        let before = inside.get(..at).unwrap_or_default().trim();
        let unit = inside
            .get(at + open.len_utf8()..)
            .unwrap_or_default()
            .trim();
        if before.is_empty() {
            continue;
        }
        // What is in round brackets may belong to the name.
        if open == '(' && !unit.is_empty() && !is_unit(unit) {
            break;
        }
        return (before.to_owned(), bare(unit).to_owned());
    }
    for mark in [" / ", "/", ", ", " - ", "_", " in ", " "] {
        if let Some((before, unit)) = name.rsplit_once(mark)
            && !before.trim().is_empty()
            && is_behind(unit.trim(), mark)
        {
            return (before.trim().to_owned(), unit.trim().to_owned());
        }
    }
    (name.to_owned(), String::new())
}

/// Whether this is surely a unit when it stands behind a name without brackets.
fn is_behind(unit: &str, mark: &str) -> bool {
    let known = Unit::named(unit).is_some() || time_unit(unit).is_some();
    match mark {
        // `Engine RPM` and `Battery Volts` are names; `sensor_a`, `Bank 1 / A` and `Lap 1 s` could be.
        " " | "_" => {
            known
                && matches!(
                    unit,
                    "mV" | "ms"
                        | "km/h"
                        | "kmh"
                        | "kph"
                        | "mph"
                        | "°C"
                        | "°F"
                        | "degC"
                        | "degF"
                        | "us"
                        | "sec"
                        | "mA"
                        | "%"
                        | "1/min"
                )
        }
        "/" => known && !matches!(unit, "h" | "H" | "F" | "f" | "C" | "c" | "d" | "D"),
        _ => known,
    }
}

/// The bracket that opens what the last one closes.
fn opening(text: &str, open: char, close: char) -> Option<usize> {
    let mut depth = 1;
    for (at, c) in text.char_indices().rev() {
        if c == close {
            depth += 1;
        } else if c == open {
            depth -= 1;
            if depth == 0 {
                return Some(at);
            }
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_are_split_from_names() {
        for (text, name, unit) in [
            ("Voltage [V]", "Voltage", "V"),
            ("Voltage(V)", "Voltage", "V"),
            ("Engine Speed {1/min}", "Engine Speed", "1/min"),
            ("Speed <km/h>", "Speed", "km/h"),
            ("Voltage []", "Voltage", ""),
            ("Voltage ()", "Voltage", ""),
            ("Lambda (bank 1)", "Lambda (bank 1)", ""),
            ("Engine speed (RPM (x1000))", "Engine speed", "RPM (x1000)"),
            ("U / V", "U", "V"),
            ("Voltage, V", "Voltage", "V"),
            ("batt_mV", "batt", "mV"),
            ("time_ms", "time", "ms"),
            ("Engine RPM", "Engine RPM", ""),
            ("Battery Volts", "Battery Volts", ""),
            ("A/F", "A/F", ""),
            ("[V]", "[V]", ""),
            ("", "", ""),
        ] {
            assert_eq!(
                split_unit(text),
                (name.to_owned(), unit.to_owned()),
                "{text}"
            );
        }
    }
}
