//! The spread of many answers at once, where one evaluation is dear: a pass or a day.
//!
//! Each input is moved to both ends of its range, and each side is the root sum of squares;
//! no draws are taken, so that a kink (a turn-on that just happens, a battery that just
//! runs empty) is only as good as the two ends show it. One input at a time, so that a page
//! can draw between two of them.

use super::sides::{self, Change};
use super::{Own, Spread95, State, Tolerances};
use crate::resolve::Input;

/// A sweep over all inputs, those of battery and wiring included.
#[derive(Debug)]
pub struct Sweep {
    values: Vec<f64>,
    /// For each answer, what each input so far changes it by.
    changes: Vec<Vec<Change>>,
    next: usize,
}

impl Sweep {
    /// Begins from the answers with every input at its nominal value.
    pub fn new(values: Vec<f64>) -> Self {
        Self {
            changes: vec![Vec::new(); values.len()],
            values,
            next: 0,
        }
    }

    /// Moves the next input to both ends of its range and asks again; `false` when none is
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
        self.next += 1;
        if place < all {
            let input = resolved
                .inputs
                .get(place)
                .or_else(|| resolved.supply_inputs.get(place - inputs));
            if let Some(input) = input.filter(|input| input.lowest < input.highest) {
                self.input(tolerances, input, &answers);
            }
            return true;
        }
        if let (Some(own), true) = (own, place == all) {
            let half = own.half_width_mm;
            let at = |own_mm: f64| answers(&tolerances.nominal().with_own(own_mm));
            self.moved(own.id, (half, half), &at(-half), &at(half));
            return true;
        }
        false
    }

    fn input(
        &mut self,
        tolerances: &Tolerances,
        input: &Input,
        answers: &dyn Fn(&State) -> Vec<f64>,
    ) {
        let resolved = tolerances.resolved();
        let at = |value| answers(&State::new(resolved, resolved.params.with(input.id, value)));
        let reach = (input.value - input.lowest, input.highest - input.value);
        let low = at(input.lowest);
        let high = at(input.highest);
        self.moved(input.id, reach, &low, &high);
    }

    fn moved(
        &mut self,
        input: crate::resolve::InputId,
        reach: (f64, f64),
        low: &[f64],
        high: &[f64],
    ) {
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
        self.values
            .iter()
            .zip(&self.changes)
            .map(|(&value, changes)| Spread95 {
                value,
                spread: sides::spread(changes),
                shares: sides::shares(changes),
            })
            .collect()
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::car::demo;
    use crate::resolve::{InputId, Resolved};

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
}
