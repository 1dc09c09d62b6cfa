//! Points of an output curve as text: one line each, speed then current.

use super::EntryError;
use crate::alternator::Curve;
use crate::car::CurvePoint;
use crate::quantity::{InElectricCurrent, InRotationalSpeed, parse, show};

/// Reads `2000 120` and `2,000 rpm; 120 A`, one point a line; blank lines are passed over.
pub(super) fn read(text: &str) -> Result<Vec<CurvePoint>, EntryError> {
    let mut points = Vec::new();
    for (index, line) in text.lines().enumerate() {
        let line_text = line.trim();
        if line_text.is_empty() {
            continue;
        }
        let point = read_line(line_text).ok_or_else(|| EntryError::CurveLine {
            line: index + 1,
            found: line_text.chars().take(40).collect(),
        })?;
        points.push(point);
    }
    let plain: Vec<(f64, f64)> = points
        .iter()
        .map(|point: &CurvePoint| (point.speed.rpm(), point.current.amps()))
        .collect();
    if plain.is_empty() {
        return Ok(points);
    }
    match Curve::points(&plain) {
        Ok(_) => Ok(points),
        Err(error) => Err(EntryError::Curve(error)),
    }
}

/// The split between the two numbers is the last place where both sides read.
fn read_line(line: &str) -> Option<CurvePoint> {
    line.char_indices()
        .rev()
        .filter(|(_, c)| c.is_whitespace() || matches!(c, ';' | ':' | '\t'))
        .find_map(|(at, c)| {
            let speed = parse::speed(line[..at].trim_end_matches([';', ':', ' '])).ok()?;
            let current = parse::current(&line[at + c.len_utf8()..]).ok()?;
            Some(CurvePoint { speed, current })
        })
}

/// One line a point.
pub(super) fn shown(points: &[CurvePoint]) -> String {
    points
        .iter()
        .map(|point| {
            format!(
                "{} {}",
                show::fixed(point.speed.rpm(), 0),
                show::fixed(point.current.amps(), 1)
            )
        })
        .collect::<Vec<_>>()
        .join("\n")
}
