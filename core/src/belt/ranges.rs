//! A drive with each uncertain input at both ends of its range, for spreads.

use super::compare::TriedPulley;
use super::laid::{Laid, LayError, back_line, turned};
use super::layout::{Layout, Places, Point, Side, Tape};
use super::least_squares::replaced;
use super::path::PathError;
use crate::finding::Spread;

/// What makes an answer uncertain.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BeltInput {
    /// Diameter of a pulley.
    Diameter(usize),
    /// Diameter of the pulley to try in a place.
    NewPulley(usize),
    /// A distance by tape.
    Tape(usize),
    /// A pulley's place to the right.
    X(usize),
    /// A pulley's place upward.
    Y(usize),
    /// From a bare backside pulley to the belt's effective line.
    BackLine,
    /// Length of the belt on the car.
    BeltLength,
    /// Length of the belt to buy.
    NewBelt,
    /// Place of what the belt must miss.
    Obstacle(usize),
    /// From the belt's effective line to its face.
    BeltFace,
    /// How far a rim stands out.
    Rim,
    /// Mass of the belt.
    Mass,
    /// Friction.
    Friction,
    /// Power taken from the belt.
    Power,
    /// Inertia of the rotor.
    Inertia,
    /// Time of a shift.
    ShiftTime,
    /// Static tension there is.
    Tension,
    /// Length of the span plucked.
    SpanLength,
    /// Frequency heard.
    Frequency,
}

/// An answer with what it may be off by.
#[derive(Clone, Debug, PartialEq)]
pub struct Measured {
    /// With every input as entered.
    pub value: f64,
    /// 95 % half-widths.
    pub spread: Spread,
    /// Part of the variance of each input, largest first.
    pub shares: Vec<(BeltInput, f64)>,
}

impl Measured {
    /// From what each input changes, at its low and at its high end.
    pub(super) fn from_changes(value: f64, changes: &[(BeltInput, f64, f64)]) -> Self {
        let side = |sign: f64| {
            let most = |(_, low, high): &(BeltInput, f64, f64)| {
                (sign * low).max(sign * high).max(0.0).powi(2)
            };
            changes.iter().map(most).sum::<f64>().sqrt()
        };
        let square =
            |low: f64, high: f64| low.max(high).max(0.0).powi(2) + low.min(high).min(0.0).powi(2);
        let total: f64 = changes
            .iter()
            .map(|(_, low, high)| square(*low, *high))
            .sum();
        let mut shares: Vec<(BeltInput, f64)> = changes
            .iter()
            .map(|(input, low, high)| (*input, square(*low, *high) / total))
            .filter(|(_, share)| *share > 0.0)
            .collect();
        crate::sort::sort_short(&mut shares, |a, b| b.1.total_cmp(&a.1));
        Self {
            value,
            spread: Spread {
                down: side(-1.0),
                up: side(1.0),
            },
            shares,
        }
    }

    /// The same with another input that moves it so far either way.
    #[must_use]
    pub(super) fn widened(mut self, input: BeltInput, half_width: f64) -> Self {
        let old = self.spread.down.powi(2) + self.spread.up.powi(2);
        let added = 2.0 * half_width * half_width;
        for share in &mut self.shares {
            share.1 *= old / (old + added);
        }
        if added > 0.0 {
            self.shares.push((input, added / (old + added)));
            crate::sort::sort_short(&mut self.shares, |a, b| b.1.total_cmp(&a.1));
        }
        self.spread = Spread {
            down: self.spread.down.hypot(half_width),
            up: self.spread.up.hypot(half_width),
        };
        self
    }
}

/// A drive, and the same with each uncertain input at both ends of its range.
#[derive(Clone, Debug)]
pub struct Ranges {
    /// As entered.
    pub nominal: Laid,
    moved: Vec<(BeltInput, Option<Laid>, Option<Laid>)>,
}

