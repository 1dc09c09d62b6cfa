//! The spread of many answers at once, where one evaluation is dear: a pass or a day.
//!
//! Each input is moved to both ends of its range, and each side is the root sum of squares.
//! No draws are taken. Instead the answers that a verdict rests on are asked again where the
//! sum says that they are worst, and best, with every input moved at once by its part in it
//! (the design point of Hasofer and Lind, 1974, of the linear answer): where inputs together
//! reach a kink that none reaches alone (a turn-on that just fails, a battery that just runs
//! empty), the spread is at least as wide as that. One step at a time, so that a page can
//! draw between two of them.

use super::sides::{self, Change, Side};
use super::{Own, Spread95, State, Tolerances};
use crate::finding::Spread;
use crate::resolve::InputId;

/// A sweep over all inputs, those of battery and wiring included.
#[derive(Debug)]
pub struct Sweep {
    values: Vec<f64>,
    /// For each answer, what each input so far changes it by.
    changes: Vec<Vec<Change>>,
    /// Answers asked again at their worst and best, and what they were there.
    corners: Vec<(usize, Spread)>,
    next: usize,
    /// The answers at the lower end of the input that is being moved.
    low: Option<Vec<f64>>,
}

impl Sweep {
    /// Begins from the answers with every input at its nominal value.
    pub fn new(values: Vec<f64>) -> Self {
        Self {
            changes: vec![Vec::new(); values.len()],
            values,
            corners: Vec::new(),
            next: 0,
            low: None,
        }
    }

    /// The same with these answers asked again at their worst and best.
    #[must_use]
    pub fn with_corners(mut self, places: Vec<usize>) -> Self {
        let corner = |place| (place, Spread::default());
        self.corners = places.into_iter().map(corner).collect();
        self
    }

    /// Moves the next input to the next end of its range and asks again, once; `false` when none is
    /// left. `own` adds the tolerance of a pulley that is not on the car. An answer that is
    /// missing or no number counts as unmoved.
    pub fn step(
        &mut self,
        tolerances: &Tolerances,
        own: Option<Own>,
        answers: impl Fn(&State) -> Vec<f64>,
    ) -> bool {
        let resolved = tolerances.resolved();
        let inputs = resolved.inputs.len();
        let all = inputs + resolved.supply_inputs.len();
        let place = self.next;
        if place < all {
            let input = resolved
                .inputs
                .get(place)
                .or_else(|| resolved.supply_inputs.get(place - inputs));
            if let Some(input) = input.filter(|input| input.lowest < input.highest) {
                let reach = (input.value - input.lowest, input.highest - input.value);
                let at = |value: f64| {
                    let params = resolved.params.with(input.id, value);
                    answers(&State::new(resolved, params))
                };
                self.end(input.id, reach, (input.lowest, input.highest), at);
            } else {
                self.next += 1;
            }
            return true;
        }
        if place == all {
            if let Some(own) = own {
                let half = own.half_width_mm;
                let at = |own_mm: f64| answers(&tolerances.nominal().with_own(own_mm));
                self.end(own.id, (half, half), (-half, half), at);
            } else {
                self.next += 1;
            }
            return true;
        }
        self.next += 1;
        let corner = place - all - 1;
        let side = if corner.is_multiple_of(2) {
            Side::Down
        } else {
            Side::Up
        };
        self.corner(tolerances, own, (corner / 2, side), &answers)
    }

    fn corner(
        &mut self,
        tolerances: &Tolerances,
        own: Option<Own>,
        (corner, side): (usize, Side),
        answers: &dyn Fn(&State) -> Vec<f64>,
    ) -> bool {
        let Some((place, _)) = self.corners.get(corner) else {
            return false;
        };
        let (Some(value), Some(changes)) = (self.values.get(*place), self.changes.get(*place))
        else {
            return true;
        };
        let whole = sides::side(changes, side);
        if whole <= 0.0 {
            return true;
        }
        let (mut params, mut own_mm) = (tolerances.nominal().params.clone(), 0.0);
        for change in changes {
            let (by, is_high) = change.towards(side);
            let reach = if is_high {
                change.reach.1
            } else {
                -change.reach.0
            };
            let step = reach * by / whole;
            if own.is_some_and(|own| own.id == change.input) {
                own_mm = step;
            } else if let Some(slot) = params.slot(change.input) {
                *slot += step;
            }
        }
        let state = State::new(tolerances.resolved(), params).with_own(own_mm);
        let moved = answers(&state)
            .get(*place)
            .map_or(0.0, |moved| moved - value);
        if let Some((_, found)) = self.corners.get_mut(corner).filter(|_| moved.is_finite()) {
            match side {
                Side::Down => found.down = -moved,
                Side::Up => found.up = moved,
            }
        }
        true
    }

