//! What a column's values say about it.

use super::Role;
use crate::log::read::{Column, Table};
use crate::log::unit::Unit;

/// Values looked at, spread over the column.
const SAMPLE: usize = 4_000;

/// Where most values of a column lie.
#[derive(Clone, Copy, Debug)]
pub(super) struct Look {
    /// A twentieth lies below.
    low: f64,
    middle: f64,
    /// A twentieth lies above.
    high: f64,
    least: f64,
    most: f64,
    count: usize,
}

impl Look {
    pub fn new(column: &Column) -> Self {
        let values = column.values();
        let step = (values.len() / SAMPLE).max(1);
        let mut found: Vec<f32> = values
            .iter()
            .step_by(step)
            .copied()
            .filter(|value| value.is_finite())
            .collect();
        if found.is_empty() {
            found = values
                .iter()
                .copied()
                .filter(|value| value.is_finite())
                .take(SAMPLE)
                .collect();
        }
        found.sort_by(f32::total_cmp);
        let at = |part: usize| {
            let place = found.len().saturating_sub(1) * part / 100;
            found.get(place).copied().map_or(f64::NAN, f64::from)
        };
        Self {
            low: at(5),
            middle: at(50),
            high: at(95),
            least: at(0),
            most: at(100),
            count: found.len(),
        }
    }

    /// Where nine tenths of the values lie, in what a recording holds.
    pub fn held(&self, unit: Unit) -> (f32, f32) {
        (
            unit.to_held(self.low) as f32,
            unit.to_held(self.high) as f32,
        )
    }

    pub fn is_still(&self) -> bool {
        self.least == self.most && self.count > 1
    }

    /// Whether a car's values lie where these do. The bounds are wide, from common practice: they tell quantities and
    /// scales apart, not good cars from bad.
    pub fn is_plausible(&self, role: Role, unit: Unit) -> bool {
        let [low, middle, high] =
            [self.low, self.middle, self.high].map(|value| unit.to_held(value));
        let [least, most] = [self.least, self.most].map(|value| unit.to_held(value));
        match role {
            Role::EngineSpeed => least >= -50.0 && (400.0..=16_000.0).contains(&high),
            Role::AlternatorSpeed => least >= -50.0 && (800.0..=35_000.0).contains(&high),
            Role::Voltage => (6.0..=20.0).contains(&middle) && high <= 25.0 && low >= -0.5,
            Role::AlternatorCurrent => low >= -20.0 && (2.0..=500.0).contains(&high),
            Role::BatteryCurrent => low >= -1_500.0 && high <= 500.0 && high - low > 0.5,
            Role::Throttle => match unit {
                Unit::Fraction => least >= -0.1 && most <= 1.1,
                _ => least >= -0.15 && most <= 1.3 && most > 0.015,
            },
            Role::RoadSpeed => low >= -1.0 && (1.0..=180.0).contains(&most),
            Role::Temperature => low >= -45.0 && high <= 180.0,
        }
    }
}

/// Sharp falls from high speed, as at a shift: a sixth or more within a few samples, and rising again.
pub(super) fn shifts(values: &[f32]) -> u32 {
    let values: Vec<f32> = values
        .iter()
        .copied()
        .filter(|value| value.is_finite())
        .collect();
    let most = values.iter().copied().fold(0.0, f32::max);
    let mut count = 0;
    let mut place = 0;
    while let Some(window) = values.get(place..place + 8) {
        let (first, low) = (
            window[0],
            window.iter().copied().fold(f32::INFINITY, f32::min),
        );
        let after = values.get(place + 8..place + 16).unwrap_or_default();
        let rises = after.last().is_some_and(|last| *last > low * 1.01);
        if first > 0.6 * most && low < first * 0.84 && low > first * 0.4 && rises {
            count += 1;
            place += 8;
        } else {
            place += 1;
        }
    }
    count
}

/// How many times the one is the other, if it is all along. Both must have the same times.
pub(super) fn ratio(table: &Table, engine: &Column, other: &Column) -> Option<f32> {
    if !std::ptr::eq(table.times(engine), table.times(other)) {
        return None;
    }
    let mut ratios: Vec<f32> = engine
        .values()
        .iter()
        .zip(other.values())
        .filter(|(engine, _)| **engine > 500.0)
        .map(|(engine, other)| other / engine)
        .filter(|ratio| ratio.is_finite())
        .collect();
    ratios.sort_by(f32::total_cmp);
    let at = |part: usize| {
        ratios
            .get(ratios.len().saturating_sub(1) * part / 100)
            .copied()
    };
    let (low, middle, high) = (at(10)?, at(50)?, at(90)?);
    ((1.0..=6.0).contains(&middle) && high - low < 0.15 * middle).then_some(middle)
}