impl Ranges {
    /// Prepares the moved drives.
    ///
    /// # Errors
    /// [`LayError`] where the drive as entered has no belt.
    pub fn new(layout: &Layout) -> Result<Self, LayError> {
        let nominal = Laid::new(layout)?;
        let mut moved = Vec::new();
        let mut push =
            |input, low: Option<Laid>, high: Option<Laid>| moved.push((input, low, high));
        for (at, pulley) in layout.pulleys.iter().enumerate() {
            if pulley.half_width_mm > 0.0 {
                let by = |sign: f64| {
                    let mut changed = layout.clone();
                    changed.pulleys[at].diameter_mm += sign * pulley.half_width_mm;
                    nominal.with(&changed).ok()
                };
                push(BeltInput::Diameter(at), by(-1.0), by(1.0));
            }
        }
        if layout
            .pulleys
            .iter()
            .any(|pulley| pulley.side == Side::Back)
        {
            let range = back_line(layout);
            if range.lowest < range.highest {
                let to = |mm| {
                    let mut changed = layout.clone();
                    changed.back_line_mm = Some(mm);
                    nominal.with(&changed).ok()
                };
                push(BeltInput::BackLine, to(range.lowest), to(range.highest));
            }
        }
        match &layout.places {
            Places::Coordinates { half_width_mm, .. } if *half_width_mm > 0.0 => {
                for at in 1..layout.pulleys.len() {
                    let by = |dx: f64, dy: f64| {
                        let mut centers: Vec<Point> =
                            nominal.wheels.iter().map(|wheel| wheel.at).collect();
                        centers[at].x_mm += dx;
                        centers[at].y_mm += dy;
                        Laid::over(layout, &centers, None).ok()
                    };
                    let half = *half_width_mm;
                    push(BeltInput::X(at), by(-half, 0.0), by(half, 0.0));
                    push(BeltInput::Y(at), by(0.0, -half), by(0.0, half));
                }
            }
            Places::Tape { distances, .. } => {
                for at in 0..distances.len() {
                    let by = |sign| by_tape(&nominal, distances, at, sign);
                    if distances[at].half_width_mm > 0.0 {
                        push(BeltInput::Tape(at), by(-1.0), by(1.0));
                    }
                }
            }
            Places::Coordinates { .. } => {}
        }
        Ok(Self { nominal, moved })
    }

    /// The same places and ranges with another pulley on one of them, which has its own
    /// tolerance.
    ///
    /// # Errors
    /// [`PathError`]: no belt goes over it.
    pub fn tried(
        &self,
        pulley: usize,
        diameter_mm: f64,
        half_width_mm: f64,
    ) -> Result<Self, PathError> {
        let of = |laid: &Laid, diameter_mm: f64| {
            let mut changed = laid.layout.clone();
            if let Some(pulley) = changed.pulleys.get_mut(pulley) {
                pulley.diameter_mm = diameter_mm;
                pulley.half_width_mm = half_width_mm;
            }
            laid.with(&changed)
        };
        let end = |laid: &Option<Laid>| of(laid.as_ref()?, diameter_mm).ok();
        let is_own = |input: BeltInput| {
            input == BeltInput::Diameter(pulley) || input == BeltInput::NewPulley(pulley)
        };
        let mut moved: Vec<_> = self
            .moved
            .iter()
            .filter(|(input, ..)| !is_own(*input))
            .map(|(input, low, high)| (*input, end(low), end(high)))
            .collect();
        if half_width_mm > 0.0 {
            moved.push((
                BeltInput::NewPulley(pulley),
                of(&self.nominal, diameter_mm - half_width_mm).ok(),
                of(&self.nominal, diameter_mm + half_width_mm).ok(),
            ));
        }
        Ok(Self {
            nominal: of(&self.nominal, diameter_mm)?,
            moved,
        })
    }

    /// The same with these pulleys to try.
    pub(super) fn with_all(&self, tried: &[TriedPulley]) -> Result<Self, LayError> {
        let with = tried.iter().try_fold(self.clone(), |ranges, one| {
            ranges.tried(one.pulley, one.diameter_mm, one.half_width_mm)
        });
        Ok(with?)
    }