    /// Asks at an input's lower end, or, that done, at its upper one.
    fn end(
        &mut self,
        input: InputId,
        reach: (f64, f64),
        (lowest, highest): (f64, f64),
        at: impl Fn(f64) -> Vec<f64>,
    ) {
        match self.low.take() {
            None => self.low = Some(at(lowest)),
            Some(low) => {
                self.moved(input, reach, &low, &at(highest));
                self.next += 1;
            }
        }
    }

    fn moved(&mut self, input: InputId, reach: (f64, f64), low: &[f64], high: &[f64]) {
        for (place, (value, changes)) in self.values.iter().zip(&mut self.changes).enumerate() {
            let from = |moved: &[f64]| {
                let change = moved.get(place).map_or(0.0, |moved| moved - value);
                if change.is_finite() { change } else { 0.0 }
            };
            changes.push(Change {
                input,
                reach,
                change: (from(low), from(high)),
            });
        }
    }

    /// The answers with the spread of the inputs moved so far.
    pub fn spreads(&self) -> Vec<Spread95> {
        let each = self.values.iter().zip(&self.changes).enumerate();
        each.map(|(place, (&value, changes))| {
            let mut spread = sides::spread(changes);
            for (_, corner) in self.corners.iter().filter(|corner| corner.0 == place) {
                spread.down = spread.down.max(corner.down);
                spread.up = spread.up.max(corner.up);
            }
            Spread95 {
                value,
                spread,
                shares: sides::shares(changes),
            }
        })
        .collect()
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::car::demo;
    use crate::resolve::{Input, Resolved};

    #[test]
    fn it_agrees_with_one_answer_at_a_time_and_knows_the_battery_too() {
        let tolerances = Tolerances::new(Resolved::new(&demo::nettle()).unwrap());
        let answers = |state: &State| {
            vec![
                state.params.idle_rpm + 2.0 * state.params.shift_rpm,
                state.params.supply.lead_ohm,
            ]
        };
        let mut sweep = Sweep::new(answers(tolerances.nominal()));
        while sweep.step(&tolerances, None, answers) {}
        let spreads = sweep.spreads();
        let alone = tolerances.of(None, |state| answers(state)[0]);
        assert!((spreads[0].spread.up - alone.spread.up).abs() < 1e-9);
        assert!((spreads[0].spread.down - alone.spread.down).abs() < 1e-9);
        let shares = &spreads[1].shares;
        assert_eq!(shares.len(), 1);
        assert_eq!(shares[0].input, InputId::LeadResistance);
        assert!(spreads[1].spread.up > 0.0);
    }

    /// Two inputs reach a kink together that neither reaches alone: the answer only falls
    /// where both are low.
    #[test]
    fn a_kink_in_a_corner_is_found() {
        let tolerances = Tolerances::new(Resolved::new(&demo::nettle()).unwrap());
        let nominal = tolerances.nominal().params.clone();
        let range = |id| {
            let resolved = tolerances.resolved();
            let mut inputs = resolved.inputs.iter();
            inputs.find(|input| input.id == id).unwrap().clone()
        };
        let (idle, air) = (range(InputId::Idle), range(InputId::UnderHood));
        let part = |value: f64, input: &Input| (value - input.value) / (input.value - input.lowest);
        let answers = |state: &State| {
            let one = part(state.params.idle_rpm, &idle);
            let other = part(state.params.under_hood_c, &air);
            // One unit each; under -1.2 together it falls off.
            let sum = one + other;
            vec![if sum < -1.2 { sum - 10.0 } else { sum }]
        };
        assert_eq!(answers(tolerances.nominal()), [0.0]);
        assert_eq!(nominal.idle_rpm, idle.value);
        let spread = |mut sweep: Sweep| {
            while sweep.step(&tolerances, None, answers) {}
            sweep.spreads()[0].spread
        };
        let without = spread(Sweep::new(vec![0.0]));
        assert!(without.down < 1.5, "{without:?}");
        let with = spread(Sweep::new(vec![0.0]).with_corners(vec![0]));
        assert!(with.down > 10.0, "{with:?}");
        assert!((with.up - without.up).abs() < 1e-9);
    }
}
