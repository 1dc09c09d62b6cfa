//! Where the energy went.

use serde::Serialize;

/// Energies, J. `generated + warming = loads + path + ohmic + pair + unstored + stored`.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Books {
    /// Out of alternator and charger.
    pub generated_j: f64,
    /// Into the loads, the starter and a field that waits.
    pub loads_j: f64,
    /// Lost in the charge path.
    pub path_j: f64,
    /// Lost in the battery's ohmic resistance and its acceptance.
    pub ohmic_j: f64,
    /// Lost in its RC pair.
    pub pair_j: f64,
    /// Charge that went in and was not stored.
    pub unstored_j: f64,
    /// What the battery's warming added to what is stored.
    pub warming_j: f64,
    /// What is stored more than before: a difference of two states, not integrated.
    pub stored_j: f64,
}

impl Books {
    /// What does not add up, J.
    pub fn missing_j(&self) -> f64 {
        self.generated_j + self.warming_j
            - (self.loads_j
                + self.path_j
                + self.ohmic_j
                + self.pair_j
                + self.unstored_j
                + self.stored_j)
    }

    /// All that moved, J.
    pub fn throughput_j(&self) -> f64 {
        self.generated_j.abs() + self.loads_j.abs() + self.stored_j.abs()
    }

    /// Adds another account.
    pub fn add(&mut self, other: &Self) {
        self.generated_j += other.generated_j;
        self.loads_j += other.loads_j;
        self.path_j += other.path_j;
        self.ohmic_j += other.ohmic_j;
        self.pair_j += other.pair_j;
        self.unstored_j += other.unstored_j;
        self.warming_j += other.warming_j;
        self.stored_j += other.stored_j;
    }
}
