//! Answers of the pass and the day with their spread.

use crate::car::Car;
use crate::finding::Status;
use crate::gates::{Judged, Settle};
use crate::tolerance::{Spread95, State, Sweep, Tolerances};

/// Something that is run again with each input moved.
pub trait Swept {
    /// Its answers with every input at its nominal value.
    fn answers(&self) -> Vec<f64>;

    /// The same answers in another state, in the same order.
    fn moved(&self, car: &Car, tolerances: &Tolerances, state: &State, judged: &Judged)
    -> Vec<f64>;

    /// Places of the answers that a verdict rests on: they are asked once more with every
    /// input moved at once.
    fn decisive(&self) -> Vec<usize>;

    /// Begins the sweep of [`Swept::spreads`].
    fn sweep(&self) -> Sweep {
        Sweep::new(self.answers()).with_corners(self.decisive())
    }

    /// One more step of the sweep; `false` when none is left.
    fn step(&self, sweep: &mut Sweep, car: &Car, tolerances: &Tolerances, judged: &Judged) -> bool {
        sweep.step(tolerances, judged.own, |state| {
            self.moved(car, tolerances, state, judged)
        })
    }

    /// Every answer with its spread, all at once.
    fn spreads(&self, car: &Car, tolerances: &Tolerances, judged: &Judged) -> Vec<Spread95> {
        let mut sweep = self.sweep();
        while self.step(&mut sweep, car, tolerances, judged) {}
        sweep.spreads()
    }
}

/// What an answer comes to against the least it may be, whether output over the limit holds
/// or is gone.
#[derive(Clone, Debug, PartialEq)]
pub struct Standing<A> {
    /// Which answer.
    pub answer: A,
    /// The least it may be, output gone.
    pub least: f64,
    /// The most it may be, output holding.
    pub most: f64,
    /// The line that it has to stay over.
    pub line: f64,
    /// How it stands.
    pub status: Status,
    /// What would settle it best where it is too close to call: the input with the largest part
    /// in a spread that straddles the line, or the limit, where only that decides.
    pub settles: Option<Settle>,
}

impl<A> Standing<A> {
    /// An answer with output that holds and with output that is gone.
    pub(super) fn new(
        answer: A,
        (holds, gone): (&Spread95, &Spread95),
        line: f64,
        limit: Option<Settle>,
    ) -> Self {
        let least = gone
            .spread
            .least(gone.value)
            .min(holds.spread.least(holds.value));
        let most = holds
            .spread
            .most(holds.value)
            .max(gone.spread.most(gone.value));
        // The branch that straddles the line by its spread; none where only the limit decides.
        let straddles = |found: &&Spread95| {
            found.spread.least(found.value) < line && found.spread.most(found.value) >= line
        };
        let straddling = [holds, gone].into_iter().find(straddles);
        Self {
            answer,
            least,
            most,
            line,
            status: Status::between(least, most, line),
            settles: match straddling {
                Some(found) => found.shares.first().map(|share| Settle::Input(share.input)),
                None => limit,
            },
        }
    }
}