    /// An answer of the drive with its spread; `None` where the drive as entered has none. An
    /// end of a range where there is no answer makes it as uncertain as can be.
    pub fn measure(&self, answer: &dyn Fn(&Laid) -> Option<f64>) -> Option<Measured> {
        let value = answer(&self.nominal)?;
        let changes: Vec<(BeltInput, f64, f64)> = self
            .moved
            .iter()
            .map(|(input, low, high)| {
                let change = |laid: &Option<Laid>, none: f64| {
                    let at = laid.as_ref().and_then(answer);
                    at.map_or(none, |at| at - value)
                };
                let (low, high) = (change(low, f64::NEG_INFINITY), change(high, f64::INFINITY));
                (*input, low, high)
            })
            .collect();
        Some(Measured::from_changes(value, &changes))
    }

    /// An answer of two drives that share their places: both moved together.
    pub fn measure_both(
        &self,
        other: &Self,
        answer: &dyn Fn(&Laid, &Laid) -> Option<f64>,
    ) -> Option<Measured> {
        let value = answer(&self.nominal, &other.nominal)?;
        let mut changes = Vec::new();
        for (input, low, high) in &self.moved {
            let twin = other.moved.iter().find(|(other, ..)| other == input);
            let change = |laid: &Option<Laid>, twin: Option<&Option<Laid>>, none: f64| {
                let twin = match twin {
                    Some(twin) => twin.as_ref(),
                    None => Some(&other.nominal),
                };
                let at = laid.as_ref().zip(twin).and_then(|(a, b)| answer(a, b));
                at.map_or(none, |at| at - value)
            };
            changes.push((
                *input,
                change(low, twin.map(|twin| &twin.1), f64::NEG_INFINITY),
                change(high, twin.map(|twin| &twin.2), f64::INFINITY),
            ));
        }
        for (input, low, high) in &other.moved {
            if self.moved.iter().any(|(own, ..)| own == input) {
                continue;
            }
            let change = |laid: &Option<Laid>, none: f64| {
                let at = laid.as_ref().and_then(|b| answer(&self.nominal, b));
                at.map_or(none, |at| at - value)
            };
            changes.push((
                *input,
                change(low, f64::NEG_INFINITY),
                change(high, f64::INFINITY),
            ));
        }
        Some(Measured::from_changes(value, &changes))
    }
}

fn by_tape(nominal: &Laid, distances: &[Tape], at: usize, sign: f64) -> Option<Laid> {
    let mut tapes = distances.to_vec();
    tapes[at].distance_mm += sign * tapes[at].half_width_mm;
    let start = &nominal.placement.as_ref()?.centers;
    let centers = replaced(start, &tapes)?;
    let turned = turned(&centers, &nominal.layout);
    Laid::over(&nominal.layout, &turned, nominal.placement.clone()).ok()
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::belt::Template;

    #[test]
    fn another_pulley_brings_its_own_range_and_leaves_all_others() {
        let ranges =
            Ranges::new(&Template::WithTensioner.layout((150.0, 0.6), (60.0, 0.6))).unwrap();
        let inputs = |ranges: &Ranges| -> Vec<BeltInput> {
            ranges.moved.iter().map(|(input, ..)| *input).collect()
        };
        let mut wanted = inputs(&ranges);
        assert!(wanted.contains(&BeltInput::Diameter(2)) && wanted.len() > 6);
        wanted.retain(|input| *input != BeltInput::Diameter(2));
        let exact = ranges.tried(2, 70.0, 0.0).unwrap();
        assert_eq!(inputs(&exact), wanted);
        // Tried on top of one that was tried: there is one new pulley.
        wanted.push(BeltInput::NewPulley(2));
        let first = ranges.tried(2, 70.0, 0.5).unwrap();
        assert_eq!(inputs(&first), wanted);
        let second = first.tried(2, 75.0, 0.5).unwrap();
        assert_eq!(inputs(&second), wanted);
        assert_eq!(second.nominal.layout.pulleys[2].diameter_mm, 75.0);
    }
}
